package coupon

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/mesh"
)

// looseLines are widths of a line at which the loose pieces are looked at.
var looseLines = []float64{0.1, 0.25, 0.35, 0.4, 0.6, 0.8, 1, 1.3, 2.5}

// loosePlan is a plan for a line, with a layer half as high.
func loosePlan(t *testing.T, line float64) *Plan {
	process := usual
	process.Line, process.Layer, process.Bed = line, line/2, [3]float64{300, 300, 300}
	return plan(t, process)
}

// TestLoosePiecesHaveTheirOwnPlates holds that what may come loose lies with nothing else, on
// the last plates.
func TestLoosePiecesHaveTheirOwnPlates(t *testing.T) {
	for _, line := range looseLines {
		last := false
		p := loosePlan(t, line)
		for i, plate := range p.Plates {
			assert.True(t, plate.Loose || !last, "a line of %v mm: plate %d", line, i+1)
			last = plate.Loose
			for _, s := range plate.Steps {
				assert.Equal(t, plate.Loose, s.Row.loose, "a line of %v mm: %s", line, s.Name())
			}
		}
		assert.True(t, last, "a line of %v mm", line)
	}
}

// footOf is the box of what of a piece lies on the bed, without its number.
func footOf(s Placed) mesh.Box {
	box := mesh.EmptyBox()
	for _, c := range s.Step.Mesh.Corners {
		if c[2] == 0 {
			box.Include(mesh.Vec{X: float64(c[0]), Y: float64(c[1])})
		}
	}
	return box
}

// TestNoTowerReachesAnother holds that a tower which falls lies clear of all that stands, that
// its foot is as large as its number says, and that the number lies on a larger one.
func TestNoTowerReachesAnother(t *testing.T) {
	towers := 0
	for _, line := range looseLines {
		for _, plate := range loosePlan(t, line).Plates {
			for i, s := range plate.Steps {
				if s.Row.Name != "feet" {
					continue
				}
				towers++
				at, whole := footOf(s), mesh.Weld(s.Step.Mesh).Box()
				size := at.Size()
				assert.InDelta(t, s.Step.Value, size.X*size.Y, 1e-3, s.Name())
				number := mesh.Weld(s.Step.Number).Box().Size()
				assert.Greater(t, number.X*number.Y, plate.Steps[0].Step.Value, s.Name())
				assert.Less(t, number.Z, whole.Max.Z, s.Name())
				for k, other := range plate.Steps {
					if k == i {
						continue
					}
					box := mesh.Weld(other.Step.whole()).Box()
					away := max(box.Min.X-at.Max.X, at.Min.X-box.Max.X, box.Min.Y-at.Max.Y, at.Min.Y-box.Max.Y)
					assert.Greater(t, away, whole.Max.Z-1e-4, "a line of %v mm: %s and %s", line, s.Name(), other.Name())
				}
			}
		}
	}
	assert.Greater(t, towers, 50)
}

// TestSpecksBeginAboveEachTower holds that all towers are done when the first speck begins, and
// each speck when the next one does, and that a speck has the area of its number, is as wide as
// a line, and ends within the bar.
func TestSpecksBeginAboveEachTower(t *testing.T) {
	for _, line := range looseLines {
		p := loosePlan(t, line)
		done := rowOf(p, "feet").Steps[0].size[2] + 0.99
		steps := rowOf(p, "specks").Steps
		require.Greater(t, len(steps), 3, "a line of %v mm", line)
		for _, s := range steps {
			// The pin is the last body: its corners are those of a box.
			pin := mesh.Triangles{Corners: s.Mesh.Corners[len(s.Mesh.Corners)-36:]}
			box := mesh.Weld(&pin).Box()
			size := box.Size()
			assert.InDelta(t, s.Value, size.X*size.Y, 1e-3, "%s at a line of %v mm", s.Label, line)
			assert.GreaterOrEqual(t, min(size.X, size.Y), line-1e-4, "%s at a line of %v mm", s.Label, line)
			assert.GreaterOrEqual(t, box.Min.Z, done, "%s at a line of %v mm", s.Label, line)
			layers := box.Min.Z / p.Process.Layer
			assert.InDelta(t, math.Round(layers), layers, 1e-3, "%s begins with a layer at a line of %v mm", s.Label, line)
			assert.Less(t, size.Z, s.size[2]-box.Min.Z, "%s ends within the bar", s.Label)
			done = box.Min.Z + float64(math.Floor(speckHang*whole(line)/p.Process.Layer+1e-6)*p.Process.Layer)
		}
	}
}

// TestNumbersBesidePass holds that the rules find nothing in what carries a number alone, also
// where only the largest foot held.
func TestNumbersBesidePass(t *testing.T) {
	for name, text := range map[string]string{
		"as it comes": "", "strict": "use: [strict]", "0.25 mm": "process: {nozzle: 0.25 mm}", "1 mm": "process: {nozzle: 1 mm}",
		"the largest foot": "process: {foot: {holds: 64 mm2}}",
	} {
		c := config(t, "version: 1\n"+text+"\n", nil)
		numbers := 0
		for _, s := range rowOf(plan(t, c.Process), "feet").Steps {
			assert.Empty(t, judge(t, c, s.Number), "%s: %s", name, s.Label)
			numbers++
		}
		assert.Greater(t, numbers, 5, name)
	}
}

// TestAnswersFromBeforeTheLooseRows holds that answers to the other rows alone are read as they
// were before there were more, and that the file says what it has no answer to.
func TestAnswersFromBeforeTheLooseRows(t *testing.T) {
	text := filled(t, plan(t, usual), "slopes", "held", "70")
	at := strings.Index(text, "  # Small feet")
	require.Positive(t, at)
	out, err := Prints{List: []*Answers{read(t, "a.yml", text[:at])}, Name: "m"}.Machine()
	require.NoError(t, err)
	assert.Contains(t, out, "columns held, feet held, feet clean, specks held.\n")
	assert.NotContains(t, out, "  foot:")
	c := config(t, "version: 1\nuse: [standard, m.yml]\n", map[string]string{"m.yml": out})
	assert.InDelta(t, 9, limitOf(t, c, "flat-base", "flat"), 1e-9)
	assert.InDelta(t, 1, limitOf(t, c, "no-floating-islands", "widest"), 1e-9)
}

// TestAHeadIsWiderThanItsFootAndNotMuchWider holds the heads between what the rules for feet call
// wide and what they call much too wide, so that they ask for the area of the foot alone.
func TestAHeadIsWiderThanItsFootAndNotMuchWider(t *testing.T) {
	c := config(t, "version: 1\n", nil)
	assert.Less(t, 1/headArea, limitOf(t, c, "brim-advised", "share"))
	assert.Greater(t, 1/headArea, limitOf(t, c, "flat-base", "share"))
}
