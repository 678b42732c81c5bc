package cli

import (
	"cmp"
	"context"
	"errors"
	"slices"
	"sync"

	"printlint/internal/draw"
	"printlint/internal/finding"
	"printlint/internal/lint"
	"printlint/internal/mesh"
	"printlint/internal/report/words"
	"printlint/internal/work"
)

// gallery draws models while a run has their meshes in memory, and keeps the pictures
// for the report.
type gallery struct {
	size pictureSize
	// dir, when not empty, is the folder where the picture of each model is saved too.
	dir   string
	keep  *guarded // what a picture must not be saved over
	mutex sync.Mutex
	err   error // the first that saving met
	// drawn holds the pictures of each model by path and part; several where a file
	// holds parts of the same name, in the order of the file.
	drawn map[string][]*draw.Pictures
	// only, when not nil, says how many models of a path and part are drawn; others are not.
	only map[string]int
	most int // models to draw where there are very many
	// files counts the models drawn of each file: one file can hold more than a report has
	// room for.
	files map[string]int
}

// pictureSize is how much of a report one model may take.
type pictureSize struct {
	width, height int // pixels
	triangles     int // of the shape to turn; 0 for none
	layers        int // views of layers, each around a finding
	slices        int // layers to look through, from the bed to the top
	proposed      int // pixels, the width of pictures of what is advised to change; 0 for none
}

// sizeFor keeps a report of some hundred models small enough to be sent around: with
// 200 models a model has 125 kB of 25 MB. The files are what is known beforehand; a file
// with many parts takes more.
func sizeFor(files int) pictureSize {
	switch {
	case files <= 60:
		return pictureSize{640, 480, 6000, 8, 40, 640}
	case files <= onePage:
		return pictureSize{640, 480, 1200, 3, 12, 400}
	case files <= 1000:
		return pictureSize{400, 300, 600, 1, 0, 320}
	}
	return pictureSize{320, 240, 0, 0, 0, 0}
}

func newGallery(files int, dir string, keep *guarded) *gallery {
	return &gallery{size: sizeFor(files), dir: dir, keep: keep, drawn: map[string][]*draw.Pictures{}, files: map[string]int{}, most: maxDrawn}
}

// Judged draws one model. What cannot be drawn is left out of the report: the words say the
// same. It has no error: what was found stands, whatever becomes of the picture.
func (g *gallery) Judged(ctx context.Context, s *lint.Judged) error {
	defer func() {
		if caught := recover(); caught != nil {
			s.Note("no picture: " + lint.Crashed(caught).Error())
		}
	}()
	if errors.Is(work.Of(ctx).Err(), work.ErrLimit) {
		s.Note("no picture: the limit of work was used up")
		return nil
	}
	if !g.wants(s.Model) {
		return nil
	}
	p := &draw.Pictures{}
	marks := marksOf(s)
	g.views(ctx, s, marks, p)
	if wide := g.size.proposed; wide > 0 && s.Model.Advice != nil {
		p.Proposed = proposed(ctx, s, draw.Options{Width: wide, Height: wide * 3 / 4, Meter: work.Of(ctx)})
	}
	if g.size.layers > 0 {
		p.Layers, p.Slices = layerViews(ctx, s, marks, &g.size)
	}
	if g.size.triangles > 0 {
		p.Shape = draw.Reduce(s.Mesh, mesh.Identity, marks, g.size.triangles)
	}
	g.mutex.Lock()
	defer g.mutex.Unlock()
	key := pictureKey(s.Model)
	if g.dir != "" && g.err == nil {
		g.err = g.save(ctx, s, marks, len(g.drawn[key]), p)
	}
	g.drawn[key] = append(g.drawn[key], p)
	return nil
}

// wants says whether a model is to be drawn, and counts it. The parts of one file come in their
// order, so that the same ones are drawn in every run.
func (g *gallery) wants(m *finding.Model) bool {
	g.mutex.Lock()
	defer g.mutex.Unlock()
	key := pictureKey(m)
	if g.only != nil && len(g.drawn[key]) >= g.only[key] || g.files[m.Path] >= g.most {
		return false
	}
	g.files[m.Path]++
	return true
}

func pictureKey(m *finding.Model) string { return m.Path + "\x00" + m.Part }

// of returns the pictures of the models of a report by their index.
func (g *gallery) of(r *finding.Report) func(int) *draw.Pictures {
	list := make([]*draw.Pictures, len(r.Models))
	used := map[string]int{}
	for i := range r.Models {
		m := &r.Models[i]
		if m.Status != finding.Checked && m.Status != finding.Undecided {
			continue
		}
		key := pictureKey(m)
		if n := used[key]; n < len(g.drawn[key]) {
			list[i] = g.drawn[key][n]
			used[key]++
		}
	}
	return func(i int) *draw.Pictures { return list[i] }
}

// marksOf numbers the findings that have a place, as reports do.
func marksOf(s *lint.Judged) []draw.Mark {
	var marks []draw.Mark
	for n, i := range words.Shown(s.Model) {
		f := &s.Model.Findings[i]
		if f.Triangle == 0 {
			continue
		}
		marks = append(marks, draw.Mark{
			Number: n + 1, Level: f.Level, At: mesh.VecOf(f.At), Box: mesh.Box{Min: mesh.VecOf(f.Box[0]), Max: mesh.VecOf(f.Box[1])},
			Tris: s.Surfaces[i].Tris, Whole: s.Surfaces[i].Whole, Stands: aboutStanding(f),
		})
	}
	return marks
}

// aboutStanding says whether a finding is about how a body stands: its place is the centre
// of mass then.
func aboutStanding(f *finding.Finding) bool {
	_, tip := f.Values.Get("tip")
	_, centre := f.Values.Get("centre")
	return tip && centre
}

