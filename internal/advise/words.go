package advise

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"printlint/internal/catalog"
	"printlint/internal/finding"
	"printlint/internal/measure"
	"printlint/internal/mesh"
	"printlint/internal/pose"
	"printlint/internal/ruleset"
	"printlint/internal/support"
	"printlint/internal/verdict"
)

// upshot is the advice in one line. Where the way up was given, or not all were looked
// at, nothing is said of others.
func upshot(best []wayUp, lies int, given bool) string {
	top := &best[0]
	if lies != 0 {
		return turned(top, &best[lies], given) + brim(top)
	}
	none, also := "no other way up is better: ", wider(best)
	if given || top.clean() {
		none = ""
	}
	if given {
		also = ""
	}
	switch {
	case top.clean():
		return "as it lies it " + prints(top) + onBed(top) + also
	case len(top.structures) > 0:
		return none + "as it lies it needs " + supportWords(top.outcome) + uncured(top) + join(top) + brim(top) + also
	}
	return none + "as it lies it has " + top.count().String() + brim(top) + also
}

// widerFrom is how many times the area on the bed another way up must have to be worth a word.
// Of 103 models that their makers turned for no finding, ten did it for 1.5 times the area; at
// twice it one of 58 parts hears of it that print well as they lie. Calibrated on labelled parts.
const widerFrom = 2.0

// wider tells of a way up, after the model as it lies, that leaves no more, is no taller and
// has far more on the bed: it holds better there, and nothing else of it is worse.
func wider(best []wayUp) string {
	now := &best[0]
	for i := range best[1:] {
		w := &best[1+i]
		if w.fails() <= now.fails() && w.Errors <= now.Errors && w.Warnings <= now.Warnings && w.Notes <= now.Notes &&
			w.Contact >= pose.LyingFrom && w.Base >= widerFrom*now.Base && w.Height <= now.Height*1.01 {
			return fmt.Sprintf("; more of it would lie on the bed the other way: %s instead of %s (%s)",
				catalog.Format(w.Base, catalog.MM2), catalog.Format(now.Base, catalog.MM2), pose.TurningTo(w.Down))
		}
	}
	return ""
}

// turned says how to turn a model, and what comes of it.
func turned(top, now *wayUp, given bool) string {
	how := pose.Order(top.Down, top.Contact) + ": then it "
	if miss := askew(top.Down); miss > 0 && !given {
		how = fmt.Sprintf("it lies %s askew; lay it flat (turn it %s): then it ", catalog.Format(miss, catalog.Deg), pose.TurningTo(top.Down).About())
		if gone := goes(top, now); gone != "" {
			how = strings.TrimSuffix(how, "then it ") + gone + " with that, and it "
		}
	}
	switch left := leaves(top, now); {
	case top.clean():
		return how + prints(top) + onBed(top)
	case len(top.structures) > 0:
		return how + "needs " + supportWords(top.outcome) + left + uncured(top) + join(top)
	case top.Errors == 0:
		return how + "needs no support" + left + onBed(top)
	default:
		return how + strings.TrimPrefix(left, ", and ") + onBed(top)
	}
}

// prints says that nothing worse than a note is left, of what is not waived or accepted. That
// it needs no support is said only where a rule asks for what hangs.
func prints(w *wayUp) string {
	words := "has no finding"
	switch {
	case slices.ContainsFunc(w.Hits, func(h verdict.Hit) bool { return h.Level == finding.Error }):
		words = "has no finding but what is accepted"
	case slices.ContainsFunc(w.View.Rules, func(r *ruleset.Rule) bool {
		return r.Measure == measure.Overhang.Name() && r.Level != finding.None
	}):
		words = "prints without support"
	}
	if w.Notes > 0 {
		words += ", with " + w.count().String()
	}
	return words
}

func onBed(w *wayUp) string { return " (" + catalog.Format(w.Base, catalog.MM2) + " on the bed)" }

// askew says by how many degrees a model misses lying flat, or 0 where that is more than an
// oversight.
func askew(down mesh.Vec) float64 {
	const little = 1.0 // deg; a hand laying a part on a bed would not notice
	miss := math.Asin(min(down.Cross(pose.Down).Len(), 1)) * 180 / math.Pi
	if down.Z > 0 || miss >= little {
		return 0
	}
	return miss
}

