package lint

import (
	"context"
	"fmt"
	"path"
	"slices"
	"strings"

	"printlint/internal/alike"
	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/mesh"
	"printlint/internal/ruleset"
	"printlint/internal/verdict"
)

// Before is what the models of a run were like before a change.
type Before struct {
	Rev    string            // as people call it
	Commit string            // in full
	Files  []collection.File // as they were, those that are gone among them
	FailOn finding.FailOn    // which findings close the gate
	// Whole says that these files became those of the run, whatever they are called.
	Whole bool
	// Unread are the models that could not be judged as they were, once they were asked.
	Unread []finding.Model
	// Observer, when not nil, is handed each model with what it was while both meshes are in
	// memory, from several goroutines.
	Observer func(context.Context, *Changed)

	all []collection.File // of all shares; nil where there is one
}

// side is a model on one side of a change, with what may make it the same as one on the
// other.
type side struct {
	*finding.Model
	file, rules string // the file it is or lies in, and itself, by the paths that rules are written against
	path        string // of the file, as people see it
	nth         int    // of the models of its name in its file, from 0
	free        bool   // the other side has no file of that path
	only        bool   // in its file
	unsure      bool   // something in the other side's file of that path could not be judged
	tall, area  float64
	pair        *side
	// at is where the shape of its pair lies, once that is known.
	at *alike.Placement
	// pieces are models that became part of it, or that it was part of.
	pieces   []piece
	followed bool // the other side has it, or parts of it, in a model that is not its pair
	original bool // it did not change, and its pair is a copy of it
}

// compare judges the models as they were, by the same rules, and says of each finding
// whether it was there before.
func (b *Before) compare(ctx context.Context, config *ruleset.Config, files []collection.File, entries []entry, opt Options) (*finding.Comparison, error) {
	usage := config.NewUsage()
	j := &judge{usage: usage, machines: opt.Machines, where: whereOf(config, opt.Machines), limit: opt.TimeLimit, figures: true}
	g := &engine{config: config, limit: opt.TimeLimit, wait: patience(opt.TimeLimit), each: j.judge, results: newResults(&opt, j, RulesInForce(config, opt.Machines...))}
	opt.Progress, opt.Observer = nil, nil
	were, err := g.all(ctx, b.Files, opt)
	if err != nil {
		return nil, err
	}
	c := &finding.Comparison{Rev: b.Rev, Commit: b.Commit, FailOn: b.FailOn, Models: []finding.Model{}, Lost: []string{}}
	for i := range were {
		if were[i].Unjudged() {
			b.Unread = append(b.Unread, were[i].Model)
		}
	}
	now, was := sidesOf(files, entries), sidesOf(b.Files, were)
	markFree(now, b.Files)
	markFree(was, files)
	unread := unreadFiles(files, entries)
	markUnsure(was, unread)
	markUnsure(now, unreadFiles(b.Files, were))
	ways := samenesses
	if b.Whole {
		ways = slices.Concat(ways, pairwise)
	}
	for _, same := range ways {
		join(now, was, same)
	}
	if err := b.copied(ctx, g, files, now, opt); err != nil {
		return nil, err
	}
	b.edited(ctx, config, files, now, was, opt)
	if err := b.shapes(ctx, config, files, now, opt); err != nil {
		return nil, err
	}
	if err := b.follow(ctx, config, files, now, was, opt); err != nil {
		return nil, err
	}
	matched := map[*finding.Finding]bool{}
	for _, s := range now {
		b.mark(config, s, matched)
	}
	b.remark(files, entries, were)
	for _, s := range was {
		if s.pair == nil && !s.followed && !unread[s.file] {
			c.Lost = append(c.Lost, finding.NameOf(s.Model))
		}
		if gone := goneOf(s, matched); len(gone) > 0 {
			m := *s.Model
			m.Notes, m.Measures, m.Advice, m.Findings, m.Machines = []string{}, finding.Measures{}, nil, gone, nil
			c.Gone += len(gone)
			c.Models = append(c.Models, m)
		}
	}
	return c, nil
}

// sidesOf lists the models that were measured, in order of their path.
func sidesOf(files []collection.File, entries []entry) []*side {
	origins := collection.OriginsOf(files)
	models, nth := map[string]int{}, map[string]int{}
	var list []*side
	for i := range entries {
		m := &entries[i].Model
		file, rules := origins.Of(m.Path)
		_, container := origins.Of(file)
		models[container]++
		tall, known := m.Figures.Get("height")
		area, _ := m.Figures.Get("surface")
		if len(m.Findings) > 0 {
			at := m.Findings[0].Location
			tall, area, known = at.Tall, at.Surface, true
		}
		if known {
			key := m.Path + "\x00" + m.Part
			list = append(list, &side{Model: m, path: file, file: container, rules: rules, tall: tall, area: area, nth: nth[key]})
			nth[key]++
		}
	}
	for _, s := range list {
		s.only = models[s.file] == 1
	}
	slices.SortStableFunc(list, func(a, b *side) int { return strings.Compare(a.Path, b.Path) })
	return list
}

