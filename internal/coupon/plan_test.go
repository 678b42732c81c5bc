package coupon

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/catalog"
	"printlint/internal/mesh"
)

// usual is a common machine.
var usual = catalog.Process{Material: "pla", Nozzle: 0.4, Line: 0.4, Layer: 0.2, Bed: [3]float64{220, 220, 250}, Bridge: 10, Density: 1.24, Flow: 5}

// rowOf finds a row by its name.
func rowOf(p *Plan, name string) *Row {
	i := slices.IndexFunc(p.Rows, func(r Row) bool { return r.Name == name })
	return &p.Rows[i]
}

func plan(t testing.TB, p catalog.Process) *Plan {
	t.Helper()
	made, err := New(p)
	require.NoError(t, err)
	return made
}

// TestOnePlateIsSoonPrinted holds what a usual machine needs for all that stays where it is,
// and for what may come loose.
func TestOnePlateIsSoonPrinted(t *testing.T) {
	p := plan(t, usual)
	require.Len(t, p.Plates, 2)
	assert.Less(t, p.Plates[1].Grams(usual), 10.0)
	assert.Less(t, p.Plates[1].Minutes(usual), 30.0)
	assert.Less(t, p.Plates[0].Grams(usual), 20.0)
	assert.Less(t, p.Plates[0].Minutes(usual), 45.0)
	assert.InDelta(t, p.Plates[0].Volume*1.24/1000, p.Plates[0].Grams(usual), 1e-9)
	assert.InDelta(t, p.Plates[0].Volume/5/60, p.Plates[0].Minutes(usual), 1e-9)
}

// TestNoPlateIsTooMuch holds that what is too much for one print is given more plates, a row
// on one of them where it fits.
func TestNoPlateIsTooMuch(t *testing.T) {
	for text, plates := range map[string]int{
		"nozzle: 0.25 mm": 5, "nozzle: 0.4 mm": 2, "nozzle: 0.6 mm": 3, "nozzle: 0.8 mm": 5,
		"layer: 0.1 mm": 5, "material: petg": 3, "material: tpu": 5,
	} {
		c := config(t, "version: 1\nprocess: {"+text+"}\n", nil)
		p := plan(t, c.Process)
		assert.Len(t, p.Plates, plates, text)
		on := map[string]int{} // the plates of a row
		for i := range p.Plates {
			plate := &p.Plates[i]
			assert.LessOrEqual(t, plate.Grams(c.Process), 20.0, text)
			assert.LessOrEqual(t, plate.Minutes(c.Process), 45.0, text)
			for k, s := range plate.Steps {
				if k == 0 || plate.Steps[k-1].Row != s.Row {
					on[s.Row.Name]++
				}
			}
		}
		for i := range p.Rows {
			r := &p.Rows[i]
			assert.True(t, on[r.Name] == 1 || p.tooMuch(r.volume()), "%s: %s is on %d plates", text, r.Name, on[r.Name])
		}
	}
}

// TestEachPieceStandsAlone holds that pieces fit the bed, keep apart, stand on it, and that
// each body of a piece is closed and faces outward. What they weigh is held against the
// volume of the bodies, which count twice where they overlap.
func TestEachPieceStandsAlone(t *testing.T) {
	for name, bed := range map[string]float64{"usual": 220, "small": 100, "large": 400} {
		t.Run(name, func(t *testing.T) {
			process := usual
			process.Bed = [3]float64{bed, bed, bed}
			p, pieces := plan(t, process), 0
			for _, plate := range p.Plates {
				var boxes []mesh.Box
				for _, s := range plate.Steps {
					pieces++
					m := mesh.Weld(s.Step.whole())
					box := m.Box()
					assert.Zero(t, box.Min.Z, s.Name())
					assert.GreaterOrEqual(t, min(box.Min.X, box.Min.Y), -1e-6, s.Name())
					assert.LessOrEqual(t, max(box.Max.X, box.Max.Y), bed-2*border+1e-6, s.Name())
					for i, other := range boxes {
						gap := max(box.Min.X-other.Max.X, other.Min.X-box.Max.X, box.Min.Y-other.Max.Y, other.Min.Y-box.Max.Y)
						assert.GreaterOrEqual(t, gap, min(s.Step.clear, plate.Steps[i].Step.clear)-1e-4, "%s and %s", s.Name(), plate.Steps[i].Name())
					}
					boxes = append(boxes, box)
					inside := m.Volume()
					assert.Greater(t, inside, s.Step.Volume*0.999, s.Name())
					assert.Less(t, inside, s.Step.Volume*1.25, s.Name())
					assert.True(t, m.Topology().Closed(), s.Name())
					assert.Zero(t, m.Topology().CrowdedEdges(), s.Name())
				}
			}
			want := 0
			for _, r := range p.Rows {
				want += len(r.Steps)
				assert.True(t, oneWay(r.Steps), r.Name)
			}
			assert.Equal(t, want, pieces)
		})
	}
}