// goes names the rules that find nothing any more, the worst level first.
func goes(top, now *wayUp) string {
	var gone []string
	stays := top.left()
	for _, c := range now.left() {
		if c.Level != finding.Note && !slices.ContainsFunc(stays, func(k finding.RuleCount) bool { return k.Rule == c.Rule }) {
			gone = append(gone, c.Rule)
		}
	}
	switch last := len(gone) - 1; last {
	case -1:
		return ""
	case 0:
		return gone[0] + " goes away"
	default:
		return strings.Join(gone[:last], ", ") + " and " + gone[last] + " go away"
	}
}

// leaves counts what is left beside what the model has as it lies. Where that is not less,
// it says first why it is better all the same. Where it needs support, these are the findings
// that ask for it.
func leaves(top, now *wayUp) string {
	now0, left := now.count(), top.count()
	order := compareCounts(left, now0)
	if left.Error > 0 && left.Error == now0.Error && left.Warning == now0.Warning { // nobody turns a model for a note
		order, left.Note = 0, 0
	}
	why := ", and " + better(top, now) + "; "
	if len(top.structures) > 0 {
		switch {
		case order < 0:
			return "; without support it has " + left.String() + " instead of " + now0.String()
		case order > 0:
			return why + "without support it has " + left.String() + " there, and " + now0.String() + " as it lies"
		}
		return why + "without support it has " + left.String() + " both ways"
	}
	switch {
	case order < 0:
		return ", and leaves " + left.String() + " instead of " + now0.String()
	case order > 0:
		return why + "it leaves " + left.String() + ", where it now has " + now0.String()
	}
	return why + "it leaves the same " + left.String()
}

// uncured warns that support alone does not make it print.
func uncured(w *wayUp) string {
	if w.Uncured == 0 {
		return ""
	}
	return "; support does not cure all errors"
}

// compareCounts compares by errors, then warnings, then notes.
func compareCounts(a, b finding.LevelCount) int {
	return slices.Compare([]int{a.Error, a.Warning, a.Note}, []int{b.Error, b.Warning, b.Note})
}

// better says why a way up is better than as it lies, by what it was ranked by.
func better(top, now *wayUp) string {
	than := func(what string, a, b float64, u catalog.Unit) string {
		return fmt.Sprintf("%s: %s instead of %s", what, catalog.Format(a, u), catalog.Format(b, u))
	}
	switch {
	case now.fails() > top.fails() && now.Unfit:
		return "can be printed at all"
	case now.fails() > top.fails() && now.Falls:
		return "does not fall over"
	case now.fails() > top.fails():
		return "has something to stand on"
	case now.Uncured > top.Uncured:
		return "leaves less that support does not cure"
	}
	rough := now.Rough/left - top.Rough/left
	support := now.Minutes - top.Minutes + now.Scars/cleaned - top.Scars/cleaned
	switch firm := now.Risk - top.Risk; {
	case max(rough, support, firm) <= 0 && top.Base > now.Base:
		return than("more of it lies on the bed", top.Base, now.Base, catalog.MM2)
	case max(rough, support, firm) <= 0:
		return "costs no more than as it lies"
	case firm >= max(rough, support):
		return "stands more firmly"
	case support >= rough && top.Scars < now.Scars:
		return than("support touches less of it", top.Scars, now.Scars, catalog.MM2)
	case support >= rough:
		return "support takes less time"
	}
	return than("less of it comes out rough", top.Rough, now.Rough, catalog.MM2)
}

func supportWords(out *outcome) string {
	places := "support in one place"
	if n := len(out.structures); n > 1 {
		places = fmt.Sprintf("support in %d places", n)
	}
	return fmt.Sprintf("%s (%s), %s", places, support.KindOf(out.structures), catalog.About(out.total.Grams, out.total.Minutes))
}

// join says what is better than support below a piece that nothing joins to the rest.
func join(w *wayUp) string {
	if !slices.ContainsFunc(w.structures, func(s support.Structure) bool { return s.Below.Loose }) {
		return ""
	}
	return "; better join the loose piece to the rest, or take it out"
}

// brim asks for one where next to nothing lies on the bed.
func brim(w *wayUp) string {
	if w.Contact >= pose.LyingFrom || w.clean() {
		return ""
	}
	return "; print it with a brim"
}
