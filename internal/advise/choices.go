package advise

import (
	"cmp"
	"context"
	"slices"

	"printlint/internal/finding"
	"printlint/internal/measure"
	"printlint/internal/mesh"
	"printlint/internal/pose"
	"printlint/internal/work"
)

// How many minutes of work at the bench or at the computer a step counts as, where what can be
// done is put in order. Judgement, no source.
const (
	cutWork   = 10.0 // one cut, glued
	jointWork = 3.0  // each further place in it that is glued
	drawWork  = 10.0 // something drawn into the model
	thickWork = 3.0  // a wall or a pin made thicker, or a fillet: a figure of the drawing is changed
	sinkWork  = 3.0  // a flat: the program can write it, or the model is set lower than the bed
)

// printRequest asks what it takes to print a body, with bodies that overlap counted once.
var printRequest = []measure.Request{measure.Print.Request(measure.PrintParams{})}

// choice is one thing that can be done, with the ways up of all bodies that are printed then.
type choice struct {
	finding.Choice
	burden float64
	fails  int
	rank   int // of a way up: its place among all; of a change of the shape it is after these
}

// choices lists what can be done, the best first: fewest errors, then what it costs in minutes. The
// ways up in the advice get the same grams and minutes, so that nothing is told twice in two figures.
func (q *Question) choices(ctx context.Context, a *finding.Advice, best []wayUp, f *flat, s *split, e *edited) ([]finding.Choice, error) {
	whole, err := q.printOf(ctx, q.AsItLies.Body, best[0].Down)
	if err != nil {
		return nil, err
	}
	for i := range a.Poses {
		takes(&a.Poses[i], whole)
	}
	list := wholeChoices(best, whole)
	if f != nil {
		p, err := q.printOf(ctx, f.Body, pose.Down)
		if err != nil {
			return nil, err
		}
		takes(&a.Cut.Pose, p)
		c := newChoice("flat", &f.wayUp, p)
		c.Work = append([]string{"cut the bottom off"}, c.Work...)
		list = append(list, c.by(sinkWork))
	}
	if s != nil {
		c, err := q.inPieces(ctx, a.Split, s)
		if err != nil {
			return nil, err
		}
		list = append(list, c)
	}
	if e != nil {
		c := newChoice("edit", &e.wayUp, e.print)
		c.Work = append([]string{e.toDraw()}, c.Work...)
		list = append(list, c.by(e.work()))
	}
	slices.SortStableFunc(list, func(a, b *choice) int {
		return cmp.Or(cmp.Compare(a.fails, b.fails), cmp.Compare(a.Errors, b.Errors), cmp.Compare(worth(a.burden), worth(b.burden)),
			cmp.Compare(a.rank, b.rank), cmp.Compare(a.Seams, b.Seams), cmp.Compare(len(a.Work), len(b.Work)))
	})
	var told []finding.Choice
	for _, c := range list {
		told = append(told, c.rounded())
	}
	return told, nil
}

// wholeChoices are the model as it lies, and the best ways to turn it, with support and without,
// that leave no more. Of equals that which the advice names comes first.
func wholeChoices(best []wayUp, whole *measure.PrintModel) []*choice {
	lies := &best[slices.IndexFunc(best, isAsItLies)]
	var list []*choice
	seen := map[bool]bool{} // looked up only
	for i := range best {
		w := &best[i]
		supported := len(w.structures) > 0
		c := newChoice("turn", w, whole)
		switch {
		case w == lies:
			c = newChoice("as-it-lies", w, whole)
		case seen[supported] || alike(w, lies) || lies.toll(0).compareLeft(w.toll(0)) < 0:
			continue
		default:
			seen[supported] = true
		}
		c.rank = i - len(best)
		list = append(list, c)
	}
	return list
}

// takes puts what a body takes to print, without support, into a way up.
func takes(w *finding.Pose, p *measure.PrintModel) {
	w.Grams, w.Minutes = finding.Round(p.Grams), finding.Round(p.Minutes)
}

// printOf is what it takes to print a body with down at the bed.
func (q *Question) printOf(ctx context.Context, b *measure.Body, down mesh.Vec) (*measure.PrintModel, error) {
	results, err := b.Measure(ctx, measure.Pose{M: pose.MatrixTo(down)}, q.AsItLies.View.Process, measure.Options{Jobs: q.Jobs}, printRequest)
	if err == nil {
		err = work.Of(ctx).Err()
	}
	if err != nil {
		return nil, err
	}
	p := measure.Print.Model(&results[0])
	return &p, nil
}

// inPieces adds up what the pieces take.
func (q *Question) inPieces(ctx context.Context, told *finding.Split, s *split) (*choice, error) {
	all := &choice{Choice: finding.Choice{Kind: "pieces", Seams: s.joints}}
	for i, k := range s.pieces {
		p, err := q.printOf(ctx, k.wayUp.Body, k.Down)
		if err != nil {
			return nil, err
		}
		takes(&told.Pieces[i].Pose, p)
		c := newChoice("pieces", &k.wayUp, p)
		all.Errors, all.Warnings = all.Errors+c.Errors, all.Warnings+c.Warnings
		all.Grams, all.Minutes, all.Rough = all.Grams+c.Grams, all.Minutes+c.Minutes, all.Rough+c.Rough
		all.Support = all.Support || c.Support
		all.burden, all.fails = all.burden+c.burden, max(all.fails, c.fails)
		for _, w := range c.Work {
			if !slices.Contains(all.Work, w) {
				all.Work = append(all.Work, w)
			}
		}
	}
	all.Work = append([]string{"cut and glue"}, all.Work...)
	return all.by(s.glueWork()), nil
}

// newChoice is a way up of a body that takes so much to print.
func newChoice(kind string, w *wayUp, p *measure.PrintModel) *choice {
	c := &choice{Choice: finding.Choice{Kind: kind, Errors: w.remains(), Warnings: w.Warnings, Work: []string{}}, fails: w.fails()}
	c.Grams, c.Minutes = p.Grams+w.total.Grams, p.Minutes+w.total.Minutes
	c.Rough = w.Scars + w.Rough
	c.burden = c.Minutes + w.burden() - w.Minutes
	if kind == "as-it-lies" { // it comes a little before its equals here as among the ways up
		c.burden += w.weight() - w.burden()
	}
	if kind == "turn" {
		c.Words = pose.TurningTo(w.Down).String()
	}
	if c.Support = len(w.structures) > 0; c.Support {
		c.Work = append(c.Work, "take support off")
	}
	if join(w) != "" {
		c.Work = append(c.Work, "glue the loose piece on")
	}
	return c
}

// by adds minutes of work by hand to what a choice costs.
func (c *choice) by(minutes float64) *choice {
	c.burden += minutes
	return c
}

// rounded is the choice as reports carry it.
func (c *choice) rounded() finding.Choice {
	r := c.Choice
	r.Grams, r.Minutes, r.Rough = finding.Round(r.Grams), finding.Round(r.Minutes), finding.Round(r.Rough)
	return r
}
