package catalog

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write what the tests see as what they want")

// everyUnit is each unit there is, in the order of the constants.
var everyUnit = []Unit{Number, Bool, MM, MM2, MM3, Deg, Gram, Minute, Flow, Dense, PerKg, Byte}

// magnitudes are the values at which the number of decimals could go wrong.
var magnitudes = []float64{
	0, math.Copysign(0, -1), 1e-9, 0.00004, 0.00005, 0.0004, 0.001, 0.0049, 0.005, 0.0123, 0.049, 0.05, 0.25, 0.4, 0.949, 0.95, 0.995, 1, 1.005,
	2.25, 9.94, 9.95, 9.994, 9.995, 9.999, 10, 12.345, 45, 45.04, 45.05, 63.43494882, 89.95, 89.999, 90, 99.95, 100, 220, 999.95, 1234.5678, 16387.064, 1e6,
	-0.00004, -0.25, -9.995, -10.6, -90, math.Inf(1), math.Inf(-1),
}

// TestEveryFormatOfEveryNumber holds how each value looks in each unit: as measured,
// with two more decimals, and as a limit.
func TestEveryFormatOfEveryNumber(t *testing.T) {
	var b strings.Builder
	for _, u := range everyUnit {
		fmt.Fprintf(&b, "unit %q\n", u)
		list := magnitudes
		if u == Bool {
			list = []float64{0, 1, 0.5, -1}
		}
		for _, v := range list {
			fmt.Fprintf(&b, "%14s | %-14s | %-14s | %s\n", strconv.FormatFloat(v, 'g', -1, 64), Format(v, u), FormatFine(v, u, 2), FormatLimit(v, u))
		}
	}
	const golden = "testdata/format.golden"
	if *update {
		require.NoError(t, os.WriteFile(golden, []byte(b.String()), 0o644))
		return
	}
	want, err := os.ReadFile(golden)
	require.NoError(t, err)
	assert.Equal(t, string(want), b.String())
}

// TestEveryUnitIsSpelt holds that the list above is whole: each unit that can be written
// is in it, and each of it that carries a word can be written.
func TestEveryUnitIsSpelt(t *testing.T) {
	for _, s := range Spellings() {
		assert.Contains(t, everyUnit, s.Unit, s.Word)
	}
	for _, u := range everyUnit {
		if _, ok := Spelled(string(u)); u != Number && u != Bool {
			assert.True(t, ok, u)
		}
	}
}

// TestFormatsAreNearWhatTheyStandFor reads random values back from their text: never
// further off than half of the last decimal that is shown, never with a sign on zero,
// and with more decimals never further off than with fewer.
func TestFormatsAreNearWhatTheyStandFor(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 3))
	for range 3000 {
		u := everyUnit[2+r.IntN(len(everyUnit)-3)] // not the last: the size of a file is shown in the unit that leaves it short
		v := (r.Float64() - 0.3) * math.Pow10(r.IntN(8)-3)
		last := math.Inf(1)
		for more := range MaxDecimals + 1 {
			text := FormatFine(v, u, more)
			off := math.Abs(read(t, text, u) - v)
			decimals, _ := places(v, u)
			assert.LessOrEqual(t, off, 0.500001*math.Pow10(-min(decimals+more, MaxDecimals)), "%v %s", v, text)
			assert.LessOrEqual(t, off, last+1e-12, "%v %s", v, text)
			assert.NotRegexp(t, `^-0(\.0+)? `, text)
			last = off
		}
		limit := FormatLimit(v, u)
		assert.NotRegexp(t, `\.\d*0 `, limit, "padded")
		assert.LessOrEqual(t, math.Abs(read(t, limit, u)-v), 0.0501, "%v %s", v, limit)
	}
}

// TestWhatIsPastALimitLooksPastIt holds that enough decimals tell any value that is past
// a limit by the tolerance apart from it, for lengths and angles, which rules compare.
func TestWhatIsPastALimitLooksPastIt(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 5))
	for range 2000 {
		u := []Unit{MM, Deg, MM2}[r.IntN(3)]
		limit := math.Round(r.Float64()*1e4) / 100
		value := limit + Tolerance(u)*1.001
		assert.NotEqual(t, FormatFine(limit, u, MaxDecimals), FormatFine(value, u, MaxDecimals), "%v %v", limit, value)
	}
}

func read(t *testing.T, text string, u Unit) float64 {
	t.Helper()
	v, unit, err := ParseQuantity(text)
	require.NoError(t, err, text)
	require.Equal(t, u, unit, text)
	return v
}
