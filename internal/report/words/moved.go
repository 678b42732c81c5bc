package words

import (
	"fmt"
	"math"
	"strings"

	"printlint/internal/catalog"
	"printlint/internal/finding"
)

// Moved is a figure of a model before and after a change.
type Moved struct {
	Label, Before, After, Difference string
	short                            string // both in a few words
	inLine                           bool   // told where there is one line for all
}

// notKnown stands for a figure that could not be taken.
const notKnown = "not known"

// MovedFigures lists the figures of a model that a change moved, or all of them; none where
// the model was not compared.
func MovedFigures(m *finding.Model, all bool) (list []Moved) {
	if m.Was == nil {
		return nil
	}
	for _, k := range finding.FigureKinds {
		before, had := m.Was.Figures.Get(k.Name)
		after, has := m.Figures.Get(k.Name)
		if (had || has) && (all || had != has || moves(&k, before, after)) {
			f := movedFigure(&k, before, after, had, has)
			f.inLine = inLine(m, &k)
			list = append(list, f)
		}
	}
	was := m.Was.Findings
	now, accepted := m.Count()
	for _, c := range []struct {
		label                   string
		before, after, accepted int
	}{{"errors", was.Error, now.Error, accepted.Error}, {"warnings", was.Warning, now.Warning, accepted.Warning}, {"notes", was.Note, now.Note, accepted.Note}} {
		if all || c.before != c.after {
			after := fmt.Sprint(c.after)
			if c.accepted > 0 {
				after += fmt.Sprintf(" (%d accepted)", c.accepted)
			}
			list = append(list, Moved{c.label, fmt.Sprint(c.before), after, fmt.Sprintf("%+d", c.after-c.before),
				fmt.Sprintf("%s %d → %s", c.label, c.before, after), true})
		}
	}
	return list
}

// inLine says that a figure is told where there is one line for all: of a shape that only
// grew its size alone, and of others not what the weight tells as well.
func inLine(m *finding.Model, k *finding.FigureKind) bool {
	if l := &m.Was.Shape; l.Became == finding.SameShape && l.Factor != 1 {
		return k.Unit == string(catalog.MM) && k.Name != "bridge"
	}
	return k.Name != "volume" && k.Name != "surface"
}

// moves says that a figure differs by more than two exports of one shape do.
func moves(k *finding.FigureKind, before, after float64) bool {
	noise := k.Noise
	if u := catalog.Unit(k.Unit); u != catalog.MM && u != catalog.Deg {
		const share = 0.003 // of what is counted in cells; judgement
		noise = max(noise, share*max(math.Abs(before), math.Abs(after)))
	}
	return math.Abs(before-after) > noise
}

func movedFigure(k *finding.FigureKind, before, after float64, had, has bool) Moved {
	unit := catalog.Unit(k.Unit)
	one := func(x float64, known bool) string {
		if !known {
			return notKnown
		}
		return catalog.Format(x, unit)
	}
	m := Moved{Label: k.Label, Before: one(before, had), After: one(after, has)}
	// From 10 on these have no decimals, and a tenth of them is worth telling.
	if most := max(before, after); had && has && (unit == catalog.Gram || unit == catalog.Minute) && most >= 10 && most < 100 {
		m.Before, m.After = catalog.FormatFine(before, unit, 1), catalog.FormatFine(after, unit, 1)
	}
	// Figures that differ by little need more digits to be told apart.
	for more := 1; had && has && m.Before == m.After && moves(k, before, after) && more < 4; more++ {
		m.Before, m.After = catalog.FormatFine(before, unit, more), catalog.FormatFine(after, unit, more)
	}
	if had && has {
		m.Difference = catalog.Format(after-before, unit)
		if after > before {
			m.Difference = "+" + m.Difference
		}
	}
	number, unitWord, _ := strings.Cut(m.Before, " ")
	if _, other, _ := strings.Cut(m.After, " "); had && has && other == unitWord {
		m.short = fmt.Sprintf("%s %s → %s", k.Label, number, m.After)
	} else {
		m.short = fmt.Sprintf("%s %s → %s", k.Label, m.Before, m.After)
	}
	return m
}

// Became says in one line what a change did to a model: what its shape became, and the
// figures that moved. It is empty where nothing did, or nobody asked.
func Became(m *finding.Model) string {
	if m.Was == nil {
		return ""
	}
	var moved []string
	for _, f := range MovedFigures(m, false) {
		if f.inLine {
			moved = append(moved, f.short)
		}
	}
	l := &m.Was.Shape
	if len(moved) == 0 && l.Became == finding.SameShape && m.SHA256 == m.Was.SHA256 {
		return ""
	}
	text := l.Words
	if len(moved) > 0 {
		text += "; " + strings.Join(moved, ", ")
	}
	return text
}
