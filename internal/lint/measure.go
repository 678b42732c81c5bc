package lint

import (
	"context"

	"printlint/internal/catalog"
	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/measure"
	"printlint/internal/mesh"
	"printlint/internal/ruleset"
	"printlint/internal/verdict"
)

// Measured is one model with everything that was measured on it, and no judgement.
type Measured struct {
	finding.Model
	Readings []Reading
}

// Reading is one measure of a model.
type Reading struct {
	Measure   string         `json:"measure"`
	Undecided string         `json:"undecided"` // why it could not be taken, or empty
	Model     finding.Values `json:"model"`     // of the whole model
	Sites     []SiteReading  `json:"sites"`     // not nil
}

// SiteReading is one place where a measure was taken.
type SiteReading struct {
	Line     int            `json:"line"`
	Triangle int            `json:"triangle"`
	At       [3]float64     `json:"at"`
	Box      [2][3]float64  `json:"box"`
	Values   finding.Values `json:"values"`
}

// Measure takes every measure of the files with its default parameters. Only the
// process and the unit of the configuration count.
func Measure(ctx context.Context, files []collection.File, config *ruleset.Config, opt Options) ([]Measured, error) {
	g := &engine{config: config, limit: opt.TimeLimit, wait: patience(opt.TimeLimit)}
	g.each = func(ctx context.Context, e *entry, path string, m *mesh.Mesh, jobs int) (err error) {
		e.readings, err = takeAll(ctx, config.For(path), e.file, m, jobs)
		for i := range e.readings {
			if t := &e.readings[i]; t.Undecided != "" {
				e.Undecide("not all of it could be measured", "")
				break
			}
		}
		return err
	}
	entries, err := g.all(ctx, files, opt)
	if err != nil {
		return nil, err
	}
	sortEntries(entries)
	list := make([]Measured, len(entries))
	for i, e := range entries {
		list[i] = Measured{e.Model, e.readings}
	}
	return list, nil
}

// takeAll takes every measure of one mesh.
func takeAll(ctx context.Context, view *ruleset.View, file *catalog.File, m *mesh.Mesh, jobs int) ([]Reading, error) {
	defs := measure.Catalog()
	requests := make([]measure.Request, len(defs))
	for i := range defs {
		requests[i].Measure = defs[i].Name
	}
	body := measure.NewBody(m)
	body.File = file
	results, err := body.Measure(ctx, measure.AsIs, view.Process, measure.Options{Jobs: jobs}, requests)
	if err != nil {
		return nil, err
	}
	list := make([]Reading, len(defs))
	for i := range defs {
		t := Reading{Measure: defs[i].Name, Undecided: results[i].Undecided, Model: finding.Values{}, Sites: []SiteReading{}}
		if len(results[i].Model) > 0 {
			if t.Model, err = verdict.Named(t.Measure, defs[i].Model, results[i].Model); err != nil {
				return nil, err
			}
		}
		for k := range results[i].Sites {
			site := &results[i].Sites[k]
			values, err := verdict.Named(t.Measure, defs[i].Values, site.Values)
			if err != nil {
				return nil, err
			}
			t.Sites = append(t.Sites, siteOf(m, site, values))
		}
		list[i] = t
	}
	return list, nil
}

func siteOf(m *mesh.Mesh, site *measure.Site, values finding.Values) SiteReading {
	s := SiteReading{At: verdict.Point(site.At), Box: [2][3]float64{verdict.Point(site.Box.Min), verdict.Point(site.Box.Max)}, Values: values}
	if len(site.Tris) > 0 {
		place := m.Source.Of(int(site.Tris[0]))
		s.Line, s.Triangle = place.Line, place.Triangle
	}
	return s
}
