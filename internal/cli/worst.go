package cli

import (
	"cmp"
	"context"
	"slices"

	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/lint"
	"printlint/internal/ruleset"
)

// maxDrawn is how many models of a run have pictures: the worst of them. A picture takes as long as the check of some ten small models, and memory until the
// pages are written. Judgement.
const maxDrawn = 400

// worst are the models that deserve a picture most, at most n: those that could not be judged
// whole, then by their findings.
func worst(r *finding.Report, n int) []int {
	type badness struct {
		model, judged int
		finding.LevelCount
	}
	var list []badness
	for i := range r.Models {
		m := &r.Models[i]
		all, accepted := m.Count()
		left := finding.LevelCount{Error: all.Error - accepted.Error, Warning: all.Warning - accepted.Warning, Note: all.Note - accepted.Note}
		switch {
		case !m.OfModel():
		case m.Status == finding.Undecided:
			list = append(list, badness{i, 0, left})
		case m.Status == finding.Checked:
			list = append(list, badness{i, 1, left})
		}
	}
	slices.SortFunc(list, func(a, b badness) int {
		return cmp.Or(a.judged-b.judged, b.Error-a.Error, b.Warning-a.Warning, b.Note-a.Note, a.model-b.model)
	})
	var models []int
	for _, b := range list[:min(n, len(list))] {
		models = append(models, b.model)
	}
	return models
}

// drawWorst draws the worst models of a run that was too large to draw all of it: their files
// are judged once more, with the pictures this time. So the rest takes no longer than a plain
// check, and which models are drawn does not depend on the order in which they were judged.
func (g *gallery) drawWorst(ctx context.Context, r *finding.Report, files []collection.File, config *ruleset.Config, opt lint.Options) error {
	g.only = map[string]int{}
	wanted, origins := map[string]bool{}, collection.OriginsOf(files)
	chosen := worst(r, g.most)
	for _, i := range chosen {
		g.only[pictureKey(&r.Models[i])]++
		file, _ := origins.Of(r.Models[i].Path)
		wanted[file] = true
	}
	files = slices.DeleteFunc(slices.Clone(files), func(f collection.File) bool { return !wanted[f.Path] })
	opt.Observer, opt.Results, opt.Progress = g, lint.ResultCache{}, nil
	opt.Whole, opt.Shard, opt.Remarks, opt.Idle = false, nil, nil, nil
	again, err := lint.Run(ctx, Version(), files, config, opt)
	if err != nil {
		return err
	}
	// A model that could not be drawn says why.
	said := map[string][]*finding.Model{}
	for i := range again.Models {
		key := pictureKey(&again.Models[i])
		said[key] = append(said[key], &again.Models[i])
	}
	for i := range r.Models {
		key := pictureKey(&r.Models[i])
		if list := said[key]; len(list) > 0 {
			r.Models[i].Notes, said[key] = list[0].Notes, list[1:]
		}
	}
	return nil
}
