package lint

import (
	"cmp"
	"fmt"
	"slices"

	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/ruleset"
	"printlint/internal/verdict"
)

// RuleStale is the rule of findings on waivers that should go.
const RuleStale = finding.RuleStale

// KindConfig marks the entry of a report that stands for a configuration file: what
// is wrong with its waivers is found there. It is no model and not counted as one.
const KindConfig = finding.KindConfig

// Remark is something to say about a configuration file.
type Remark struct{ File, Text string }

// Idle is a configuration that holds for nothing, and what holds in its place.
type Idle struct {
	Remark
	Old bool // both were there before the change that the run is about
}

// unused lists the waivers and accepted findings that accepted nothing, and the places that
// speak of no model. With all it lists also those of models that this run did not look at.
func unused(usage *ruleset.Usage, files []collection.File, entries []entry, opt *Options) []finding.Unused {
	all := opt.Shard != nil
	checked, unjudged := rulePaths(files, entries)
	looked := ruleset.Looked{Checked: checked, Unjudged: unjudged, Whole: opt.Whole}
	for _, f := range append(opt.Around.All, files...) {
		looked.Listed = append(looked.Listed, f.Rules)
	}
	met := map[ruleset.Position]bool{}
	for _, w := range usage.Stale(looked) {
		met[w.From] = true
	}
	for _, a := range usage.StaleAccepted(checked, unjudged, opt.Whole) {
		met[a.From] = true
	}
	list := []finding.Unused{}
	add := func(at ruleset.Position, u finding.Unused) {
		u.File, u.Line, u.Column, u.Met = at.File, at.Line, at.Column, met[at]
		if u.Met || all {
			list = append(list, u)
		}
	}
	if opt.Whole {
		for _, p := range usage.StalePlaces(looked) {
			met[p.From] = true
			add(p.From, finding.Unused{Path: p.Paths, Why: p.Hint, Place: true})
		}
	}
	looked.Whole = opt.Whole || all
	for _, w := range usage.Stale(looked) {
		add(w.From, finding.Unused{Path: w.Path, Part: w.Part, Rule: w.Rule, Why: w.Why, Written: true})
	}
	for _, a := range usage.StaleAccepted(checked, unjudged, opt.Whole || all) {
		add(a.From, finding.Unused{Path: a.Path, Part: a.Part, Rule: a.Rule, Why: "it matched no finding"})
	}
	return list
}

// configEntries puts what is to be said about configuration files into the report: what
// should go, as findings, and remarks, as notes. A run that compares looks at what a change
// does, and a line that the change made idle is no trouble but the sign of a cure: a note.
func configEntries(list []finding.Unused, remarks []Remark, idle []Idle, compared bool) []finding.Model {
	var models []finding.Model
	of := func(file string) *finding.Model {
		i := slices.IndexFunc(models, func(m finding.Model) bool { return m.Path == file })
		if i < 0 {
			i = len(models)
			models = append(models, finding.Model{
				Path: file, Kind: KindConfig, Status: finding.Checked,
				Notes: []string{}, Measures: finding.Measures{}, Findings: []finding.Finding{},
			})
		}
		return &models[i]
	}
	for _, r := range remarks {
		if m := of(r.File); !slices.Contains(m.Notes, r.Text) {
			m.Notes = append(m.Notes, r.Text)
		}
	}
	for _, r := range idle {
		if m := of(r.File); !slices.ContainsFunc(m.Findings, func(f finding.Finding) bool { return f.Rule == finding.RuleNested }) {
			f := idleFinding(r.Remark)
			if compared && r.Old {
				f.Change = finding.Same
			}
			m.Findings = append(m.Findings, f)
		}
	}
	count := map[string]int{}
	list = slices.Clone(list)
	slices.SortStableFunc(list, func(a, b finding.Unused) int {
		return cmp.Or(cmp.Compare(a.File, b.File), cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
	for i := 0; i < len(list); {
		n := goTogether(list[i:])
		m := of(list[i].File)
		f := staleFinding(&list[i], n, compared)
		key := fmt.Sprintf("%s\x00%s\x00%s", list[i].Path, list[i].Rule, list[i].Part)
		count[m.Path+"\x00"+key]++
		f.Fingerprint = verdict.Fingerprint(RuleStale, key, count[m.Path+"\x00"+key])
		m.Findings = append(m.Findings, f)
		i += n
	}
	return models
}

// idleFinding tells of a configuration that holds for nothing.
func idleFinding(r Remark) finding.Finding {
	return finding.Finding{
		Rule: finding.RuleNested, Level: finding.Error, Line: 1, Message: r.Text,
		Advice: "move what it says into the other one, as a place for this folder, or leave the folder out there with models.exclude",
		Values: finding.Values{}, Limits: finding.Values{},
		Fingerprint: verdict.Fingerprint(finding.RuleNested, "nested configuration\x00-1\x00-1", 1),
	}
}

// goTogether counts the accepted findings at the head of the list that go together: of one
// rule on one part. Waivers stand alone.
func goTogether(list []finding.Unused) int {
	n := 1
	for a := list[0]; n < len(list); n++ {
		if b := list[n]; a.Written || b.Written || a.Place || b.Place || a.File != b.File || a.Path != b.Path || a.Part != b.Part || a.Rule != b.Rule {
			break
		}
	}
	return n
}

func staleFinding(u *finding.Unused, n int, compared bool) finding.Finding {
	f := finding.Finding{
		Rule: RuleStale, Level: finding.Warning, Line: u.Line,
		Values: finding.Values{}, Limits: finding.Values{},
	}
	verb := "should"
	if compared {
		f.Level, verb = finding.Note, "can"
	}
	switch {
	case u.Place:
		f.Level, f.Rule, f.Message = finding.Warning, finding.RulePlace, fmt.Sprintf("no model matches the paths of this place: %s%s", u.Path, u.Why)
		f.Advice = "write its paths as they are now, from the folder that the configuration speaks for, or remove it"
	case u.Written:
		f.Message = fmt.Sprintf("the waiver of %s for %s %s go: %s", u.Rule, u.Path, verb, u.Why)
		f.Advice = "remove the waiver, or write it anew if the finding is still accepted"
	case n == 1:
		f.Message = fmt.Sprintf("the accepted finding of %s on %s %s go: %s", u.Rule, u.Path, verb, u.Why)
	default:
		f.Message = fmt.Sprintf("%d accepted findings of %s on %s %s go: they matched no finding", n, u.Rule, u.Path, verb)
	}
	if !u.Written && !u.Place {
		f.Advice = "write the file anew with check --accept, or remove the lines"
	}
	return f
}