// unreadFiles are the files in which something could not be judged: what was in them may
// still be there.
func unreadFiles(files []collection.File, entries []entry) map[string]bool {
	origins, unread := collection.OriginsOf(files), map[string]bool{}
	for i := range entries {
		if entries[i].Unjudged() || entries[i].Status == finding.Skipped {
			file, _ := origins.Of(entries[i].Path)
			_, container := origins.Of(file)
			unread[container] = true
		}
	}
	return unread
}

func markUnsure(sides []*side, unread map[string]bool) {
	for _, s := range sides {
		s.unsure = unread[s.file]
	}
}

// markFree finds the models whose file is not among those of the other side.
func markFree(sides []*side, others []collection.File) {
	there := make(map[string]bool, len(others))
	for i := range others {
		there[others[i].Rules] = true
	}
	for _, s := range sides {
		s.free = !there[s.file]
	}
}

// sameness is a way to know a model again: by a key, which is empty where a model has
// none, and by what else must agree.
type sameness struct {
	key   func(*side) string
	agree func(now, was *side) bool
}

// samenesses are the ways to know a model again, the surest first. A model keeps its
// path; where it has none it may have been renamed, moved or exported in another format.
var samenesses = []sameness{
	{inPlace, shapedAlike},
	{func(s *side) string { return s.file }, shapedAlike},
	{func(s *side) string { // of two that changed names, both are there
		if s.free || s.unsure {
			return ""
		}
		return s.SHA256 + "\x00" + s.Part
	}, shapedAlike},
	{inPlace, nil},
	{func(s *side) string { return s.file }, func(now, was *side) bool { return now.only && was.only }},
	{free(func(s *side) string { return s.SHA256 + "\x00" + s.Part }), nil},
	{free(func(s *side) string { return path.Base(s.rules) }), shapedAlike},
	{free(func(*side) string { return "any" }), shapedAlike},
	{free(func(s *side) string { return path.Base(s.rules) + "\x00" + s.Part }), nil},
	{free(func(s *side) string { return strings.TrimSuffix(s.rules, path.Ext(s.rules)) }), func(now, was *side) bool { return now.only && was.only }},
	{func(s *side) string { // a part that went into a file of its own, or came from one
		if s.unsure {
			return ""
		}
		return "any"
	}, func(now, was *side) bool { return shapedAlike(now, was) && !(now.only && was.only) }},
}

// pairwise are more ways, where one file is said to have become the other, whatever they
// are called and look like.
var pairwise = []sameness{
	{func(s *side) string { return "part " + s.Part }, nil},
	{func(*side) string { return "any" }, func(now, was *side) bool { return now.only && was.only }},
}

func inPlace(s *side) string { return s.rules + "\x00" + s.Part }

// free gives a key to models alone whose file has no counterpart of the same path.
func free(key func(*side) string) func(*side) string {
	return func(s *side) string {
		if !s.free {
			return ""
		}
		return key(s)
	}
}

// shapedAlike says that two models have one height and one surface, as the same model read
// from another file, moved, or turned about z.
func shapedAlike(now, was *side) bool {
	return ruleset.SameShape(now.tall, was.tall) && ruleset.SameShape(now.area, was.area)
}

// join pairs the models that are still alone.
func join(now, was []*side, same sameness) {
	open := map[string][]*side{}
	for _, s := range was {
		if key := same.key(s); s.pair == nil && key != "" {
			open[key] = append(open[key], s)
		}
	}
	for _, s := range now {
		key := same.key(s)
		if s.pair != nil || key == "" {
			continue
		}
		list := open[key]
		at := slices.IndexFunc(list, func(w *side) bool { return same.agree == nil || same.agree(s, w) })
		if at >= 0 {
			s.pair, list[at].pair = list[at], s
			open[key] = slices.Delete(list, at, at+1)
		}
	}
}

// mark says of each finding on a model whether it was there before, and notes which of
// those before are found again.
func (b *Before) mark(config *ruleset.Config, now *side, matched map[*finding.Finding]bool) {
	for i := range now.Findings {
		now.Findings[i].Change = finding.New
	}
	if was := now.pair; was != nil {
		if was.original {
			now.Notes = append(now.Notes, "it is a copy of "+was.Path+alikeWords(config, now, piece{of: was}))
			return
		}
		if was.rules != now.rules {
			now.Notes = append(now.Notes, fmt.Sprintf("it was %s in %s", was.Path, b.Rev))
		}
		p := piece{of: was, at: now.at}
		match(config, now, p, matched)
		milder(config, now, p, matched)
		proved(config, now, matched)
	}
	for _, p := range now.pieces {
		match(config, now, p, matched)
		milder(config, now, p, matched)
	}
}

