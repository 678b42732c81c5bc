package draw

import (
	"bytes"
	"image"
	"math"
)

// Slices are layers of a model from the bed to its top, for looking through them.
type Slices struct {
	Wide    float64     `json:"wide"` // mm that a picture shows
	High    float64     `json:"high"`
	Heights []float64   `json:"heights"` // mm above the bed, rising
	Layers  []int       `json:"layers"`  // the number of each, from 1
	Shows   []int       `json:"shows"`   // the picture of each, by index
	PNG     [][]byte    `json:"png"`
	Marks   []SliceMark `json:"marks"`
}

// SliceMark is where a finding lies on its layer.
type SliceMark struct {
	Number int     `json:"number"`
	At     int     `json:"at"` // index of the layer that shows it best
	X      float64 `json:"x"`  // mm from the left
	Y      float64 `json:"y"`  // mm from the top
}

// NewSlices draws layers that were cut of one model in one way up, in rising order.
func NewSlices(list []*DrawnLayer, side int) (*Slices, error) {
	s := &Slices{Marks: []SliceMark{}}
	var before *image.Paletted
	for _, l := range list {
		if n := len(s.Layers); n > 0 && s.Layers[n-1] >= l.Index+1 {
			continue
		}
		// Walls that go straight up look the same in layer after layer.
		if dots := l.dots(l.all(), side); before == nil || !bytes.Equal(before.Pix, dots.Pix) {
			data, err := encodeFast(dots)
			if err != nil {
				return nil, err
			}
			s.PNG, before = append(s.PNG, data), dots
		}
		s.Wide, s.High = round2(float64(l.cols)*l.grid.Cell), round2(float64(l.rows)*l.grid.Cell)
		s.Heights, s.Layers, s.Shows = append(s.Heights, round2(l.Height)), append(s.Layers, l.Index+1), append(s.Shows, len(s.PNG)-1)
	}
	return s, nil
}

// Nearest is the layer of a list that lies nearest to the place of a finding.
func Nearest(list []*DrawnLayer, m *Mark) *DrawnLayer {
	best := list[0]
	for _, l := range list {
		z := l.place.To(m.At).Z
		if math.Abs(l.Height-z) < math.Abs(best.Height-z) {
			best = l
		}
	}
	return best
}

// Mark puts a finding on the layer of that index or, where it was not drawn, the next above.
func (s *Slices) Mark(l *DrawnLayer, m *Mark) {
	at := l.place.To(m.At)
	for i, layer := range s.Layers {
		if layer >= l.Index+1 {
			s.Marks = append(s.Marks, SliceMark{m.Number, i, round2(at.X - l.grid.X0), round2(s.High - (at.Y - l.grid.Y0))})
			return
		}
	}
}

func round2(x float64) float64 { return math.Round(x*100) / 100 }

// dots draws a window of a layer, at most side pixels wide and high.
func (l *DrawnLayer) dots(w image.Rectangle, side int) *image.Paletted {
	cols, rows := w.Dx(), w.Dy()
	longest := max(cols, rows)
	width, height := max(cols*side/longest, 1), max(rows*side/longest, 1)
	img := image.NewPaletted(image.Rect(0, 0, width, height), layerPalette)
	above, row := make([]uint8, width), make([]uint8, width)
	for y := range height {
		cells := l.cells[(w.Max.Y-1-y*rows/height)*l.cols+w.Min.X:]
		for x := range width {
			k := cells[x*cols/width]
			row[x] = k
			edge := x > 0 && (row[x-1] == nothing) != (k == nothing) || y > 0 && (above[x] == nothing) != (k == nothing)
			img.Pix[y*img.Stride+x] = layerIndex(k, x, y, edge)
		}
		above, row = row, above
	}
	return img
}
