package lint

import (
	"cmp"
	"context"
	"slices"

	"printlint/internal/catalog"
	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/ruleset"
	"printlint/internal/verdict"
)

// judgeFolders judges each folder that holds a model of the run by the rules over folders. Of
// a run in shares, a folder is judged by the one that has its first model. There is an entry for
// each folder that was judged, with findings or without.
func (g *engine) judgeFolders(ctx context.Context, j *judge, files []collection.File, entries []entry, compared *finding.Comparison, opt *Options) ([]entry, error) {
	own := g.folders.Folders(files)
	judged := slices.DeleteFunc(slices.Clone(own), func(d collection.Folder) bool { return len(j.usage.For(d.Rules).Folder) == 0 })
	if len(judged) == 0 {
		return nil, nil
	}
	all := opt.Around.All
	if all == nil {
		all = files
	}
	judged = slices.DeleteFunc(judged, func(d collection.Folder) bool { return !firstIn(d.Path, all, files) })
	s := newShelf(ctx, g, judged, all, entries, opt)
	var list []entry
	for i := range judged {
		d := &judged[i]
		e := entry{Model: folderModel(d)}
		s.judge(j, d, &e.Model, nil)
		j.waive(d.Rules, &e.Model)
		list = append(list, e)
		if opt.Before != nil {
			was := folderModel(d)
			if past := s.was(d); past != nil {
				s.judge(j, past, &was, (*ruleset.Rule).ByNames)
			}
			opt.Before.markFolder(g.config, d.Rules, &list[i].Model, &was, compared)
		}
	}
	return list, ctx.Err()
}

// firstIn says that the first file of a folder, of all there are, is among those of this run.
func firstIn(folder string, all, files []collection.File) bool {
	for i := range all {
		if all[i].Skip == "" && all[i].In() == folder {
			return slices.ContainsFunc(files, func(f collection.File) bool { return f.Path == all[i].Path })
		}
	}
	return false
}

// silent says that an entry for a folder has nothing to tell.
func silent(e entry) bool {
	return e.Kind == finding.KindFolder && e.Status == finding.Checked && len(e.Findings)+len(e.Notes) == 0
}

// folderModel is the entry for a folder.
func folderModel(d *collection.Folder) finding.Model {
	return finding.Model{Path: d.Path, Kind: finding.KindFolder, Status: finding.Checked, Notes: []string{}, Measures: finding.Measures{}, Findings: []finding.Finding{}}
}

// judge judges one folder by its rules; only, when not nil, says by which.
func (s *shelf) judge(j *judge, d *collection.Folder, m *finding.Model, only func(*ruleset.Rule) bool) {
	known := s.folder(d, m)
	for _, r := range j.usage.For(d.Rules).Folder {
		if only != nil && !only(r) {
			continue
		}
		values := r.GatherFolder(known)
		holds, err := r.Match(values)
		if err != nil {
			m.Undecide(err.Error(), "")
			continue
		}
		if holds {
			m.Findings = append(m.Findings, folderFinding(r, known, values))
		}
	}
}

// was is a folder as it was before the change; nil where nothing is known of it. Of the past
// only names are known: what was equal, left and right, or changed later counts as new.
func (s *shelf) was(d *collection.Folder) *collection.Folder {
	before := *d
	if before.Names = s.past.Names(d); len(before.Names) == 0 {
		return nil
	}
	return &before
}

// markFolder says of each finding on a folder whether it was there before, and adds those
// that are gone to the comparison.
func (b *Before) markFolder(config *ruleset.Config, rules string, now, was *finding.Model, c *finding.Comparison) {
	matched := map[*finding.Finding]bool{}
	before := &side{Model: was, rules: rules}
	b.mark(config, &side{Model: now, rules: rules, pair: before}, matched)
	gone := goneOf(before, matched)
	if len(gone) == 0 {
		return
	}
	was.Findings = gone
	c.Gone += len(gone)
	c.Models = append(c.Models, *was)
	slices.SortStableFunc(c.Models, func(a, b finding.Model) int { return cmp.Compare(a.Path, b.Path) })
}

// folderFinding is a rule that holds for a folder.
func folderFinding(r *ruleset.Rule, d *catalog.Folder, values []float64) finding.Finding {
	about := r.AboutFolder(d)
	return finding.Finding{
		Rule: r.ID, Level: r.Level, Message: about.Message(values), Says: about.Says(), Advice: about.Action(values),
		Values: r.Values(values), Limits: r.LimitValues(),
		Fingerprint: verdict.Fingerprint(r.ID, "folder\x00-1\x00-1", 1),
		Location:    finding.Location{Whole: true},
	}
}
