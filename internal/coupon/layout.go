package coupon

import (
	"fmt"
	"math"

	"printlint/internal/catalog"
	"printlint/internal/mesh"
)

const (
	// apart is the room between two pieces, so that one that comes loose is not thrown
	// against the next. Judgement.
	apart = 3
	// border is what stays free at each side of the bed. Judgement.
	border = 5
	// broadest is how much of a large bed is used: a file that says nothing of its bed shall
	// fit most machines. Judgement.
	broadest = 170
	// heaviest and longest are what one plate weighs and takes at most if it is filled: a print
	// that fails in the end has cost no more. Judgement.
	heaviest = 20 // g
	longest  = 45 // min
)

// lay puts all pieces on plates, in lines along x; each row begins a line of its own, so
// that the pieces of a row are seen together.
func (p *Plan) lay() error {
	room := [2]float64{min(p.Process.Bed[0]-2*border, broadest), min(p.Process.Bed[1]-2*border, broadest)}
	var plate *Plate
	x, y, deep := 0.0, 0.0, 0.0
	for i := range p.Rows {
		r := &p.Rows[i]
		if x > 0 {
			x, y, deep = 0, y+deep, 0
		}
		if r.loose && i > 0 && !p.Rows[i-1].loose {
			plate = nil
		}
		if plate != nil && p.tooMuch(plate.Volume+r.volume()) && !p.tooMuch(r.volume()) {
			plate = nil // a row stays together where one plate can hold it
		}
		for k := range r.Steps {
			s := &r.Steps[k]
			if s.size[0] > room[0] || s.size[1] > room[1] || s.size[2] > p.Process.Bed[2] {
				mm := func(i int) string { return catalog.FormatLimit(math.Ceil(s.size[i]), catalog.MM) }
				return fmt.Errorf("the bed is too small for test pieces: the piece %s of %s needs %s by %s, a border of %d mm around it, and %s of height",
					s.Label, r.Name, mm(0), mm(1), border, mm(2))
			}
			if x > 0 && x+s.size[0] > room[0] {
				x, y, deep = 0, y+deep, 0
			}
			if plate == nil || y+s.size[1] > room[1] || len(plate.Steps) > 0 && p.tooMuch(plate.Volume+s.Volume) {
				p.Plates = append(p.Plates, Plate{Loose: r.loose})
				plate = &p.Plates[len(p.Plates)-1]
				x, y, deep = 0, 0, 0
			}
			move(s.Mesh, x, y)
			move(s.Number, x, y)
			plate.Steps = append(plate.Steps, Placed{r, s})
			plate.Volume += s.Volume
			x, deep = x+s.size[0]+s.clear, max(deep, s.size[1]+s.clear)
		}
	}
	return nil
}

// tooMuch says whether one plate is not to hold a volume.
func (p *Plan) tooMuch(volume float64) bool {
	plate := Plate{Volume: volume}
	return plate.Grams(p.Process) > heaviest || plate.Minutes(p.Process) > longest
}

// volume is that of all pieces of the row.
func (r *Row) volume() (sum float64) {
	for i := range r.Steps {
		sum += r.Steps[i].Volume
	}
	return sum
}

// move shifts a piece on the bed.
func move(m *mesh.Triangles, x, y float64) {
	for i := range m.Corners {
		c := &m.Corners[i]
		c[0], c[1] = float32(float64(c[0])+x), float32(float64(c[1])+y)
	}
}
