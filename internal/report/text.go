package report

import (
	"bufio"
	"fmt"
	"io"
	"strconv"
	"strings"

	"printlint/internal/finding"
)

// Caution is what a clean report must not be taken for.
const Caution = "clean means the shape suits the process; it says nothing about strength, heat, food, electrical or child safety"

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
		fmt.Fprintln(out, share(r)+totals(r))
		fmt.Fprintln(out, Rules(&r.Rules))
		if r.Summary.Clean > 0 {
			fmt.Fprintln(out, Caution)
		}
	}
	return out.Flush()
}

func textModel(out io.Writer, m *finding.Model, opt Options) {
	switch m.Status {
	case finding.Unreadable, finding.Undecided:
		fmt.Fprintf(out, "%s: %s: %s\n", Place(m.Path, m.Line, 0), paint(finding.Error, opt), Unjudged(m))
	case finding.Skipped:
		if !opt.Quiet {
			fmt.Fprintf(out, "%s: skipped: %s\n", Place(m.Path, m.Line, 0), Safe(m.Reason))
		}
	}
	if !opt.Quiet {
		for _, n := range m.Notes {
			fmt.Fprintf(out, "%s: note: %s\n", safePath(m.Path), Safe(n))
		}
	}
	said := map[string]bool{}
	for i := range m.Findings {
		f := &m.Findings[i]
		if f.Waived != nil && (opt.Waived || opt.Covered) {
			fmt.Fprintln(out, textWaived(m, f))
		}
		if f.Waived != nil || f.Level == finding.None {
			continue
		}
		fmt.Fprintln(out, textFinding(m, f, opt))
		if do := f.Rule + "\x00" + f.Advice; f.Advice != "" && !said[do] {
			// Once a model and rule: forty screw holes need the cure once.
			said[do] = true
			fmt.Fprintf(out, "    do: %s\n", Safe(f.Advice))
		}
	}
	if m.Advice != nil && !opt.Quiet {
		fmt.Fprintf(out, "%s: advice: %s%s\n", safePath(m.Path), Safe(m.Advice.Words), ofPart(m))
	}
}

// Unjudged words why a model has no whole verdict: it could not be read, or it could be
// judged only in part.
func Unjudged(m *finding.Model) string {
	if m.Status == finding.Undecided {
		return fmt.Sprintf("undecided%s: %s", ofPart(m), Safe(m.Reason))
	}
	return Safe(m.Reason)
}

func textFinding(m *finding.Model, f *finding.Finding, opt Options) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s: %s", Place(m.Path, f.Line, f.Triangle), paint(f.Level, opt), Safe(f.Said()))
	if f.Triangle > 0 {
		b.WriteString(", at " + where(m, f.At))
	}
	b.WriteString(ofPart(m))
	fmt.Fprintf(&b, " [%s]", Safe(f.Rule))
	return b.String()
}

// textWaived is a finding that was accepted, with who accepted it.
func textWaived(m *finding.Model, f *finding.Finding) string {
	line := fmt.Sprintf("%s: waived: %s%s [%s]: %s", Place(m.Path, f.Line, f.Triangle), Safe(f.Message), ofPart(m), Safe(f.Rule), Safe(f.Waived.Reason))
	if f.Waived.Until != "" {
		line += ", until " + Safe(f.Waived.Until)
	}
	return line
}

// ofPart names the model inside its file, where the file holds several.
func ofPart(m *finding.Model) string {
	if m.Part == "" {
		return ""
	}
	return fmt.Sprintf(` of "%s"`, Safe(m.Part))
}

// Point writes a place for people: x, y, z in mm.
func Point(p [3]float64) string {
	return short(p[0]) + ", " + short(p[1]) + ", " + short(p[2])
}

// short writes a coordinate for people: a hundredth of a millimetre at most.
func short(x float64) string {
	return unpadded(strconv.FormatFloat(x, 'f', 2, 64))
}

// unpadded drops what a decimal number does not need.
func unpadded(s string) string {
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
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

// totals is the last line: what the run came to.
func totals(r *finding.Report) string {
	s := r.Summary
	line := fmt.Sprintf("%s: %d clean", count(s.Models, "model"), s.Clean)
	if with := s.Models - s.Clean - s.Undecided - s.Unreadable; with > 0 {
		line += fmt.Sprintf(", %d with findings", with)
	}
	if found := levels(s); found != "" {
		line += " (" + found + ")"
	}
	if s.Undecided > 0 {
		line += fmt.Sprintf(", %d undecided", s.Undecided)
	}
	if s.Unreadable > 0 {
		line += fmt.Sprintf(", %d unreadable", s.Unreadable)
	}
	if s.Waived > 0 {
		line += fmt.Sprintf(", %d waived", s.Waived)
	}
	if n := skipped(r.Models); n > 0 {
		line += fmt.Sprintf(", %d skipped", n)
	}
	return line
}

func skipped(models []finding.Model) int {
	n := 0
	for i := range models {
		if models[i].Status == finding.Skipped {
			n++
		}
	}
	return n
}

// levels counts the findings by level, leaving out what there is none of.
func levels(s finding.Summary) string {
	var parts []string
	for _, c := range []struct {
		n    int
		word string
	}{{s.Error, "error"}, {s.Warning, "warning"}, {s.Note, "note"}} {
		if c.n > 0 {
			parts = append(parts, count(c.n, c.word))
		}
	}
	return strings.Join(parts, ", ")
}

// count writes a number with its word in the right number.
func count(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return fmt.Sprintf("%d %ss", n, word)
}
