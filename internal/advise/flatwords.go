package advise

import (
	"fmt"

	"printlint/internal/catalog"
	"printlint/internal/finding"
	"printlint/internal/pose"
)

// CutCaution is what to mind before a cut.
const CutCaution = "a cut changes the model and may weaken it: its designer decides"

// report describes a cut.
func (f *flat) report(lies *wayUp) *finding.Cut {
	return &finding.Cut{
		Height: f.height, Area: finding.Round(f.Base), Volume: finding.Round(f.volume),
		Words: f.words(lies, ""), Caution: CutCaution, Pose: onePose(&f.wayUp, lies.traits()),
	}
}

// words say which feet are not level, what to cut off and what comes of it, as an order that
// begins with asking, where somebody has to be asked first.
func (f *flat) words(lies *wayUp, asking string) string {
	order, feet := asking, f.feet()
	cut := "cut " + tenths(f.height) + " off the bottom"
	comes := fmt.Sprintf("then %s lie flat and it ", catalog.Format(f.Base, catalog.MM2)) + f.comes(lies)
	if f.Origin != pose.AsItLies {
		order += pose.TurningTo(f.Down).String() + ", then "
		if feet != "" {
			cut += " (" + feet + " there)" // which they do only then
		}
		feet = ""
	}
	if feet != "" {
		return feet + ": " + order + cut + ", " + comes
	}
	return order + cut + ": " + comes
}

// feet say which are not level, or nothing.
func (f *flat) feet() string {
	low := f.before.lowFeet()
	switch n := len(low); {
	case n == 0:
		return ""
	case n == 1:
		return fmt.Sprintf("one foot begins %s above the bed", tenths(low[0]))
	case tenths(low[0]) == tenths(low[n-1]):
		return fmt.Sprintf("%s feet begin %s above the bed", number(n), tenths(low[0]))
	default:
		return fmt.Sprintf("%s feet begin %.1f to %s above the bed", number(n), low[0], tenths(low[n-1]))
	}
}

// comes says what comes of a change, of what is called it.
func (n *changed) comes(lies *wayUp) string {
	switch left := n.count().String() + " instead of " + lies.count().String(); {
	case n.clean():
		return prints(&n.wayUp)
	case len(n.structures) > 0:
		return "needs " + supportWords(n.outcome) + "; without support it has " + left
	default:
		return "leaves " + left
	}
}

// tenths writes a height as it is read off a ruler.
func tenths(mm float64) string { return fmt.Sprintf("%.1f mm", mm) }

// number writes small numbers as words.
func number(n int) string {
	small := []string{"two", "three", "four", "five", "six", "seven", "eight", "nine"}
	if n >= 2 && n-2 < len(small) {
		return small[n-2]
	}
	return fmt.Sprint(n)
}
