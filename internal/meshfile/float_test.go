package meshfile

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
)

// same compares both parsers with the standard library's, bit by bit.
func same(t *testing.T, s string) {
	t.Helper()
	want, err := strconv.ParseFloat(s, 32)
	got, ok := parse32([]byte(s))
	if ok != (err == nil || math.IsInf(want, 0)) || ok && math.Float32bits(got) != math.Float32bits(float32(want)) {
		t.Fatalf("%q: %v %v, want %v %v", s, got, ok, float32(want), err)
	}
	want, err = strconv.ParseFloat(s, 64)
	got64, ok := parse64([]byte(s))
	if ok != (err == nil || math.IsInf(want, 0)) || ok && math.Float64bits(got64) != math.Float64bits(want) {
		t.Fatalf("%q: %v %v, want %v %v", s, got64, ok, want, err)
	}
}

func TestNumbersAsTheStandardLibraryReadsThem(t *testing.T) {
	for _, s := range []string{
		"0", "-0", "+0", "0.0e0", "1", ".5", "5.", ".", "-", "+", "", "e5", "1e", "1e+", "1e5.", "1.2.3", "--1", "1-", "1 ",
		"16777216", "16777217", "16777218", "16777219", "16777217.0000000000000000000000001", "33554435",
		"3.4028234e38", "3.4028235e38", "3.40282356e38", "3.4028235677973366e38", "3.402823567797337e38", "1e39", "-1e39", "1e400", "1e99999999999",
		"1.17549435e-38", "1.1754943e-38", "1e-40", "1.4e-45", "0.7e-45", "7.006492321624085e-46", "1e-400", "-1e-99999999999",
		"0.000000000000000000000000000001", "100000000000000000000000000000", "00000000000000000000000000000000001.5",
		"1.00000005960464477539062500000", "1.00000005960464477539062500001", "1.00000005960464477539062499999",
		"0.1", "0.2", "0.3", "1e22", "1e23", "9007199254740993", "9007199254740992e-5", "18446744073709551615", "18446744073709551616",
		"99999999999999999999", "0.99999999999999999999", "123456789012345678901234567890e-20", "1.5E3", "1e0000000000000000000000005",
	} {
		same(t, s)
	}
}

// TestRandomNumbers tries what files hold: short and long numbers, float32 and float64
// written out, and the middles between two float32, where rounding is decided.
func TestRandomNumbers(t *testing.T) {
	seed := dice.Seed(t)
	r := rand.New(rand.NewPCG(seed, 1))
	for range 200_000 {
		bits := r.Uint32() &^ (1 << 31)
		x := math.Float32frombits(bits)
		if x-x != 0 {
			continue
		}
		middle := (float64(x) + float64(math.Float32frombits(bits+1))) / 2
		same(t, strconv.FormatFloat(float64(x), 'g', -1, 32))
		same(t, strconv.FormatFloat(float64(x), 'e', r.IntN(12), 32))
		same(t, strconv.FormatFloat(middle, 'g', -1, 64))
		same(t, strconv.FormatFloat(middle, 'e', 15+r.IntN(25), 64))
		same(t, strconv.FormatFloat(math.Nextafter(middle, inf()), 'g', -1, 64))
		same(t, strconv.FormatFloat(-math.Nextafter(middle, 0), 'g', -1, 64))
		same(t, fmt.Sprintf("%.*f", r.IntN(20), (r.Float64()-.5)*500))
		same(t, fmt.Sprintf("%d.%de%d", r.Uint64()>>r.IntN(64), r.Uint64()>>r.IntN(64), r.IntN(100)-60))
	}
}

// TestNumbersThatAreNone: the standard library reads these, the formats do not know them.
func TestNumbersThatAreNone(t *testing.T) {
	for _, s := range []string{"nan", "inf", "-Infinity", "0x1p4", "0X1P-2", "1_000"} {
		_, ok := parse32([]byte(s))
		assert.False(t, ok, s)
		_, ok = parse64([]byte(s))
		assert.False(t, ok, s)
	}
}

func FuzzNumber(f *testing.F) {
	for _, s := range []string{"1.5", "-2e-3", "16777217", "1e39", ".", "1,5", "0.00000000000000000000000000000000000001175494"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		for _, c := range s {
			if c != '.' && c != '-' && c != '+' && c != 'e' && c != 'E' && (c < '0' || c > '9') {
				_, ok := parse32([]byte(s))
				require.False(t, ok)
				return
			}
		}
		same(t, s)
	})
}

func BenchmarkNumber(b *testing.B) {
	words := [][]byte{[]byte("-12.7"), []byte("3.14159265"), []byte("-1.234567e+01"), []byte("-14.672214508056641")}
	var sum float32
	for b.Loop() {
		for _, w := range words {
			x, _ := parse32(w)
			sum += x
		}
	}
	if sum == 0 {
		b.Fatal("nothing was read")
	}
}
