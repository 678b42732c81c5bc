package lint

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"printlint/internal/catalog"
	"printlint/internal/finding"
	"printlint/internal/measure"
	"printlint/internal/mesh"
	"printlint/internal/pose"
	"printlint/internal/support"
	"printlint/internal/work"
)

// advice puts what the search found into the report: the best ways up first, as it
// lies always among them, and the support for the best.
func (p *poser) advice(ctx context.Context, best []pose.Judged) (*finding.Advice, error) {
	lies := slices.IndexFunc(best, func(j pose.Judged) bool { return j.Kind == pose.AsItLies })
	if lies < 0 {
		return nil, fmt.Errorf("the model as it lies was not judged; this is a defect of %s", Tool)
	}
	top := detail(&best[0])
	if len(top.sites) > 0 && !p.cut {
		if err := work.Of(ctx).Spend(siteCost * int64(len(top.sites))); err != nil {
			return nil, err
		}
		tree, err := top.body.Tree(ctx, p.jobs)
		if err != nil {
			return nil, err
		}
		top.sites = support.Inspect(top.sites, tree, top.place, top.view.Process)
		top.total = support.Sum(top.sites, top.view.Process)
	}
	from := detail(&best[lies]).lie(&best[lies])
	a := &finding.Advice{Poses: []finding.Pose{}, Words: upshot(best, lies, p.cut || p.judge.advice.Down != nil)}
	var shown []pose.Judged
	for i, j := range best {
		room := shownPoses - len(shown)
		if i < lies {
			room-- // kept for the model as it lies
		}
		if i == lies || room > 0 && worthSaying(&j, &best[0], shown) {
			shown = append(shown, j)
			a.Poses = append(a.Poses, onePose(&j, from))
		}
	}
	if len(top.sites) > 0 {
		a.Support = plan(top)
	}
	return a, nil
}

// worthSaying says that somebody may choose this way up: it leaves no more errors than
// the best, and comes to something else than those shown.
func worthSaying(j, best *pose.Judged, shown []pose.Judged) bool {
	same := func(k pose.Judged) bool { return pose.Alike(&k, j) }
	return j.Errors <= best.Errors && !slices.ContainsFunc(shown, same)
}

func detail(j *pose.Judged) *posed { return j.Detail.(*posed) }

// onePose describes one way up.
func onePose(j *pose.Judged, from pose.Lie) finding.Pose {
	out := detail(j)
	process := out.view.Process
	plastic := support.Plastic(math.Abs(out.mesh.Volume()), out.mesh.Area(), process)
	f := finding.Pose{
		Down: fine(j.Down), Words: pose.Words(j.Down, j.Contact), Costs: []string{},
		Findings: out.count(), Left: out.left(),
		Base: finding.Round(j.Base), Height: finding.Round(j.Height), Tip: finding.Round(measure.Stability.First(out.requests, out.taken).Tip),
		Overhang: finding.Round(out.hanging()),
		Grams:    finding.Round(support.Grams(plastic, process)),
		Minutes:  finding.Round(support.Minutes(plastic, process)),
	}
	f.Matrix = MatrixTo(j.Down)
	if j.Kind != pose.AsItLies {
		f.Costs = append(f.Costs, pose.Costs(from, out.lie(j))...)
	}
	if len(out.sites) > 0 {
		total := totals(out.total)
		f.Support = &total
	}
	return f
}

// fine and nine round directions and matrices to nine decimals: what the same sum
// comes to on every machine.
func fine(v mesh.Vec) [3]float64 { return [3]float64{nine(v.X), nine(v.Y), nine(v.Z)} }
func nine(x float64) float64     { return math.Round(x*1e9)/1e9 + 0 }

// MatrixTo is the rotation that brings down to the bed, as it is reported, judged and
// written.
func MatrixTo(down mesh.Vec) [9]float64 {
	m := pose.TurningTo(down).Matrix()
	for i, x := range m {
		m[i] = nine(x)
	}
	return m
}

// left counts what is left by rule, the worst level first.
func (out *posed) left() []finding.RuleCount {
	list := []finding.RuleCount{}
	for i := range out.hits {
		f := &out.hits[i].Finding
		k := slices.IndexFunc(list, func(c finding.RuleCount) bool { return c.Rule == f.Rule })
		if k < 0 {
			k = len(list)
			list = append(list, finding.RuleCount{Rule: f.Rule, Level: f.Level})
		}
		list[k].Count++
	}
	slices.SortFunc(list, func(a, b finding.RuleCount) int {
		return cmp.Or(cmp.Compare(a.Level.Rank(), b.Level.Rank()), cmp.Compare(a.Rule, b.Rule))
	})
	return list
}

