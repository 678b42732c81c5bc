package finding

import "slices"

// Change says of a finding whether a change brought it.
type Change string

// What a change does to a finding.
const (
	New  Change = "new"  // it was not there before, or was less bad
	Same Change = "same" // it was there before
	Gone Change = "gone" // it was there before, and is not any more
)

// FailOn says which findings close the gate.
type FailOn string

// The findings that can close the gate.
const (
	FailOnAll FailOn = "all"
	FailOnNew FailOn = "new" // only those that a change brings
)

// Comparison is what a change did to the findings that count.
type Comparison struct {
	Rev    string `json:"rev"`     // the revision, as it was asked for
	Commit string `json:"commit"`  // where the work tree left it
	FailOn FailOn `json:"fail_on"` // which findings close the gate
	New    int    `json:"new"`
	Same   int    `json:"same"`
	Gone   int    `json:"gone"`
	// Models are the models as they were before, each with what is gone of it.
	Models []Model `json:"models_before"`
	// Lost are the models that nothing is left of, by path and part.
	Lost []string `json:"models_lost"`
}

// Closes says that a finding on a model closes a gate that fails at the given level and
// above. Of a shelf of machines the report says where a model must fail: on any, on those
// named, or on every one of them, each by a finding of its own if need be.
func (r *Report) Closes(m *Model, f *Finding, failAt Level) bool {
	if !r.fails(f, failAt) || r.Where == nil {
		return r.fails(f, failAt)
	}
	on := func(f *Finding) func(Machine) bool {
		return func(k Machine) bool { return f.HoldsOn(k.Name) && r.Where.Counts(k.Name) }
	}
	if r.Where.Policy != FailOnEvery {
		return slices.ContainsFunc(r.Machines, on(f))
	}
	for _, k := range r.Machines {
		fails := func(f Finding) bool { return f.HoldsOn(k.Name) && r.fails(&f, failAt) }
		if !slices.ContainsFunc(m.Findings, fails) {
			return false
		}
	}
	return true
}

// fails says that a finding fails wherever it holds.
func (r *Report) fails(f *Finding, failAt Level) bool {
	if r.Compared != nil && r.Compared.FailOn == FailOnNew && (f.Change == Same || f.Rule == RuleStale) {
		return false // a waiver that a cure made idle must not stop the cure
	}
	return f.Counts() && failAt != None && f.Level.Rank() <= failAt.Rank()
}
