package lint

import (
	"context"
	"slices"

	"printlint/internal/catalog"
	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/ruleset"
	"printlint/internal/verdict"
)

// judgeFolders judges each folder that holds a model of the run by the rules over folders. Of
// a run in shares, a folder is told of by the one that has its first model. There is an entry for
// each folder that was judged, with findings or without.
func (g *engine) judgeFolders(ctx context.Context, j *judge, files []collection.File, entries []entry, compared *finding.Comparison, opt *Options) ([]entry, error) {
	all := opt.Around.All
	if all == nil {
		all = files
	}
	look := files
	if opt.Before != nil {
		look = all // what a folder was is found out among all of them, in each share alike
	}
	judged := slices.DeleteFunc(g.folders.Folders(look), func(d collection.Folder) bool { return len(j.usage.For(d.Rules).Folder) == 0 })
	first := firstOf(all, files)
	mine := func(d *collection.Folder) bool { return first[d.Path] }
	if opt.Before == nil {
		judged = slices.DeleteFunc(judged, func(d collection.Folder) bool { return !mine(&d) })
	}
	if !slices.ContainsFunc(judged, func(d collection.Folder) bool { return mine(&d) }) {
		return nil, nil
	}
	s := newShelf(ctx, g, judged, all, entries, opt)
	list := make([]entry, len(judged))
	found := make([][]folderHit, len(judged))
	for i := range judged {
		d := &judged[i]
		list[i].Model = folderModel(d)
		found[i] = s.judge(j, d, &list[i].Model)
		if mine(d) {
			j.waive(d.Rules, &list[i].Model)
		}
	}
	if opt.Before != nil {
		p := newFormerly(s, opt)
		for i := range judged {
			p.mark(&judged[i], found[i], &list[i].Model)
		}
		p.tellGone(judged, mine, compared)
	}
	var told []entry
	for i := range judged {
		if mine(&judged[i]) {
			told = append(told, list[i])
		}
	}
	return told, ctx.Err()
}

// firstOf are the folders whose first file, of all there are, is among those of this run.
func firstOf(all, files []collection.File) map[string]bool {
	own, first := byPath(files), map[string]bool{}
	for i := range all {
		f := &all[i]
		if in := f.In(); f.Skip == "" {
			if _, known := first[in]; !known {
				first[in] = own[f.Path] != nil
			}
		}
	}
	return first
}

// silent says that an entry for a folder has nothing to tell.
func silent(e entry) bool {
	return e.Kind == finding.KindFolder && e.Status == finding.Checked && len(e.Findings)+len(e.Notes) == 0
}

// folderModel is the entry for a folder.
func folderModel(d *collection.Folder) finding.Model {
	return finding.Model{Path: d.Path, Kind: finding.KindFolder, Status: finding.Checked, Notes: []string{}, Measures: finding.Measures{}, Findings: []finding.Finding{}}
}

// folderHit is a rule that holds for a folder, with the values that it saw.
type folderHit struct {
	rule   *ruleset.Rule
	folder *catalog.Folder
	values []float64
}

// judge judges one folder by its rules. There is a hit for each finding.
func (s *shelf) judge(j *judge, d *collection.Folder, m *finding.Model) (hits []folderHit) {
	known := s.folder(d, m)
	for _, r := range j.usage.For(d.Rules).Folder {
		values := r.GatherFolder(known)
		holds, err := r.Match(values)
		if err != nil {
			m.Undecide(err.Error(), "")
			continue
		}
		if holds {
			hits = append(hits, folderHit{r, known, values})
			m.Findings = append(m.Findings, folderFinding(r, known, values))
		}
	}
	return hits
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