// views draws the model as it lies, its underside where that shows more, and the way up
// that is advised, all at one scale.
func (g *gallery) views(ctx context.Context, s *lint.Judged, marks []draw.Mark, p *draw.Pictures) {
	opt := draw.Options{Width: g.size.width, Height: g.size.height, Marks: marks, Meter: work.Of(ctx)}
	next, turned := advisedTurn(s.Model)
	if turned {
		opt.Next, opt.Scale = next, draw.CommonScale(s.Mesh, opt.Width, opt.Height, mesh.Identity, next)
	}
	lying, err := draw.Model(s.Mesh, opt)
	if err != nil {
		return
	}
	p.Lying = encoded(lying)
	if len(marks) > 0 {
		opt.FromBelow = true
		if under, err := draw.Model(s.Mesh, opt); err == nil && under.Shown > lying.Shown {
			under.Arrow = nil // one is enough
			p.Under = encoded(under)
		}
	}
	if turned {
		opt.Marks, opt.FromBelow, opt.Matrix, opt.Next = nil, false, next, [9]float64{}
		if advised, err := draw.Model(s.Mesh, opt); err == nil {
			p.Advised = encoded(advised)
		}
	}
}

// advisedTurn is the rotation to the way up that is advised, if that is another one.
func advisedTurn(m *finding.Model) ([9]float64, bool) {
	if m.Advice == nil || len(m.Advice.Poses) == 0 || m.Advice.Poses[0].Matrix == mesh.Identity {
		return [9]float64{}, false
	}
	return m.Advice.Poses[0].Matrix, true
}

// encoded encodes a picture; nil where that fails.
func encoded(p *draw.Picture) *draw.Encoded {
	out, err := p.Encode()
	if err != nil {
		return nil
	}
	return out
}

// The widths of a layer around a finding, and of one to look through, in pixels.
const (
	layerSide = 300
	sliceSide = 260
)

// layerViews draws the layers of the worst findings, one for each height, and layers to
// look through, these among them.
func layerViews(ctx context.Context, s *lint.Judged, marks []draw.Mark, size *pictureSize) ([]draw.LayerView, *draw.Slices) {
	_, place := s.Mesh.Posed(mesh.Identity)
	var chosen []draw.Mark
	var at, heights []float64
	for i := range marks {
		z := place.To(marks[i].At).Z
		near := func(h float64) bool { return h-z < 2*s.Process.Layer && z-h < 2*s.Process.Layer }
		if len(chosen) < size.layers && !slices.ContainsFunc(at, near) {
			chosen, at = append(chosen, marks[i]), append(at, z)
			heights = append(heights, worthALook(z, &marks[i], place, s.Process.Layer)...)
		}
	}
	tall := s.Mesh.Box().Size().Z
	for k := range size.slices {
		heights = append(heights, float64(tall*float64(k))/float64(size.slices))
	}
	if len(heights) == 0 {
		return nil, nil
	}
	layers, err := draw.Layers(ctx, s.Mesh, mesh.Identity, heights, s.Process, s.Overhang)
	if err != nil {
		return nil, nil
	}
	var list []draw.LayerView
	through := layers[looks*len(chosen):]
	told := make([]*draw.DrawnLayer, len(chosen))
	for i := range chosen {
		told[i] = telling(layers[i*looks:(i+1)*looks], &chosen[i])
		list = append(list, draw.LayerView{Number: chosen[i].Number, SVG: told[i].SVG(&chosen[i], layerSide, false), Words: told[i].Words()})
	}
	if len(through) == 0 {
		return list, nil
	}
	return list, slicesOf(append(slices.Clone(told), through...), marks, told, chosen)
}

// slicesOf draws layers to look through, and says which of them shows each finding.
func slicesOf(through []*draw.DrawnLayer, marks []draw.Mark, told []*draw.DrawnLayer, chosen []draw.Mark) *draw.Slices {
	slices.SortFunc(through, func(a, b *draw.DrawnLayer) int { return cmp.Compare(a.Index, b.Index) })
	s, err := draw.NewSlices(through, sliceSide)
	if err != nil {
		return nil
	}
	for i := range marks[:min(len(marks), maxSliceMarks)] {
		l := draw.Nearest(through, &marks[i])
		if k := slices.IndexFunc(chosen, func(m draw.Mark) bool { return m.Number == marks[i].Number }); k >= 0 {
			l = told[k]
		}
		if marks[i].Stands {
			l = through[0] // its foot
		}
		s.Mark(l, &marks[i])
	}
	return s
}

// maxSliceMarks is how many findings can be shown on their layers: as many as have a number
// in the pictures.
const maxSliceMarks = 40

// looks is how many layers are looked at for one finding.
const looks = 5

// worthALook lists the heights at which a finding may show: its own, just above, since
// the layer laid on a ceiling begins there, and within its box.
func worthALook(z float64, m *draw.Mark, place mesh.Placement, layer float64) []float64 {
	if z < layer {
		return slices.Repeat([]float64{z}, looks) // nothing hangs in the first layer
	}
	low, high := place.To(m.Box.Min).Z, place.To(m.Box.Max).Z
	list := []float64{z, z + layer}
	for k := 1; len(list) < looks; k++ {
		list = append(list, low+float64((high-low)*float64(k)/(looks-1)))
	}
	return list
}

// telling picks the first layer that shows well what hangs at a finding, or the one that
// shows most, or the first where nothing hangs.
func telling(list []*draw.DrawnLayer, m *draw.Mark) *draw.DrawnLayer {
	best, most := list[0], 0.0
	for _, l := range list {
		share := l.HangingShare(m.Box)
		if share > 0.1 {
			return l
		}
		if share > most {
			best, most = l, share
		}
	}
	return best
}
