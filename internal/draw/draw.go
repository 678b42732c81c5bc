// Package draw makes pictures of models: a model as it lies with its findings painted
// and numbered, one layer seen from above, and a reduced mesh to turn in a report.
//
// Pictures are the same bytes on every machine. Corners are rounded to whole steps of
// a sample and coverage is decided in whole numbers; what is computed in float64 has
// each product rounded on its own; directions are written out, so that no sine has to
// be computed. Meaning is never carried by colour alone: levels also differ in
// hatching and in the shape of their badges.
package draw

import (
	"bytes"
	"fmt"
	"image"
	"image/png"
	"slices"
	"sync"

	"printlint/internal/mesh"
	"printlint/internal/work"
)

// Options say how a picture is drawn.
type Options struct {
	// Width and Height are in pixels.
	Width, Height int
	// Matrix is the pose: the rotation, row by row, that lays the model on the bed. The
	// zero value lays it as it stands in the file.
	Matrix [9]float64
	// Marks are the findings to paint and number, the worst first.
	Marks []Mark
	// FromBelow looks up through the bed.
	FromBelow bool
	// Badges draws the numbers into the picture; otherwise they are only placed.
	Badges bool
	// Opaque puts white behind the model instead of nothing.
	Opaque bool
	// Scale, when not 0, is how many pixels a millimetre is long, as CommonScale gives it;
	// otherwise the model is as large as the picture has room for.
	Scale float64
	// Next, when not zero, is the way up that the model shall be turned to: the faces that
	// lie on the bed then are painted, and an arrow shows the turn.
	Next [9]float64
	// Meter, when not nil, counts the work, and ends the drawing where none is left.
	Meter *work.Meter
}

// Picture is a finished picture.
type Picture struct {
	Guides
	Image  *image.NRGBA
	Badges []Badge
	// Words say what is seen: from where, and how wide the squares of the bed are.
	Words string
	// Shown is how many samples show a mark to the viewer, for choosing among views.
	Shown int
}

// Bounds of a picture, in pixels to a side.
const (
	MinSide = 64
	MaxSide = 4096
)

// room is what pictures are drawn in, kept between them: fresh memory is dear.
type room struct {
	front, hidden depths
	corners       []vertex
	edges         []bool
	shade         []uint8
	tally         work.Tally
}

// What steps of drawing cost in work, about: a sample, a triangle, and a triangle held
// against a mark.
const (
	sampleCost   = 2
	triangleCost = 30
	markCost     = 5
)

var rooms = sync.Pool{New: func() any { return new(room) }}

// Model draws a model on the bed, from the side that shows most of its marks.
func Model(m *mesh.Mesh, opt Options) (*Picture, error) {
	if min(opt.Width, opt.Height) < MinSide || max(opt.Width, opt.Height) > MaxSide {
		return nil, fmt.Errorf("a picture is %d to %d pixels wide and high, not %d x %d", MinSide, MaxSide, opt.Width, opt.Height)
	}
	if len(m.Tris) == 0 {
		return nil, fmt.Errorf("the model has no triangles to draw")
	}
	r := rooms.Get().(*room)
	defer rooms.Put(r)
	r.tally = work.Tally{}
	if opt.Meter != nil {
		r.tally = opt.Meter.Tally()
	}
	// Each mark is held against each triangle.
	if !r.tally.Add((triangleCost + markCost*int64(len(opt.Marks))) * int64(len(m.Tris))) {
		return nil, r.tally.Close()
	}
	posed, place := lay(m, opt.Matrix)
	if opt.Next != ([9]float64{}) {
		opt.Marks = append(slices.Clip(opt.Marks), goesDown(m, opt.Next))
	}
	marks := markedOf(posed, place, opt.Marks)
	view := r.choose(posed, marks, opt.FromBelow)
	picture := r.paint(posed, marks, view, opt)
	if err := r.tally.Close(); err != nil {
		return nil, err
	}
	return picture, nil
}

// lay lays a model on the bed, as it stands in the file where the matrix is zero.
func lay(m *mesh.Mesh, matrix [9]float64) (*mesh.Mesh, mesh.Placement) {
	if matrix == ([9]float64{}) {
		matrix = mesh.Identity
	}
	return m.Posed(matrix)
}

// choose picks the side that shows most of the marks, on a small picture.
func (r *room) choose(m *mesh.Mesh, marks *marked, below bool) View {
	from := Above
	if below {
		from = Below
	}
	best, most := from(0), -1
	if len(marks.tris) == 0 {
		return best
	}
	for side := range sides {
		v := from(side)
		f := fit(v, m, 160, 120, 4)
		r.front.reset(160, 120)
		r.fill(&r.front, m, &f, nil)
		if n := shown(&r.front, &f, marks); n > most {
			best, most = v, n
		}
	}
	return best
}

// shown counts the samples that show a finding.
func shown(d *depths, f *projection, marks *marked) int {
	n := 0
	for i, t := range d.id {
		if t != none && marks.head[t] != 0 {
			if k := marks.at(t, d.at(f, i)); k >= 0 && marks.marks[k].Level != downLevel {
				n++
			}
		}
	}
	return n
}

// fill draws triangles into a buffer: the listed ones, or all where the list is nil, as
// long as work may go on.
func (r *room) fill(d *depths, m *mesh.Mesh, f *projection, list []uint32) {
	r.corners = project(m, f, r.corners)
	n := len(list)
	if list == nil {
		n = len(m.Tris)
	}
	for i := range n {
		t := i
		if list != nil {
			t = int(list[i])
		}
		tri := &m.Tris[t]
		samples := d.triangle(int32(t), r.corners[tri[0]], r.corners[tri[1]], r.corners[tri[2]])
		if !r.tally.Add(triangleCost + sampleCost*int64(samples)) {
			return
		}
	}
}

