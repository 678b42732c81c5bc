package cli

import (
	"fmt"
	"io"
	"reflect"
	"slices"
	"strings"

	"printlint/internal/advise"
	"printlint/internal/catalog"
	"printlint/internal/finding"
	"printlint/internal/pose"
	"printlint/internal/report/words"
)

// supportCaution is what to mind when support comes off.
const supportCaution = "support: let the print cool, wear eye protection when it comes off, and cut away from your hands"

// proposalsSeen says how to look at a change of the shape before it is made.
const proposalsSeen = "what to cut or change, in pictures before and after: printlint advise --format html MODEL > page.html"

// tipScale gives the angles of tipping something to be compared with: atan(1) and atan(1/10).
const tipScale = "pushed aside: a cube tips over at 45°, a post ten times as tall as wide at 5.7°"

// adviceText writes the advice on every model for people.
func adviceText(w io.Writer, r *finding.Report) {
	advised, turned, carried, tips, cut, split, edits := false, false, false, false, false, false, false
	for i := range r.Models {
		m := &r.Models[i]
		if m.Unjudged() {
			fmt.Fprintf(w, "%s: error: %s\n", words.Place(m.Path, m.Line, 0), words.Unjudged(m))
		}
		switch {
		case m.Status == finding.Skipped:
			fmt.Fprintf(w, "%s: skipped: %s\n", nameOf(m), words.Safe(m.Reason))
		case m.Advice != nil:
			modelAdvice(w, m)
			advised = true
		}
		for _, a := range answers(m) {
			turned = turned || slices.ContainsFunc(a.Poses, func(p finding.Pose) bool { return strings.Contains(p.Words, " about ") })
			carried = carried || a.Support != nil
			tips = tips || slices.ContainsFunc(a.Poses, func(p finding.Pose) bool { return p.Tip > 0 })
			cut, split, edits = cut || a.Cut != nil, split || a.Split != nil, edits || a.Edits != nil
		}
	}
	if turned {
		fmt.Fprintln(w, pose.RightHand)
	}
	if !advised {
		return // nothing was said that needs a caution
	}
	if tips {
		fmt.Fprintln(w, tipScale)
	}
	fmt.Fprintln(w, "grams, minutes and support are estimates: see printlint explain pose, printlint explain support")
	if cut || split || edits {
		fmt.Fprintln(w, proposalsSeen)
	}
	if carried {
		fmt.Fprintln(w, supportCaution)
	}
	if cut {
		fmt.Fprintln(w, advise.CutCaution)
	}
	if split {
		fmt.Fprintln(w, advise.SplitCaution)
	}
	fmt.Fprintln(w, words.Caution)
}

func nameOf(m *finding.Model) string {
	name := words.Safe(m.Path)
	if m.Part != "" {
		name += ` "` + words.Safe(m.Part) + `"`
	}
	return name
}

// answer is the advice for some machines.
type answer struct {
	*finding.Advice
	on []string
}

// answers are what advice there is on a model: one where it is the same on all machines.
func answers(m *finding.Model) (list []answer) {
	for i := range m.Machines {
		o := &m.Machines[i]
		if o.Advice == nil {
			continue
		}
		k := slices.IndexFunc(list, func(a answer) bool { return reflect.DeepEqual(a.Advice, o.Advice) })
		if k < 0 {
			k = len(list)
			list = append(list, answer{Advice: o.Advice})
		}
		list[k].on = append(list[k].on, o.Machine)
	}
	if len(list) == 0 && m.Advice != nil {
		list = []answer{{Advice: m.Advice}}
	}
	return list
}

// modelAdvice writes the advice on a model, once for all machines that it is the same for.
// Where only its figures differ, what to do comes first, once.
func modelAdvice(w io.Writer, m *finding.Model) {
	list := answers(m)
	best := func(a answer) string { return a.Poses[0].Words }
	same := !slices.ContainsFunc(list, func(a answer) bool { return best(a) != best(list[0]) })
	if len(list) > 1 && same {
		fmt.Fprintf(w, "%s: best on every machine: %s\n", nameOf(m), best(list[0]))
	}
	for _, a := range list {
		on := ""
		switch {
		case len(a.on) > 1 && len(a.on) == len(m.Machines):
			on = "on every machine: "
		case len(m.Machines) > 1:
			on = "on " + words.Safe(words.Listed(a.on)) + ": "
		}
		oneAdvice(w, nameOf(m)+": "+on, a.Advice)
	}
}

