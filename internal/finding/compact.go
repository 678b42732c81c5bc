package finding

import "unique"

// Compact makes a model that was read take as little memory as one that was judged: a reader of
// JSON leaves room behind every list, and has a copy of its own of each word.
func (m *Model) Compact() {
	m.Kind, m.Status = one(m.Kind), one(m.Status)
	m.Findings, m.Notes = exact(m.Findings), exact(m.Notes)
	for i := range m.Findings {
		f := &m.Findings[i]
		f.Rule, f.Level, f.Advice = one(f.Rule), one(f.Level), one(f.Advice)
		f.Says, f.Values, f.Limits = exact(f.Says), exact(f.Values), exact(f.Limits)
		for k := range f.Says {
			f.Says[k] = one(f.Says[k])
		}
	}
	if m.Advice == nil {
		return
	}
	m.Advice.Poses = exact(m.Advice.Poses)
	for i := range m.Advice.Poses {
		p := &m.Advice.Poses[i]
		p.Words, p.Costs, p.Left = one(p.Words), exact(p.Costs), exact(p.Left)
		for k := range p.Left {
			p.Left[k].Rule, p.Left[k].Level = one(p.Left[k].Rule), one(p.Left[k].Level)
		}
	}
}

// one is the same words, kept once for all that have them.
func one[T ~string](words T) T { return unique.Make(words).Value() }

// exact is a list with no room behind it; nil stays nil.
func exact[S ~[]E, E any](list S) S {
	if list == nil || cap(list) == len(list) {
		return list
	}
	own := make(S, len(list))
	copy(own, list)
	return own
}
