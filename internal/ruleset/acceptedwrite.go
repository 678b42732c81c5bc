package ruleset

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"printlint/internal/finding"
)

// acceptedHead begins a file of accepted findings.
const acceptedHead = `# Findings accepted as they were when this file was written, by printlint check --accept.
# What gets worse is told again, and an entry that is mended is reported and should go:
# write the file anew. To accept one finding for good, and to say why, write a waiver into
# the configuration instead.
version: 2
accepted:
`

// WriteAccepted writes a file of accepted findings: sorted, one finding a line, so that
// two versions of it can be compared.
func WriteAccepted(w io.Writer, models []Accepted) error {
	models = slices.DeleteFunc(slices.Clone(models), func(m Accepted) bool { return len(m.Findings) == 0 })
	slices.SortStableFunc(models, func(a, b Accepted) int {
		return cmp.Or(strings.Compare(a.Path, b.Path), strings.Compare(a.Part, b.Part))
	})
	var b strings.Builder
	b.WriteString(acceptedHead)
	if len(models) == 0 {
		b.WriteString("  []\n")
	}
	for _, m := range models {
		fmt.Fprintf(&b, "  - path: %s\n", quote(m.Path))
		if m.Part != "" {
			fmt.Fprintf(&b, "    part: %s\n", quote(m.Part))
		}
		if m.SHA256 != "" {
			fmt.Fprintf(&b, "    sha256: %s\n", quote(m.SHA256))
		}
		writeShape(&b, &m)
		b.WriteString("    findings:\n")
		for _, s := range inOrder(m.Findings) {
			writeFinding(&b, &s)
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// writeShape writes what else the model is known by.
func writeShape(b *strings.Builder, m *Accepted) {
	if m.Bytes > 0 {
		fmt.Fprintf(b, "    bytes: %d\n", m.Bytes)
	}
	if m.Tall > 0 || m.Surface > 0 {
		fmt.Fprintf(b, "    tall: %s\n    surface: %s\n", inMM(hundredth(m.Tall)), inMM(hundredth(m.Surface)))
	}
}

// inOrder cuts places to what is written and puts them in the order of the file.
func inOrder(list []FindingRecord) []FindingRecord {
	spots := slices.Clone(list)
	for i := range spots {
		s := &spots[i]
		s.Height, s.Top, s.Radius, s.Size = hundredth(s.Height), hundredth(s.Top), hundredth(s.Radius), hundredth(s.Size)
		for k := range s.At {
			s.At[k] = hundredth(s.At[k])
		}
	}
	slices.SortStableFunc(spots, func(a, b FindingRecord) int {
		return cmp.Or(strings.Compare(a.Rule, b.Rule), cmp.Compare(a.Height, b.Height), cmp.Compare(a.Radius, b.Radius),
			strings.Compare(a.Fingerprint, b.Fingerprint), slices.Compare(a.At[:], b.At[:]))
	})
	return spots
}

// writeFinding writes one accepted finding as a line.
func writeFinding(b *strings.Builder, s *FindingRecord) {
	fmt.Fprintf(b, "      - {rule: %s", quote(s.Rule))
	if s.Placed {
		fmt.Fprintf(b, ", at: [%s, %s, %s], top: %s", inMM(s.At[0]), inMM(s.At[1]), inMM(s.At[2]), inMM(s.Top))
	}
	fmt.Fprintf(b, ", height: %s, radius: %s, size: %s", inMM(s.Height), inMM(s.Radius), inMM(s.Size))
	if s.Values != nil {
		var values []string
		for i := range s.Values {
			values = append(values, quote(s.Values[i].Name)+": "+valueText(&s.Values[i]))
		}
		fmt.Fprintf(b, ", values: {%s}", strings.Join(values, ", "))
	}
	fmt.Fprintf(b, ", fingerprint: %s}\n", quote(s.Fingerprint))
}

// valueText writes a value as YAML; one without end is .inf.
func valueText(v *finding.Named) string {
	switch {
	case v.Unit == "bool":
		return strconv.FormatBool(v.Value != 0)
	case math.IsInf(v.Value, 1):
		return ".inf"
	case math.Abs(v.Value) > 1e11:
		return inMM(v.Value) // has no decimals worth cutting
	}
	return inMM(finding.Round(v.Value))
}

// quote writes text in double quotes: Go's escapes are among those that YAML 1.2 (5.7)
// reads. What cannot be read back is refused before.
func quote(s string) string { return strconv.Quote(s) }

// hundredth cuts a length in mm to what is written, far finer than the tolerance.
func hundredth(x float64) float64 {
	if math.Abs(x) > 1e15 {
		return x // has no hundredths, and a hundred times as much may be no number
	}
	return math.Round(x*100)/100 + 0
}

func inMM(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

// Writable says whether a name can stand in a file of rules: text in UTF-8 without
// control characters.
func Writable(name string) bool {
	at, _ := notText(name)
	return at < 0 && !strings.ContainsAny(name, "\n\r\t")
}
