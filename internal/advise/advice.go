package advise

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"printlint/internal/finding"
	"printlint/internal/measure"
	"printlint/internal/pose"
	"printlint/internal/support"
	"printlint/internal/verdict"
	"printlint/internal/work"
)

// advice puts what the search found into the report: the best ways up first, as it
// lies always among them, and the support for the best. Cut says
// that the work came to its limit before all that was to be judged had been.
func (q *Question) advice(ctx context.Context, best []wayUp, cut bool) (*finding.Advice, error) {
	current := slices.IndexFunc(best, isAsItLies)
	if current < 0 {
		return nil, fmt.Errorf("the model as it lies was not judged; this is a defect of %s", finding.ToolName)
	}
	top := &best[0]
	if len(top.structures) > 0 && !cut {
		if err := work.Of(ctx).Spend(siteCost * int64(len(top.structures))); err != nil {
			return nil, err
		}
		tree, err := top.Body.Tree(ctx, q.Jobs)
		if err != nil {
			return nil, err
		}
		top.structures = support.Inspect(top.structures, tree, top.place, top.View.Process)
		top.total = support.Sum(top.structures, top.View.Process)
	}
	from := best[current].traits()
	a := &finding.Advice{Poses: []finding.Pose{}, Words: upshot(best, current, cut || q.Down != nil)}
	var shown []wayUp
	for i, w := range best {
		room := shownPoses - len(shown)
		if i < current {
			room-- // left for the model as it lies
		}
		if i == current || room > 0 && worthShowing(&w, top, shown) {
			shown = append(shown, w)
			a.Poses = append(a.Poses, onePose(&w, from))
		}
	}
	if len(top.structures) > 0 {
		a.Support = plan(top)
	}
	return a, nil
}

func isAsItLies(w wayUp) bool { return w.Origin == pose.AsItLies }

// worthShowing says that somebody may choose this way up: it leaves no more errors than
// the best, and comes to something else than those shown.
func worthShowing(w, best *wayUp, shown []wayUp) bool {
	same := func(k wayUp) bool { return alike(&k, w) }
	return w.Errors <= best.Errors && !slices.ContainsFunc(shown, same)
}

// onePose describes one way up; from is the model as it lies.
func onePose(out *wayUp, from pose.Traits) finding.Pose {
	process := out.View.Process
	plastic := support.Plastic(math.Abs(out.Mesh.Volume()), out.Mesh.Area(), process)
	f := finding.Pose{
		Down: pose.Fine(out.Down), Words: pose.Words(out.Down, out.Contact), Costs: []string{},
		Findings: out.count(), Left: out.left(),
		Base: finding.Round(out.Base), Height: finding.Round(out.Height), Tip: finding.Round(measure.Stability.First(out.Requests, out.Results).Tip),
		Overhang: finding.Round(out.hanging()),
		Grams:    finding.Round(support.Grams(plastic, process)),
		Minutes:  finding.Round(support.Minutes(plastic, process)),
	}
	f.Matrix = pose.MatrixTo(out.Down)
	if out.Origin != pose.AsItLies {
		f.Costs = append(f.Costs, pose.Costs(from, out.traits())...)
	}
	if len(out.structures) > 0 {
		total := totals(out.total)
		f.Support = &total
	}
	return f
}

// left counts what is left by rule, the worst level first.
func (out *outcome) left() []finding.RuleCount {
	list := []finding.RuleCount{}
	for i := range out.hits {
		f := &out.hits[i].Finding
		k := slices.IndexFunc(list, func(c finding.RuleCount) bool { return c.Rule == f.Rule })
		if k < 0 {
			k = len(list)
			list = append(list, finding.RuleCount{Rule: f.Rule, Level: f.Level, Cured: out.cured[f.Rule]})
		}
		list[k].Count++
	}
	slices.SortFunc(list, func(a, b finding.RuleCount) int {
		return cmp.Or(cmp.Compare(a.Level.Rank(), b.Level.Rank()), cmp.Compare(a.Rule, b.Rule))
	})
	return list
}

// hanging is the area that hangs with one end free, by the strictest angle asked for.
func (out *outcome) hanging() float64 {
	least, area := math.Inf(1), 0.0
	for i, q := range out.Requests {
		if p, ok := measure.Overhang.Params(q); ok && p.Angle < least {
			least, area = p.Angle, measure.Overhang.Model(&out.Results[i]).Area
		}
	}
	return area
}

// traits are what a way up is like, for telling what turning gives away.
func (out *wayUp) traits() pose.Traits {
	l := pose.Traits{Height: out.Height, Contact: out.Contact, Relief: pose.Relief(out.Mesh, out.Down)}
	for i, q := range out.Requests {
		if p, ok := measure.Column.Params(q); !ok || p.Width != pose.PinWidth {
			continue
		}
		for k := range out.Results[i].Sites {
			s := measure.Column.Site(&out.Results[i].Sites[k])
			// What is thinner than a line is an edge that the raster made a pin of.
			if s.Slenderness > l.Slender && s.Width >= out.View.Process.Line {
				l.Slender, l.PinWidth, l.PinHeight = s.Slenderness, s.Width, s.Height
			}
		}
	}
	return l
}

// plan describes the support for one way up.
func plan(out *wayUp) *finding.Support {
	s := &finding.Support{
		Down: pose.Fine(out.Down), Kind: string(support.KindOf(out.structures)),
		SupportTotal: totals(out.total), Sites: []finding.SupportSite{},
	}
	for i := range out.structures {
		k := &out.structures[i]
		stands := "bed"
		if k.OnModel {
			stands = "model"
		}
		s.Sites = append(s.Sites, finding.SupportSite{
			At: verdict.Point(k.At), Area: finding.Round(k.Below.Area), Drop: finding.Round(k.Drop),
			Kind: string(k.Kind), Why: k.Why, Stands: stands, Volume: finding.Round(k.Volume), Contact: finding.Round(k.Contact),
			Grams: finding.Round(k.Grams), Minutes: finding.Round(k.Minutes), Risk: k.Risk, Reach: k.Reach,
		})
	}
	return s
}

func totals(t support.Total) finding.SupportTotal {
	return finding.SupportTotal{
		Volume: finding.Round(t.Volume), Contact: finding.Round(t.Contact),
		Grams: finding.Round(t.Grams), Minutes: finding.Round(t.Minutes), Cost: finding.Round(t.Cost),
	}
}
