package spatial

import (
	"math"
	"math/big"
	"testing"

	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
)

// rationalSide is the determinant in rational numbers.
func rationalSide(a, b, c, d point) int {
	diff := func(p point, k int) *big.Rat {
		x := new(big.Rat).SetFloat64(p[k])
		return x.Sub(x, new(big.Rat).SetFloat64(a[k]))
	}
	sum := new(big.Rat)
	for k := range 3 {
		i, j := (k+1)%3, (k+2)%3
		x := new(big.Rat).Mul(diff(b, i), diff(c, j))
		x.Sub(x, new(big.Rat).Mul(diff(b, j), diff(c, i)))
		sum.Add(sum, x.Mul(x, diff(d, k)))
	}
	return sum.Sign()
}

func TestSidesAreExact(t *testing.T) {
	r := dice.New(t)
	kinds := map[string]func() float32{
		"grid":  func() float32 { return float32(r.IntN(5)) * .1 },
		"near":  func() float32 { return math.Nextafter32(1, float32(r.IntN(3))) },
		"wide":  func() float32 { return float32(math.Ldexp(r.Float64()-.5, r.IntN(250)-125)) },
		"any":   func() float32 { return r.Float32()*200 - 100 },
		"tiny":  func() float32 { return math.Float32frombits(uint32(r.IntN(4))) },
		"plane": func() float32 { return float32(r.IntN(1000)) / 1024 },
	}
	for name, number := range kinds {
		zero := 0
		for range 3000 {
			var p [4]point
			for i := range p {
				p[i] = point{float64(number()), float64(number()), float64(number())}
				if name == "plane" {
					p[i][2] = p[i][0]*.5 - p[i][1]*.25
				}
			}
			want := rationalSide(p[0], p[1], p[2], p[3])
			require.Equal(t, want, orient(p[0], p[1], p[2], p[3]), "%s %v", name, p)
			require.Equal(t, want, longSide(p[0], p[1], p[2], p[3]), "%s %v", name, p)
			if want == 0 {
				zero++
			}
		}
		if name == "plane" {
			require.Equal(t, 3000, zero)
		}
	}
}
