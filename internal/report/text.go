package report

import (
	"bufio"
	"fmt"
	"io"
	"unicode/utf8"

	"printlint/internal/finding"
	"printlint/internal/report/words"
)

// The colours of the levels, as ANSI sequences.
const (
	red    = "\x1b[31m"
	yellow = "\x1b[33m"
	cyan   = "\x1b[36m"
	plain  = "\x1b[0m"
)

func writeText(w io.Writer, r *finding.Report, opt Options) error {
	out := bufio.NewWriter(w)
	for _, i := range opt.order(r) {
		textModel(out, &r.Models[i], opt)
	}
	if !opt.Quiet {
		textGone(out, r, opt)
		textRules(out, r)
		textMachines(out, r)
		fmt.Fprintln(out, share(r)+words.Totals(r))
		if text := words.Compared(r); text != "" {
			fmt.Fprintln(out, text)
		}
	}
	if hidden := opt.hidden(r); hidden != "" {
		fmt.Fprintln(out, hidden)
	}
	if !opt.Quiet {
		if r.Summary.Error+r.Summary.Warning > 0 {
			fmt.Fprintln(out, words.Further)
		}
		fmt.Fprintln(out, words.Rules(&r.Rules))
		if r.Summary.Clean > 0 {
			fmt.Fprintln(out, words.Caution)
		}
	}
	return out.Flush()
}

func textModel(out io.Writer, m *finding.Model, opt Options) {
	switch m.Status {
	case finding.Unreadable, finding.Undecided:
		fmt.Fprintf(out, "%s: %s: %s\n", words.Place(m.Path, m.Line, 0), paint(finding.Error, opt), words.Unjudged(m))
	case finding.Skipped:
		if !opt.Quiet {
			fmt.Fprintf(out, "%s: skipped: %s\n", words.Place(m.Path, m.Line, 0), words.Safe(m.Reason))
		}
	}
	if !opt.Quiet {
		for _, n := range m.Notes {
			fmt.Fprintf(out, "%s: note: %s\n", words.Path(m.Path), words.Safe(n))
		}
		if became := words.Became(m); became != "" {
			fmt.Fprintf(out, "%s: note: %s%s\n", words.Path(m.Path), words.Safe(became), words.OfPart(m))
		}
	}
	if opt.Waived || opt.Covered {
		for _, groups := range opt.chosen(words.Accepted(m)) {
			for i := range groups {
				fmt.Fprintln(out, textWaived(m, &groups[i]))
			}
		}
	}
	lists := opt.chosen(words.Grouped(m))
	for _, groups := range lists {
		cures := map[string]bool{}
		for i := range groups {
			g := &groups[i]
			fmt.Fprintln(out, textGroup(m, g, opt))
			if g.Advice != "" && !cures[g.Advice] {
				// Once a rule: where all of it has one cure, that is said once.
				cures[g.Advice] = true
				fmt.Fprintf(out, "    %s\n", words.Order(g.Advice))
			}
		}
	}
	if opt.Quiet || len(lists) == 0 {
		return
	}
	if text := words.ByMachine(m); text != "" {
		fmt.Fprintf(out, "%s: machines: %s%s\n", words.Path(m.Path), text, words.OfPart(m))
	}
	for _, a := range words.AdviceOf(m) {
		fmt.Fprintf(out, "%s: advice%s: %s%s\n", words.Path(m.Path), a.For(), words.Safe(a.Words), words.OfPart(m))
	}
}

// textGone tells what a change took away.
func textGone(out io.Writer, r *finding.Report, opt Options) {
	if r.Compared != nil {
		for _, lost := range r.Compared.Lost {
			fmt.Fprintf(out, "%s: note: the model is gone\n", words.Path(lost))
		}
	}
	for _, m := range gone(r) {
		for _, groups := range opt.chosen(words.Grouped(m)) {
			for i := range groups {
				fmt.Fprintf(out, "%s: gone: %s [%s]\n", words.Path(m.Path), groups[i].Message(m), words.Safe(groups[i].Rule))
			}
		}
	}
}

// gone lists models as they were, with what a change took away of each.
func gone(r *finding.Report) (list []*finding.Model) {
	if r.Compared == nil {
		return nil
	}
	for i := range r.Compared.Models {
		list = append(list, &r.Compared.Models[i])
	}
	return list
}

// textGroup is one line: where, how bad, what, and by which rule.
func textGroup(m *finding.Model, g *words.Group, opt Options) string {
	return fmt.Sprintf("%s: %s: %s [%s]", words.Place(m.Path, g.Line, g.Triangle), paint(g.Level, opt), g.Message(m), words.Safe(g.Rule))
}

// textRules sums up the rules, where several models have findings: which trouble the shelf
// has most of.
func textRules(out io.Writer, r *finding.Report) {
	shares := words.Shares(r)
	if len(shares) == 0 {
		return
	}
	width := 0
	for _, s := range shares {
		width = max(width, utf8.RuneCountInString(words.Safe(s.Rule)))
	}
	fmt.Fprintf(out, "by rule: %*s  models  places\n", width, "")
	for _, s := range shares {
		fmt.Fprintf(out, "%7s  %-*s  %6s  %6d\n", s.Level, width, words.Safe(s.Rule), s.On(), s.Places)
	}
}

// textMachines says of each machine what became of the models.
func textMachines(out io.Writer, r *finding.Report) {
	const head = "by machine:"
	rows := words.Tally(r)
	width, accepted := len(head), false
	for _, t := range rows {
		accepted = accepted || t.Accepted > 0
		width = max(width, utf8.RuneCountInString(t.Machine)+len("  on "))
	}
	for i, t := range rows {
		if i == 0 {
			fmt.Fprintf(out, "%-*s  prints  would fail  undecided", width, head)
			if accepted {
				fmt.Fprint(out, "  prints only because accepted")
			}
			fmt.Fprintln(out)
		}
		fmt.Fprintf(out, "%-*s  %6d  %10d  %9d", width, "  on "+t.Machine, t.Prints, t.Fails, t.Undecided)
		if accepted {
			fmt.Fprintf(out, "  %28d", t.Accepted)
		}
		fmt.Fprintln(out)
	}
	if text := words.FailsWhere(r); text != "" && len(rows) > 1 {
		fmt.Fprintln(out, text)
	}
}

// textWaived is what was accepted, with who accepted it.
func textWaived(m *finding.Model, g *words.Group) string {
	line := fmt.Sprintf("%s: accepted: %s [%s]: %s", words.Place(m.Path, g.Line, g.Triangle), g.Message(m), words.Safe(g.Rule), words.Safe(g.Waived.Reason))
	if g.Waived.Until != "" {
		line += ", until " + words.Safe(g.Waived.Until)
	}
	return line
}

// paint writes a level, coloured when asked.
func paint(l finding.Level, opt Options) string {
	colour := map[finding.Level]string{finding.Error: red, finding.Warning: yellow, finding.Note: cyan}[l]
	if !opt.Colour || colour == "" {
		return string(l)
	}
	return colour + string(l) + plain
}

// share says that a report is only a part of one, so that nobody takes it for all.
func share(r *finding.Report) string {
	if r.Shard == nil {
		return ""
	}
	return fmt.Sprintf("share %d of %d, for merge to join: ", r.Shard.Index, r.Shard.Count)
}
