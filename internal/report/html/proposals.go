package html

import (
	"reflect"
	"slices"

	"printlint/internal/draw"
	"printlint/internal/finding"
)

// proposals are what is advised to change in the shape, with the pictures there are.
type proposals struct {
	*finding.Advice
	Off, Stands, Planes, Laid, Without, With *view
}

// pictured is the advice that pictures stand with: the model's own, beside the first machine
// that has it.
func (p *model) pictured() *finding.Advice {
	for _, v := range p.On {
		if v.Advice != nil && reflect.DeepEqual(v.Advice, p.Advice) {
			return v.Advice
		}
	}
	return p.Advice
}

// Proposals are those of some advice on the model.
func (p *model) Proposals(a *finding.Advice) *proposals {
	s := &proposals{Advice: a}
	d := p.drawn
	if d == nil || a != p.pictured() {
		return s
	}
	pair := func(one, two **view, prefix, first, second string, a, b *draw.Encoded) {
		if a == nil || b == nil {
			return
		}
		v, w := p.view(prefix, first, a), p.view(prefix+"-", second, b)
		*one, *two = &v, &w
	}
	pair(&s.Off, &s.Stands, "f", "What to cut off", "The flat it then stands on", d.Off, d.Stands)
	pair(&s.Planes, &s.Laid, "s", "Where to cut", "The pieces as they print", d.Planes, d.Laid)
	pair(&s.Without, &s.With, "e", "Before", "After the change", d.Without, d.With)
	return s
}

// Adds says whether a change of shape that is advised adds something.
func (s *proposals) Adds() bool { return s.changes(func(e finding.Edit) bool { return e.Volume >= 0 }) }

// Takes says whether it takes something away.
func (s *proposals) Takes() bool { return s.changes(func(e finding.Edit) bool { return e.Volume < 0 }) }

func (s *proposals) changes(is func(finding.Edit) bool) bool {
	return s.Edits != nil && slices.ContainsFunc(s.Edits.List, is)
}
