package plain

import "math"

// limits are those of the rules, moved to one side of what the rules say by as much as
// columns of this width can be wrong. Lengths in mm, areas in mm2.
type limits struct {
	steep   slope // max-overhang-angle
	running slope // slopes of 50 to 68 deg that run: their curling adds up

	carries      float64 // from carriers up to here, a short ledge carries the end of a strand
	span, ledge  float64 // max-bridge-length
	strand       float64 // strands up to here carry what is laid beside them
	gap          float64 // what ends at most so far below carries
	caught       float64 // what of the model ends at most so far below catches what sags
	islandsCarry bool    // what began in the air carries what is laid on it later
	anyStrand    bool    // a long strand carries what lies beside it, too

	fringe                       float64 // a piece this near the layer below does not begin in the air
	rise, widest, tall, together float64 // no-floating-islands
	level, flat, small, share    float64 // flat-base
}

// slope is a rule on what hangs past an angle.
type slope struct {
	step  float64 // how far a layer may lie out past the one below: layer * tan(angle)
	lag   float64 // how far behind what hangs the cone of that angle must fall
	least float64 // steps shorter than this are no part of what hangs, whatever it hangs on
	reach float64 // an error beyond this, if it weighs more than
	load  float64 // and this, its area times its reach
	far   float64 // an error beyond this, whatever its area
}

// step is how far a slope of an angle lies out a layer.
func step(deg float64) float64 { return layer * math.Tan(deg*math.Pi/180) }

// The rules say 68.2 deg, 2.5 mm, 50 mm3, 5 mm; 50 deg, 8 mm; 65 mm, 2.5 mm; 0.3 and 0.8 mm below;
// 0.4 mm, 1 mm2, 2 mm, 10 mm2; 0.05 mm, 9 mm2, 25 mm2, 0.3. Angles are moved by 3 deg, lengths
// by about an eighth and areas by a quarter, what is made of both by nearly a half: judgement, from a cell in 2.5 mm (8 %) at both ends.
var (
	wide = limits{
		steep:   slope{step: step(71), lag: 0.4, least: step(71), reach: 2.9, load: 72, far: 5.7},
		running: slope{step: step(53), lag: 0.4, least: 1.5 * cell, reach: 9, load: 0, far: 9},
		carries: 2.2, span: 70, ledge: 2.9, strand: 1.15 * strand, gap: 0.32, caught: 0.92,
		islandsCarry: true, anyStrand: true,
		fringe: 2.5 * cell, rise: 0.7, widest: 1.3, tall: 2.4, together: 12,
		level: 0.1, flat: 7.7, small: 22, share: 0.27,
	}
	tight = limits{
		steep:   slope{step: step(65.2), lag: 0.2, least: step(65.2) - cell/2, reach: 2.2, load: 33, far: 4.4},
		running: slope{step: step(47.5), lag: 0.2, least: 0, reach: 7, load: 0, far: 7},
		carries: 0, span: 60, ledge: 2.2, strand: 0.85 * strand, gap: 0.28, caught: 0,
		fringe: 0, rise: 0.3, widest: 0.75, tall: 1.7, together: 8,
		level: 0.045, flat: 10.3, small: 28, share: 0.33,
	}
)