// paint draws the picture from one view.
func (r *room) paint(m *mesh.Mesh, marks *marked, v View, opt Options) *Picture {
	w, h := opt.Width*grain, opt.Height*grain
	f := fit(v, m, w, h, margin(len(marks.marks))*grain)
	if opt.Scale > 0 {
		f.rescale(opt.Scale*grain, w, h)
	}
	r.front.reset(w, h)
	r.fill(&r.front, m, &f, nil)
	if cap(r.shade) < len(m.Tris) {
		r.shade = make([]uint8, len(m.Tris))
	}
	p := &painter{m: m, frame: f, front: &r.front, marks: marks, ground: groundUnder(m, &f), opaque: opt.Opaque,
		edges: r.edges, shadeOf: r.shade[:len(m.Tris)]}
	clear(p.shadeOf)
	for i := range p.ramp {
		p.ramp[i] = mix(bodyDark, bodyLight, i, shades-1)
	}
	if len(marks.tris) > 0 {
		r.hidden.reset(w, h)
		r.fill(&r.hidden, m, &f, marks.tris)
		p.hidden = &r.hidden
	}
	p.findEdges()
	r.edges = p.edges
	pic := &Picture{Image: p.pixels(), Words: fmt.Sprintf("%s; the squares of the bed are %g mm", v.Words, p.ground.square)}
	pic.Guides = guides(m, marks, &f, &opt)
	pic.Badges = placeBadges(spots(marks, &f), opt.Width, opt.Height)
	if p.hidden != nil {
		pic.Shown = shown(&r.front, &f, marks)
	}
	if opt.Badges {
		overlay{pic.Image}.guides(&pic.Guides)
	}
	for i := len(pic.Badges) - 1; i >= 0; i-- {
		b := &pic.Badges[i]
		m := &marks.marks[b.mark]
		if b.Number = m.Number; opt.Badges {
			overlay{pic.Image}.badge(b, styleOf(m.Level))
		}
	}
	return pic
}

// margin is the rim around a model, in pixels; numbers want room to stand in.
func margin(marks int) int {
	if marks == 0 {
		return 14
	}
	return 34
}

// spots returns where the findings fall, in pixels.
func spots(marks *marked, f *projection) [][2]float64 {
	var list [][2]float64
	for i := range marks.marks {
		if marks.marks[i].Level == downLevel {
			break // behind all findings
		}
		x, y := f.sample(marks.place.To(marks.marks[i].At))
		list = append(list, [2]float64{x / grain, y / grain})
	}
	return list
}

// PNG encodes a picture.
func (p *Picture) PNG() ([]byte, error) { return encode(indexed(p.Image)) }

// Pictures are what was drawn of one model while its mesh was in memory. Findings go by
// their numbers, as report/words.Shown counts them. A report without pictures says the
// same in words.
type Pictures struct {
	// Lying is the model as it lies, seen from above, and Under the same seen from below.
	Lying, Under *Encoded
	// Advised is the model in the best way up, where that is another one.
	Advised *Encoded
	// Before and After are the model on both sides of a change, at one scale and from one
	// side, and their files where they were saved; nil where the shape did not change.
	Before, After         *Encoded
	BeforeFile, AfterFile string
	// Proposed are pictures of what is advised to change in the shape.
	Proposed Proposed
	// Layers are views of single layers, each at the height of a finding.
	Layers []LayerView
	// Shape is a reduced mesh to turn, or nil.
	Shape *Shape
	// Slices are layers to look through, or nil.
	Slices *Slices
	// File is where Lying lies as a file of its own, as a link from the report, or empty.
	File string
}

// Proposed are pictures of what is advised to change in the shape; nil where nothing is.
type Proposed struct {
	// Off is a close-up of what is cut off the bottom, and Stands what is left, from below.
	Off, Stands *Encoded
	// Planes is the model with the planes to cut it along, and Laid the pieces as they print.
	Planes, Laid *Encoded
	// Without and With are the model without and with the solids to add.
	Without, With *Encoded
}

// Encoded is a picture as PNG with the places of its badges. They are drawn over it by the
// report, so that they stay sharp and lead to their findings.
type Encoded struct {
	Guides
	PNG           []byte
	Width, Height int // pixels
	Words         string
	Badges        []Badge
}

// LayerView is one layer around a finding.
type LayerView struct {
	Number int    // of the finding
	SVG    string // made of numbers and words of our own alone
	Words  string
}

// Encode packs a picture for a report.
func (p *Picture) Encode() (*Encoded, error) {
	data, err := p.PNG()
	size := p.Image.Rect.Size()
	return &Encoded{p.Guides, data, size.X, size.Y, p.Words, p.Badges}, err
}

func encode(img image.Image) ([]byte, error) { return encodeAt(img, png.BestCompression) }

// encodeFast is for small pictures of few colours, of which there are many.
func encodeFast(img image.Image) ([]byte, error) { return encodeAt(img, png.DefaultCompression) }

// encoders keeps what the encoder needs between pictures: fresh memory is dear.
type encoders struct{ sync.Pool }

// Get returns what was put back, or nil.
func (e *encoders) Get() *png.EncoderBuffer {
	b, _ := e.Pool.Get().(*png.EncoderBuffer)
	return b
}

// Put keeps what an encoder has used.
func (e *encoders) Put(b *png.EncoderBuffer) { e.Pool.Put(b) }

var best, fast encoders

func encodeAt(img image.Image, level png.CompressionLevel) ([]byte, error) {
	var b bytes.Buffer
	e := png.Encoder{CompressionLevel: level, BufferPool: &best}
	if level != png.BestCompression {
		e.BufferPool = &fast
	}
	if err := e.Encode(&b, img); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}
