package finding

import (
	"cmp"
	"fmt"
	"math"
	"strings"
)

// ToolName is what this program is called in reports.
const ToolName = "printlint"

// KindConfig is the kind of an entry that stands for a configuration file: what is wrong
// with its waivers is found there, and notes say which rules hold. It is no model and
// not counted as one.
const KindConfig = "configuration"

// KindFolder is the kind of an entry that stands for a folder with models, by a rule with
// per: folder. It is no model either.
const KindFolder = "folder"

// OfModel says that the entry stands for a model.
func (m *Model) OfModel() bool { return m.Kind != KindConfig && m.Kind != KindFolder }

// Accepted is how a finding is marked that a file of accepted findings speaks of.
func Accepted(file string) *Waived {
	return &Waived{Kind: ByAccepted, File: file, Reason: "accepted as it was found, in " + file}
}

// AsFound says that the finding was accepted as it was found, and not by a waiver.
func (w *Waived) AsFound() bool { return w != nil && w.Kind == ByAccepted }

// Undecide makes a model undecided, for one reason more, with its cure where there is one.
// What was found on it stays.
func (m *Model) Undecide(why, cure string) {
	if cure != "" {
		why += "; " + cure
	}
	if m.Status == Undecided && m.Reason != "" {
		why = m.Reason + "; " + why
	}
	m.Status, m.Reason = Undecided, why
}

// Counts says that a finding is neither accepted in writing nor of level none.
func (f *Finding) Counts() bool { return f.Waived == nil && f.Level.Rank() < None.Rank() }

// Worst is the level of the worst finding on the model that counts; none where there is
// no such finding.
func (m *Model) Worst() Level {
	worst := None
	for i := range m.Findings {
		if f := &m.Findings[i]; f.Counts() && f.Level.Rank() < worst.Rank() {
			worst = f.Level
		}
	}
	return worst
}

// Clean says that the model was judged whole, and that nothing on it is an error or a
// warning. A note does not change that: it is worth knowing, and asks for nothing.
func (m *Model) Clean() bool { return m.Status == Checked && m.Worst().Rank() > Warning.Rank() }

// FullMessage is what is wrong, and that it is worse than was accepted where it is.
func (f *Finding) FullMessage() string {
	if f.Worse == "" {
		return f.Message
	}
	return f.Message + "; " + f.Worse
}

// Levels are the findings of the summary by level.
func (s *Summary) Levels() LevelCount { return LevelCount{s.Error, s.Warning, s.Note} }

// Add counts a finding of that level.
func (c *LevelCount) Add(l Level) {
	switch l {
	case Error:
		c.Error++
	case Warning:
		c.Warning++
	case Note:
		c.Note++
	}
}

// String words the count: "2 errors, 1 warning", or "no finding".
func (c LevelCount) String() string {
	var words []string
	for _, k := range []struct {
		n     int
		level Level
	}{{c.Error, Error}, {c.Warning, Warning}, {c.Note, Note}} {
		switch {
		case k.n == 1:
			words = append(words, "1 "+string(k.level))
		case k.n > 1:
			words = append(words, fmt.Sprintf("%d %ss", k.n, k.level))
		}
	}
	return cmp.Or(strings.Join(words, ", "), "no finding")
}

// Past is how many times a finding is past its limits: those that its message tells, or else
// all of them.
func (f *Finding) Past() float64 {
	by, limited := 1.0, false
	for _, name := range f.Says {
		value, ok := f.Values.Get(name)
		if limit, has := f.Limits.Get(name); ok && has {
			limited = true
			by *= Past(value, limit)
		}
	}
	if limited {
		return by
	}
	for _, v := range f.Values {
		if limit, ok := f.Limits.Get(v.Name); ok {
			by *= Past(v.Value, limit)
		}
	}
	return by
}

// Past is how many times a value is past its limit, whichever side of it is the wrong one.
// Where one of them is not above 0, where no such number is, it is by how much.
func Past(value, limit float64) float64 {
	switch {
	case value == limit:
		return 1
	case min(value, limit) > 0:
		return max(value/limit, limit/value)
	}
	return 1 + math.Abs(value-limit)
}