// hanging is the area that hangs with one end free, by the strictest lean asked for.
func (out *posed) hanging() float64 {
	least, area := math.Inf(1), 0.0
	for i, q := range out.requests {
		if p, ok := measure.Overhang.Params(q); ok && p.Angle < least {
			least, area = p.Angle, measure.Overhang.Model(&out.taken[i]).Area
		}
	}
	return area
}

// lie is what a way up is like, for telling what turning gives away.
func (out *posed) lie(j *pose.Judged) pose.Lie {
	l := pose.Lie{Height: j.Height, Contact: j.Contact, Relief: pose.Relief(out.mesh, j.Down)}
	for i, q := range out.requests {
		if p, ok := measure.Column.Params(q); !ok || p.Width != pose.PinWidth {
			continue
		}
		for k := range out.taken[i].Sites {
			s := measure.Column.Site(&out.taken[i].Sites[k])
			// What is thinner than a line is an edge that the raster made a pin of.
			if s.Slenderness > l.Slender && s.Width >= out.view.Process.Line {
				l.Slender, l.PinWidth, l.PinHeight = s.Slenderness, s.Width, s.Height
			}
		}
	}
	return l
}

// plan describes the support for one way up.
func plan(out *posed) *finding.Support {
	s := &finding.Support{
		Down: fine(out.down), Kind: string(support.KindOf(out.sites)),
		SupportTotal: totals(out.total), Sites: []finding.SupportSite{},
	}
	for i := range out.sites {
		k := &out.sites[i]
		stands := "bed"
		if k.OnModel {
			stands = "model"
		}
		s.Sites = append(s.Sites, finding.SupportSite{
			At: point(k.At), Area: finding.Round(k.Below.Area), Drop: finding.Round(k.Drop),
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

// upshot is the advice in one line. Where the way up was given, or not all were looked
// at, nothing is said of others.
func upshot(best []pose.Judged, lies int, given bool) string {
	top, now := &best[0], &best[lies]
	words := "as it lies"
	if lies != 0 {
		words = "turned " + pose.TurningTo(top.Down).String()
	}
	contact := "bed contact " + catalog.Format(top.Base, catalog.MM2)
	none := "there is no better way up to rest on; "
	if given {
		none = ""
	}
	switch out := detail(top); {
	case top.Errors+top.Warnings+top.Notes == 0:
		return words + " it prints with no finding; " + contact
	case top.Clean():
		return fmt.Sprintf("%s it prints with %s; %s", words, counted(out), contact)
	case lies == 0 && len(out.sites) > 0:
		return none + "as it lies it needs " + supportWords(out) + brim(top)
	case lies == 0:
		return none + "as it lies it leaves " + counted(out) + brim(top)
	case len(out.sites) > 0:
		return fmt.Sprintf("%s it leaves %s, and needs %s", words, than(out, detail(now)), supportWords(out))
	default:
		return fmt.Sprintf("%s it leaves %s, and needs no support; %s", words, than(out, detail(now)), contact)
	}
}

// than words what is left, compared with the model as it lies.
func than(out, now *posed) string {
	if out.count() == now.count() {
		return "the same " + counted(out)
	}
	return counted(out) + " instead of " + counted(now)
}

func supportWords(out *posed) string {
	places := "support in one place"
	if n := len(out.sites); n > 1 {
		places = fmt.Sprintf("support in %d places", n)
	}
	return fmt.Sprintf("%s (%s), %s", places, support.KindOf(out.sites), support.About(out.total.Grams, out.total.Minutes))
}

// brim asks for one where next to nothing lies on the bed.
func brim(j *pose.Judged) string {
	if j.Contact >= pose.LyingFrom {
		return ""
	}
	return "; print it with a brim"
}

// counted words the findings left: "2 errors, 1 warning".
func counted(out *posed) string {
	c := out.count()
	text := ""
	for _, k := range []struct {
		n    int
		word string
	}{{c.Error, "error"}, {c.Warning, "warning"}, {c.Note, "note"}} {
		if k.n == 0 {
			continue
		}
		if text != "" {
			text += ", "
		}
		text += fmt.Sprintf("%d %s", k.n, k.word)
		if k.n > 1 {
			text += "s"
		}
	}
	return text
}
