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
		Words: f.words(lies), Caution: CutCaution, Pose: onePose(&f.wayUp, lies.traits()),
	}
}

// words say what to cut off and what comes of it, as an order.
func (f *flat) words(lies *wayUp) string {
	order := fmt.Sprintf("cut %s off the bottom", catalog.Format(f.height, catalog.MM))
	if f.Origin != pose.AsItLies {
		order = pose.TurningTo(f.Down).String() + ", then " + order
	}
	comes := fmt.Sprintf("then %s lie flat and it ", catalog.Format(f.Base, catalog.MM2))
	switch fewer := ", and leaves " + f.count().String() + " instead of " + lies.count().String(); {
	case f.clean():
		comes += prints(&f.wayUp)
	case len(f.structures) > 0:
		comes += "needs " + supportWords(f.outcome) + fewer + join(&f.wayUp)
	default:
		comes += fewer[len(", and "):]
	}
	low := f.before.lowFeet()
	switch n := len(low); {
	case n == 0:
		return order + ": " + comes
	case n == 1:
		return fmt.Sprintf("a foot begins %s above the bed: %s, %s", catalog.Format(low[0], catalog.MM), order, comes)
	default:
		return fmt.Sprintf("%s feet begin %.1f to %s above the bed: %s, %s", number(n), low[0], catalog.Format(low[n-1], catalog.MM), order, comes)
	}
}

// number writes small numbers as words.
func number(n int) string {
	small := []string{"two", "three", "four", "five", "six", "seven", "eight", "nine"}
	if n >= 2 && n-2 < len(small) {
		return small[n-2]
	}
	return fmt.Sprint(n)
}
