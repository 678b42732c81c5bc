package hang

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
)

// plainDegree is the angle itself, to the nearest degree.
func plainDegree(x, y float64) int {
	return int(math.Mod(math.Atan2(y, x)*180/math.Pi+180.5, 180)) % 180
}

// The table gives the degree that the angle gives: along the axes and the diagonals,
// at every step of the table and a hair to both sides, at the middles between degrees
// as near as floats come, for all differences of roots as grids have them, and for
// any others.
func TestDegreesAgainstTheAngle(t *testing.T) {
	try := func(x, y float64) {
		for _, v := range [8][2]float64{{x, y}, {-x, y}, {x, -y}, {-x, -y}, {y, x}, {-y, x}, {y, -x}, {-y, -x}} {
			if want, got := plainDegree(v[0], v[1]), degree(v[0], v[1]); want != got {
				require.Equal(t, want, got, "(%v, %v)", v[0], v[1])
			}
		}
	}
	try(1, 0)
	try(1, math.Copysign(0, -1))
	try(1, 1)
	hair := func(slope float64) {
		for _, s := range [7]float64{slope, math.Nextafter(slope, 0), math.Nextafter(slope, 2), slope - 1e-12, slope + 1e-12, slope - 1e-8, slope + 1e-8} {
			try(1, max(s, 0))
			try(3, 3*max(s, 0))
		}
	}
	for i := range slopes + 1 {
		hair(float64(i) / slopes)
	}
	for half := .5; half < 45; half++ {
		hair(math.Tan(half * math.Pi / 180))
	}
	root := func(i int) float64 { return float64(float32(math.Sqrt(float64(i)))) }
	for i := range 60 {
		for j := range 60 {
			for k := range 60 {
				if x, y := root(i)-root(j), root(k)-root(i+j); x != 0 || y != 0 {
					try(x, y)
				}
			}
		}
	}
	r := dice.New(t)
	for range 500_000 {
		try(float64(float32(r.Float64()*4)), float64(float32(r.Float64()*4)))
	}
}

// Nearly all slopes are told without the angle, else the table were no gain.
func TestFewSlopesNeedTheAngle(t *testing.T) {
	n := 0
	for _, d := range degrees {
		if d == mixed {
			n++
		} else {
			require.LessOrEqual(t, d, uint8(45))
		}
	}
	assert.Equal(t, 45, n, "one a middle between degrees")
}

func TestPeaksAgainstPlain(t *testing.T) {
	r := dice.New(t)
	for range 2000 {
		var votes [180]float64
		for range r.IntN(40) {
			at, n := r.IntN(180), float64(r.IntN(30))
			for range 1 + r.IntN(3) {
				votes[at%180] += n
				at++
			}
		}
		require.Equal(t, plainTop(votes), strongest(votes))
	}
}