// oneWay says whether the figures go one way, each with a label of its own.
func oneWay(steps []Step) bool {
	labels := map[string]bool{}
	for i, s := range steps {
		labels[s.Label] = true
		if i > 1 && (s.Value > steps[i-1].Value) != (steps[1].Value > steps[0].Value) {
			return false
		}
	}
	return len(labels) == len(steps) && len(steps) > 1
}

// TestNumbersCanBePrinted holds the strokes of the numerals, and the holes in them, to two
// lines, on a plate that has room for them, and that numbers say what is drawn.
func TestNumbersCanBePrinted(t *testing.T) {
	for _, line := range []float64{0.25, 0.4, 0.6, 1} {
		assert.Greater(t, stroke(line), 2*line)
	}
	for _, row := range numerals {
		for i := 1; i < numeralHigh; i++ {
			for k := 0; k+1 < len(row[i]); k++ {
				corner := row[i][k] == row[i-1][k+1] && row[i][k+1] == row[i-1][k] && row[i][k] != row[i][k+1]
				assert.False(t, corner, "two cells meet in a corner alone: %v", row)
			}
		}
	}
	assert.Equal(t, ".45", label(0.45))
	assert.Equal(t, "2.5", label(2.5))
	assert.Equal(t, "70", label(70))
}

// TestTooSmallABed holds that a bed without room is refused, and that a small one is given
// fewer bridges and more plates.
func TestTooSmallABed(t *testing.T) {
	small := usual
	small.Bed = [3]float64{80, 80, 80}
	p := plan(t, small)
	assert.Greater(t, len(p.Plates), 1)
	assert.Len(t, rowOf(p, "bridges").Steps, 6)
	small.Bed = [3]float64{20, 80, 80}
	_, err := New(small)
	assert.ErrorContains(t, err, "the bed is too small for test pieces: the piece 35 of slopes needs 17 mm by 7 mm, a border of 5 mm around it, and 12 mm of height")
	small.Bed = [3]float64{200, 200, 15}
	_, err = New(small)
	assert.ErrorContains(t, err, "the piece 3 of columns needs")
}

// TestAnyProcessGivesAPlanOrAReason tries processes at random, from a file's least figures to its
// largest: steps differ, numbers on pieces too, and corners are numbers.
func TestAnyProcessGivesAPlanOrAReason(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, seed))
	between := func(low, high float64) float64 {
		return math.Round(1000*low*math.Pow(high/low, r.Float64())) / 1000
	}
	made := 0
	for range 60 {
		p := usual
		p.Line, p.Layer = between(0.05, 4), between(0.01, 2)
		for i := range p.Bed {
			p.Bed[i] = between(40, 1000)
		}
		plan, err := New(p)
		if err != nil {
			assert.ErrorContains(t, err, "the bed is too small", "%+v", p)
			continue
		}
		made++
		for _, row := range plan.Rows {
			assert.True(t, oneWay(row.Steps), "%s: %+v", row.Name, p)
			for _, s := range row.Steps {
				assert.Positive(t, s.Value, "%s: %+v", row.Name, p)
				for _, c := range s.Mesh.Corners {
					sum := float64(c[0]) + float64(c[1]) + float64(c[2])
					require.False(t, math.IsNaN(sum) || math.IsInf(sum, 0), "%s: %+v", row.Name, p)
				}
			}
		}
		_, err = Read("a.yml", []byte(filled(t, plan, "gaps", "held", rowOf(plan, "gaps").Steps[1].Label)))
		assert.NoError(t, err, "%+v", p)
	}
	assert.Positive(t, made)
}

// TestCuttingAnOutlineKeepsItsArea holds the triangles of every kind of outline that is
// drawn, by area, and the heights of whole layers.
func TestCuttingAnOutlineKeepsItsArea(t *testing.T) {
	o := outline{{0, 0}, {10, 0}, {10, 8}, {6, 8}, {6, 3}, {4, 3}, {4, 8}, {0, 8}}
	sum := 0.0
	for _, c := range o.ears() {
		sum += side(c[0], c[1], c[2]) / 2
	}
	assert.InDelta(t, 70, o.area(), 1e-9)
	assert.InDelta(t, 70, sum, 1e-9)
	assert.InDelta(t, 0.6, lift(0.6, 0.2), 1e-9)
	assert.InDelta(t, 0.6, lift(0.6, 0.3), 1e-9)
	assert.InDelta(t, 0.8, lift(0.6, 0.4), 1e-9)
}
