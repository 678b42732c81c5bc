package advise

import (
	"fmt"
	"strings"

	"printlint/internal/finding"
)

// words say which pins to get, or why there are none.
func (p *pinned) words() string {
	if len(p.holes) == 0 {
		return "no holes for pins: " + p.why
	}
	var list []string
	for _, size := range pins {
		count := 0
		var one finding.PinHole
		for _, h := range p.holes {
			if h.Pin == size.thick && h.Length == 2*size.deep {
				count, one = count+1, h
			}
		}
		if count > 0 {
			list = append(list, pinWords(count, &one))
		}
	}
	words := "holes for pins in both faces of the cut: " + strings.Join(list, ", and ")
	if p.alone > 0 {
		words += "; where two pieces share only one, they can still turn: line them up by eye"
	}
	if p.even > 0 {
		words += "; where two pins sit evenly about the middle of a face, the pieces also fit when one is turned by half a turn: mark them"
	}
	if p.bare > 0 {
		words += "; where the solid is too thin the faces stay plain"
	}
	return words
}

// pinWords are about all pins of a size, of which one is given.
func pinWords(count int, h *finding.PinHole) string {
	what := fmt.Sprintf("%d pins", count)
	if count == 1 {
		what = "one pin"
	}
	return fmt.Sprintf("for %s %s thick and %s long, each hole %s wide and %s deep", what, hundredths(h.Pin), hundredths(h.Length), hundredths(h.Width), hundredths(h.Depth))
}
