package main

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// tabbed writes a line with spaces for the tabs, | between the fields.
func tabbed(lines ...string) string {
	return strings.ReplaceAll(strings.Join(lines, "\n"), "|", "\t") + "\n"
}

func TestTable(t *testing.T) {
	out, err := bench(t, tabbed(
		"weld|ball|printlint|10|9|12|8 vertices",
		"load|ball|printlint|20|19|21|8 vertices",
		"weld|ball|peer 1.0|30|30|30|8 vertices",
		"weld|ball|printlint|14|13|15|8 vertices",
		"load|ball|printlint|22|22|22|8 vertices",
		"weld|sheet|printlint|5.25|5|6|9 vertices",
		"weld|ball|printlint|11|8|11|8 vertices",
	), "table")
	require.NoError(t, err)
	assert.Equal(t, `| kernel | mesh | who | median ms | min | max | result |
|---|---|---|---:|---:|---:|---|
| weld | ball | printlint | 11.0 | 8.0 | 15.0 | 8 vertices |
| weld | ball | peer 1.0 | 30.0 | 30.0 | 30.0 | 8 vertices |
| weld | sheet | printlint | 5.2 | 5.0 | 6.0 | 9 vertices |
| load | ball | printlint | 21.0 | 19.0 | 22.0 | 8 vertices |
`, out)
}

func TestTableRefuses(t *testing.T) {
	for _, c := range []struct{ in, says string }{
		{"", "there are no timings"},
		{tabbed("weld|ball|printlint|10|9|12"), "6 fields where a timing has 7"},
		{tabbed("weld|ball|printlint|10|fast|12|8 vertices"), `"fast" is not a time in ms`},
		{tabbed("weld|ball|peer|1|1|1|8 vertices", "weld|ball|peer|1|1|1|7 vertices"),
			`weld of peer on ball came to "8 vertices" and to "7 vertices"`},
	} {
		out, err := bench(t, c.in, "table")
		assert.ErrorContains(t, err, c.says)
		assert.Empty(t, out)
	}
}

// TestLinesAreReadAsWritten holds that nothing is lost between a timing and the table.
func TestLinesAreReadAsWritten(t *testing.T) {
	l := line{"rays", "sheet", "peer 2.1, robust", 12.5, 11.125, 14, "mean 5.2454 mm, 0 misses"}
	var text strings.Builder
	require.NoError(t, l.write(&text))
	again, err := parseLine(strings.TrimSuffix(text.String(), "\n"))
	require.NoError(t, err)
	assert.Equal(t, l, again)
}
