package lint

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"

	"printlint/internal/alike"
	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/mesh"
	"printlint/internal/ruleset"
	"printlint/internal/verdict"
	"printlint/internal/work"
)

// Changed is a model on both sides of a change, with both meshes in memory.
type Changed struct {
	// Model is the model as it is now, and Nth counts those of its name in its file, from 0.
	Model    *finding.Model
	Nth      int
	Shape    finding.Likeness
	Now, Was *mesh.Mesh
	// Jobs is how many goroutines may work on it.
	Jobs int
}

// couple is two files of which models are held against each other.
type couple struct {
	now, was *collection.File
	pairs    []*side // of the present file, each with its pair
}

// shapes says of each model what its shape became, from the files, read anew: meshes are
// not kept while models are judged.
func (b *Before) shapes(ctx context.Context, config *ruleset.Config, files []collection.File, now []*side, opt Options) error {
	present, former := byPath(files), byPath(b.Files)
	couples := map[[2]string]*couple{}
	var order []*couple
	for _, s := range now {
		was := s.pair
		if was == nil || was.original {
			continue
		}
		found, _ := was.Count()
		s.Was = &finding.Former{Path: was.Path, Part: was.Part, SHA256: was.SHA256, Figures: was.Figures, Findings: found}
		if s.SHA256 == was.SHA256 && s.Part == was.Part && shapedAlike(s, was) {
			s.Was.Shape = sameFile()
			continue
		}
		key := [2]string{s.path, was.path}
		c := couples[key]
		if c == nil {
			c = &couple{now: present[s.path], was: former[was.path]}
			couples[key], order = c, append(order, c)
		}
		c.pairs = append(c.pairs, s)
	}
	h := &holder{config: config, opt: opt, observer: b.Observer}
	var workers work.Group
	schedule := newSchedule(opt)
	for n, c := range order {
		seat, err := schedule.take(ctx, weight(c.now)+weight(c.was), len(order)-n)
		if err != nil {
			break
		}
		workers.Go(func() {
			defer schedule.leave(seat)
			h.hold(ctx, c, seat.jobs)
		})
	}
	workers.Wait()
	return ctx.Err()
}

func byPath(files []collection.File) map[string]*collection.File {
	m := make(map[string]*collection.File, len(files))
	for i := range files {
		m[files[i].Path] = &files[i]
	}
	return m
}

// holder holds shapes against each other.
type holder struct {
	config   *ruleset.Config
	opt      Options
	observer func(context.Context, *Changed)
}

// hold compares the models of two files.
func (h *holder) hold(ctx context.Context, c *couple, jobs int) {
	var former []*side
	for _, s := range c.pairs {
		former = append(former, s.pair)
	}
	now, was := h.meshes(ctx, c.now, c.pairs, jobs), h.meshes(ctx, c.was, former, jobs)
	for i, s := range c.pairs {
		s.Was.Shape = h.one(ctx, s, now[i], was[i], jobs)
		if s.Was.Shape.Became == finding.SameShape && s.Was.Shape.Factor != 1 {
			addResized(s)
		}
		now[i], was[i] = nil, nil
	}
}

// meshes reads the meshes of models of one file; one that cannot be read is nil.
func (h *holder) meshes(ctx context.Context, file *collection.File, sides []*side, jobs int) []*mesh.Mesh {
	list, nth := make([]*mesh.Mesh, len(sides)), map[string]int{}
	g := &engine{config: h.config, limit: h.opt.TimeLimit, wait: patience(h.opt.TimeLimit)}
	g.each = func(_ context.Context, e *entry, _ string, m *mesh.Mesh, _ int) error {
		key := e.Path + "\x00" + e.Part
		for i, s := range sides {
			if s.Path == e.Path && s.Part == e.Part && s.nth == nth[key] {
				list[i] = m
			}
		}
		nth[key]++
		return nil
	}
	g.file(ctx, file, jobs)
	return list
}

// one compares two meshes. A defect of ours is told on the one model, as everywhere.
func (h *holder) one(ctx context.Context, s *side, now, was *mesh.Mesh, jobs int) (l finding.Likeness) {
	defer func() {
		if caught := recover(); caught != nil {
			l = unknownShape(Crashed(caught).Error())
		}
	}()
	if now == nil || was == nil {
		return unknownShape("it could not be read again")
	}
	ctx = work.Start(ctx, h.opt.TimeLimit)
	r, err := alike.Compare(ctx, was, now, jobs)
	switch {
	case errors.Is(err, work.ErrLimit):
		return unknownShape(fmt.Sprintf("that takes more than the limit of %v of work", h.opt.TimeLimit))
	case err != nil:
		return unknownShape(err.Error())
	}
	l = likenessOf(&r)
	s.at = &r.Placement
	if h.observer != nil {
		h.observer(ctx, &Changed{Model: s.Model, Nth: s.nth, Shape: l, Now: now, Was: was, Jobs: jobs})
	}
	return l
}

// addResized adds the finding on a shape that became larger or smaller as by a mistaken
// unit.
func addResized(s *side) {
	times := s.Was.Shape.Factor
	if _, unit := alike.Unit(times); !unit {
		return
	}
	f := finding.Finding{
		Rule: finding.RuleResized, Level: finding.Warning, Change: finding.New,
		Message: "same shape, " + sizeWords(times), Says: []string{"times"},
		Advice: "export it in the unit it had; or say in the pull request that the new size is meant",
		Values: finding.Values{{Name: "times", Value: times}}, Limits: finding.Values{},
		Fingerprint: verdict.Fingerprint(finding.RuleResized, s.Part, 0),
		Location:    finding.Location{Tall: s.tall, Surface: s.area, Whole: true},
	}
	at, _ := slices.BinarySearchFunc(s.Findings, f, func(a, b finding.Finding) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Triangle, b.Triangle))
	})
	s.Findings = slices.Insert(s.Findings, at, f)
}
