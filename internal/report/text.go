package report

import (
	"bufio"
	"fmt"
	"io"

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
	for i := range r.Models {
		textModel(out, &r.Models[i], opt)
	}
	if !opt.Quiet {
		fmt.Fprintln(out, share(r)+words.Totals(r))
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
	}
	cures := map[string]bool{}
	for i := range m.Findings {
		f := &m.Findings[i]
		if f.Waived != nil && (opt.Waived || opt.Covered) {
			fmt.Fprintln(out, textWaived(m, f))
		}
		if f.Waived != nil || f.Level == finding.None {
			continue
		}
		fmt.Fprintln(out, textFinding(m, f, opt))
		if do := f.Rule + "\x00" + f.Advice; f.Advice != "" && !cures[do] {
			// Once a model and rule: forty screw holes need the cure once.
			cures[do] = true
			fmt.Fprintf(out, "    do: %s\n", words.Safe(f.Advice))
		}
	}
	if m.Advice != nil && !opt.Quiet {
		fmt.Fprintf(out, "%s: advice: %s%s\n", words.Path(m.Path), words.Safe(m.Advice.Words), words.OfPart(m))
	}
}

func textFinding(m *finding.Model, f *finding.Finding, opt Options) string {
	return fmt.Sprintf("%s: %s: %s [%s]", words.Place(m.Path, f.Line, f.Triangle), paint(f.Level, opt), words.Message(m, f), words.Safe(f.Rule))
}

// textWaived is a finding that was accepted, with who accepted it.
func textWaived(m *finding.Model, f *finding.Finding) string {
	line := fmt.Sprintf("%s: waived: %s%s [%s]: %s", words.Place(m.Path, f.Line, f.Triangle), words.Safe(f.Message), words.OfPart(m), words.Safe(f.Rule), words.Safe(f.Waived.Reason))
	if f.Waived.Until != "" {
		line += ", until " + words.Safe(f.Waived.Until)
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