// oneAdvice writes advice behind what it is about.
func oneAdvice(w io.Writer, about string, a *finding.Advice) {
	fmt.Fprintf(w, "%s%s\n", about, a.Words)
	for i := range a.Poses {
		fmt.Fprintf(w, "  %d. %s\n", i+1, a.Poses[i].Words)
		poseText(w, &a.Poses[i])
	}
	if a.Support != nil {
		supportText(w, a.Support)
	}
	if c := a.Cut; c != nil {
		fmt.Fprintf(w, "  with a flat: %s\n", c.Words)
		poseText(w, &c.Pose)
	}
	if s := a.Split; s != nil {
		fmt.Fprintf(w, "  in pieces: %s\n", s.Words)
		for i := range s.Pieces {
			p := &s.Pieces[i]
			fmt.Fprintf(w, "  piece %d, %.0f by %.0f by %.0f mm: %s\n", i+1, p.Size[0], p.Size[1], p.Size[2], p.Pose.Words)
			poseText(w, &p.Pose)
		}
		if s.Pins != nil {
			fmt.Fprintf(w, "  %s\n", s.Pins.Words)
		}
	}
	if e := a.Edits; e != nil {
		editsText(w, e)
	}
	choicesText(w, a.Choices)
}

// editsText lists small solids to add or to take away.
func editsText(w io.Writer, e *finding.Edits) {
	fmt.Fprintf(w, "  or change the model: %s\n", e.Words)
	for _, c := range e.List {
		fmt.Fprintf(w, "     at (%s) mm: %s; ends %s\n", words.Point(c.At), c.Words, strings.Join(c.Rules, ", "))
	}
	fmt.Fprintf(w, "     %s\n", e.Caution)
	poseText(w, &e.Pose)
}

// poseText tells what a way up leaves and costs.
func poseText(w io.Writer, p *finding.Pose) {
	fmt.Fprintf(w, "     %s\n", leftWords(p))
	fmt.Fprintf(w, "     %s flat on the bed, %s tall, %s, %s\n",
		catalog.Format(p.Base, catalog.MM2), catalog.Format(p.Height, catalog.MM), tipWords(p), overhangWords(p))
	fmt.Fprintf(w, "     %s%s\n", catalog.About(p.Grams, p.Minutes), supportShare(p))
	for _, c := range p.Costs {
		fmt.Fprintf(w, "     but: %s\n", c)
	}
}

// tipWords says how steadily it stands.
func tipWords(p *finding.Pose) string {
	switch {
	case p.Tip <= 0 && p.Support != nil:
		return "falls over by itself without support"
	case p.Tip <= 0:
		return "falls over by itself"
	}
	return fmt.Sprintf("tips over when pushed %s aside", catalog.Format(p.Tip, catalog.Deg))
}

// overhangWords says how much is held at one end only.
func overhangWords(p *finding.Pose) string {
	if p.Overhang == 0 {
		return "no overhang"
	}
	return catalog.Format(p.Overhang, catalog.MM2) + " of overhang"
}

// leftWords lists the rules that find something in this way up, before any support.
func leftWords(p *finding.Pose) string {
	if len(p.Left) == 0 {
		return "nothing found"
	}
	words := make([]string, len(p.Left))
	for i, l := range p.Left {
		words[i] = fmt.Sprintf("%s %s", l.Level, l.Rule)
		if l.Count > 1 {
			words[i] += fmt.Sprintf(" (%d times)", l.Count)
		}
	}
	head := "found: "
	if p.Support != nil {
		head = "found without support: "
	}
	return head + strings.Join(words, ", ") + curedWords(p)
}

// curedWords says whether the support that is planned cures the errors.
func curedWords(p *finding.Pose) string {
	errors, cured := 0, 0
	for _, l := range p.Left {
		if l.Level == finding.Error {
			errors++
			if l.Cured {
				cured++
			}
		}
	}
	switch {
	case errors == 0 || p.Support == nil:
		return ""
	case cured == errors:
		return "; support cures the errors"
	case cured == 0:
		return "; support cures none of the errors"
	}
	return "; support cures some of the errors"
}

// supportShare tells what support adds to the print.
func supportShare(p *finding.Pose) string {
	if p.Support == nil {
		return ""
	}
	return fmt.Sprintf("; with support %s, which leaves %s rough",
		catalog.About(p.Grams+p.Support.Grams, p.Minutes+p.Support.Minutes), catalog.Format(p.Support.Contact, catalog.MM2))
}

func supportText(w io.Writer, s *finding.Support) {
	cost := ""
	if s.Cost > 0 {
		cost = fmt.Sprintf(", costs %.2f", s.Cost)
	}
	fmt.Fprintf(w, "  support for 1. (%s): %s, %s%s\n", s.Kind, catalog.About(s.Grams, s.Minutes), catalog.Format(s.Volume, catalog.MM3), cost)
	for i := range s.Sites {
		k := &s.Sites[i]
		fmt.Fprintf(w, "     at (%s) mm: a %s that stands on the %s, %s tall, under %s; %s; touches %s of the model\n", words.Point(k.At), k.Kind, k.Stands,
			catalog.Format(k.Drop, catalog.MM), catalog.Format(k.Area, catalog.MM2),
			catalog.About(k.Grams, k.Minutes), catalog.Format(k.Contact, catalog.MM2))
		fmt.Fprintf(w, "       why: %s\n", k.Why)
		if k.Risk != "" {
			fmt.Fprintf(w, "       risk: %s\n", k.Risk)
		}
		fmt.Fprintf(w, "       %s\n", k.Reach)
	}
}