// match looks among the findings on a model for those on what it was, or a piece of it.
func match(config *ruleset.Config, now *side, was piece, matched map[*finding.Finding]bool) {
	before, which := was.recorded()
	for i, m := range config.Match(before, recorded(now)) {
		f := &now.Findings[i]
		if m.Before < 0 || f.Change == finding.Same || matched[which[m.Before]] {
			continue
		}
		old := which[m.Before]
		matched[old] = true
		switch {
		case m.Worse != "" && f.Worse == "":
			f.Worse = m.Worse
		case m.Worse == "" && f.Level.Rank() >= old.Level.Rank() && !spreads(old, f):
			f.Change = finding.Same
		}
	}
}

// spreads says that a finding holds on a machine on which it did not before.
func spreads(old, now *finding.Finding) bool {
	if len(old.On) == 0 {
		return false
	}
	return len(now.On) == 0 || slices.ContainsFunc(now.On, func(name string) bool { return !old.HoldsOn(name) })
}

// piece is a former model, or a part of it, that is in a present one.
type piece struct {
	of *side
	at *alike.Placement // where it is; nil where that is not known
	in []mesh.Box       // the parts of it; empty for the whole
}

// recorded is what was found on it, as it is known again, with its places where they are
// now.
func (p *piece) recorded() (one *ruleset.Accepted, which []*finding.Finding) {
	all := recorded(p.of)
	list := all.Findings
	all.Findings = nil
	for i := range list {
		at := mesh.VecOf(list[i].At)
		if len(p.in) > 0 && !slices.ContainsFunc(p.in, func(b mesh.Box) bool { return b.Contains(at, pieceRim) }) {
			continue
		}
		if p.at != nil && p.at.Factor == 1 {
			list[i].At = verdict.Point(p.at.To(at))
		}
		all.Findings, which = append(all.Findings, list[i]), append(which, &p.of.Findings[i])
	}
	return all, which
}

// recorded is what is on a model, as it is known again.
func recorded(s *side) *ruleset.Accepted {
	one := &ruleset.Accepted{Path: s.rules, Part: s.Part, Tall: s.tall, Surface: s.area}
	for i := range s.Findings {
		one.Findings = append(one.Findings, acceptedOf(&s.Findings[i]))
	}
	return one
}

// pieceRim is how far outside of a part of a model, in mm, a finding may lie and still be
// on it: places come from cells and layers. Judgement.
const pieceRim = 0.5

// remark says of a model with findings that nothing, or not all, is known of what it was.
func (b *Before) remark(files []collection.File, entries, were []entry) {
	before, now := collection.OriginsOf(b.Files), collection.OriginsOf(files)
	why := map[string]string{}
	for i := range were {
		if m := &were[i].Model; m.Unjudged() || m.Status == finding.Skipped {
			_, rules := before.Of(m.Path)
			why[rules] = m.Reason
		}
	}
	for i := range entries {
		m := &entries[i].Model
		file, rules := now.Of(m.Path)
		_, container := now.Of(file)
		reason, known := why[rules]
		if !known {
			reason, known = why[container]
		}
		if known && slices.ContainsFunc(m.Findings, func(f finding.Finding) bool { return f.Change == finding.New && f.Counts() }) {
			m.Notes = append(m.Notes, fmt.Sprintf("as it was in %s it could not be judged whole (%s); what is not known from there counts as new", b.Rev, reason))
		}
	}
}

// goneOf lists what was found and is not any more, whether it was accepted or not.
func goneOf(was *side, matched map[*finding.Finding]bool) (list []finding.Finding) {
	for i := range was.Findings {
		if f := &was.Findings[i]; f.Level.Rank() < finding.None.Rank() && !matched[f] {
			gone := *f
			gone.Change, gone.Waived = finding.Gone, nil
			list = append(list, gone)
		}
	}
	return list
}

// countChanges counts the findings of a compared run. What is found on a configuration
// has nothing to compare with.
func countChanges(r *finding.Report) {
	if r.Compared == nil {
		return
	}
	r.Compared.New, r.Compared.Same = 0, 0
	for i := range r.Models {
		for k := range r.Models[i].Findings {
			f := &r.Models[i].Findings[k]
			if f.Rule == RuleStale {
				continue // told, and no trouble that the change made
			}
			if f.Change == "" {
				f.Change = finding.New
			}
			switch {
			case !f.Counts():
			case f.Change == finding.Same:
				r.Compared.Same++
			default:
				r.Compared.New++
			}
		}
	}
}
