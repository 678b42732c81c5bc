package draw

import (
	"bytes"
	"flag"
	"image"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

var update = flag.Bool("update", false, "write the golden pictures anew")

// undersides marks the triangles that look down and do not lie on the bed, each level in
// turn taking one body's worth.
func undersides(m *mesh.Mesh, levels ...finding.Level) []Mark {
	var marks []Mark
	floor := m.Box().Min.Z
	for i, l := range levels {
		k := Mark{Number: i + 1, Level: l, Box: mesh.EmptyBox(), Whole: true}
		for t := range m.Tris {
			a, b, c := m.Corners(t)
			if m.Normal(t).Z >= 0 || max(a.Z, b.Z, c.Z) <= floor || (t/2)%len(levels) != i {
				continue
			}
			k.Tris = append(k.Tris, uint32(t))
			for _, p := range [3]mesh.Vec{a, b, c} {
				k.Box.Include(p)
			}
		}
		if len(k.Tris) > 0 {
			a, b, c := m.Corners(int(k.Tris[0]))
			k.At = a.Add(b).Add(c).Scale(1.0 / 3)
			marks = append(marks, k)
		}
	}
	return marks
}

// goldens are pictures that show what there is to show.
var goldens = map[string]func() (*Picture, error){
	"t.png": func() (*Picture, error) {
		m := mesh.Weld(shapes.T())
		return Model(m, Options{Width: 320, Height: 240, Marks: undersides(m, finding.Error), Badges: true, Opaque: true})
	},
	"t-below.png": func() (*Picture, error) {
		m := mesh.Weld(shapes.T())
		return Model(m, Options{Width: 320, Height: 240, Marks: undersides(m, finding.Error), Badges: true, FromBelow: true})
	},
	"t-turned.png": func() (*Picture, error) {
		return Model(mesh.Weld(shapes.T()), Options{Width: 320, Height: 240, Matrix: [9]float64{1, 0, 0, 0, -1, 0, 0, 0, -1}})
	},
	"levels.png": func() (*Picture, error) {
		m := mesh.Weld(shapes.Join(shapes.T(), shapes.Move(shapes.T(), mesh.Vec{Y: 30}), shapes.Move(shapes.T(), mesh.Vec{Y: 60})))
		return Model(m, Options{Width: 400, Height: 300, Marks: undersides(m, finding.Error, finding.Warning, finding.Note), Badges: true, Opaque: true, FromBelow: true})
	},
	"ball.png": func() (*Picture, error) {
		m := mesh.Weld(shapes.Ball(20, 32))
		return Model(m, Options{Width: 240, Height: 240, Marks: undersides(m, finding.Warning), Badges: true})
	},
}

// scene draws the last picture of a scene.
func scene(s Scene) (*Picture, error) {
	list, err := s.Draw(Options{Width: 320, Height: 240, Badges: true, Opaque: true})
	if err != nil {
		return nil, err
	}
	return list[len(list)-1], nil
}

// byHalf tints what lies to both sides of a height.
func byHalf(z float64, below, above Tint) func(int, mesh.Vec) Tint {
	return func(_ int, p mesh.Vec) Tint {
		if p.Z < z {
			return below
		}
		return above
	}
}

func init() {
	ball := func() *mesh.Mesh { return mesh.Weld(shapes.Ball(20, 32)) }
	goldens["off.png"] = func() (*Picture, error) { // a flat to cut, in a close-up from the side
		return scene(Scene{
			Shapes: []Tinted{{Mesh: ball(), Of: byHalf(2, Removed, Kept), Sheets: []Sheet{{mesh.Vec{Z: 1}, 2}}}},
			Views:  FromBeside(), Focus: mesh.Box{Min: mesh.Vec{X: -12, Y: -12, Z: -2}, Max: mesh.Vec{X: 12, Y: 12, Z: 10}},
		})
	}
	goldens["pieces.png"] = func() (*Picture, error) { // along a level sheet and a slanted one
		slanted := mesh.Vec{X: 0.6, Z: 0.8}
		return scene(Scene{
			Shapes: []Tinted{{Mesh: mesh.Weld(shapes.T()), Sheets: []Sheet{{mesh.Vec{Z: 1}, 30}, {slanted, 20}}, Of: func(t int, p mesh.Vec) Tint {
				switch {
				case p.Z >= 30:
					return Piece(0)
				case slanted.Dot(p) > 20:
					return Piece(1)
				}
				return Piece(2)
			}}},
			Views: FromAbove(),
		})
	}
	goldens["added.png"] = func() (*Picture, error) { // a block below one arm, the other side of the post from the viewer too
		m := mesh.Weld(shapes.T())
		own := len(m.Tris)
		m.Append(mesh.Weld(shapes.Box(mesh.Vec{X: 0, Z: 10}, mesh.Vec{X: 20, Y: 10, Z: 30})))
		now := Tinted{Mesh: m, Of: func(t int, _ mesh.Vec) Tint {
			if t >= own {
				return Added
			}
			return Kept
		}}
		for t := own; t < len(m.Tris); t++ {
			now.Through = append(now.Through, uint32(t))
		}
		return scene(Scene{Shapes: []Tinted{{Mesh: mesh.Weld(shapes.T())}, now}, Views: []View{InFront()}})
	}
	goldens["stands.png"] = func() (*Picture, error) { // a flat, from below
		return scene(Scene{Shapes: []Tinted{{Mesh: ball(), Of: byHalf(0.8, Standing, Kept)}}, Views: FromBelow()})
	}
}

// TestGoldenPictures compares pictures with those that are kept, dot by dot and without
// any tolerance: coverage is decided in whole numbers and every product is rounded on its
// own, so that no machine has a reason to differ. Not the files are compared but what they
// show, because the compressor of the language may change with its release.
func TestGoldenPictures(t *testing.T) {
	kept, err := filepath.Glob("testdata/*.png")
	require.NoError(t, err)
	for name, draw := range goldens {
		p, err := draw()
		require.NoError(t, err)
		data, err := p.PNG()
		require.NoError(t, err)
		path := filepath.Join("testdata", name)
		if *update {
			require.NoError(t, os.MkdirAll("testdata", 0o777))
			require.NoError(t, os.WriteFile(path, data, 0o666))
		}
		want, err := os.ReadFile(path)
		require.NoError(t, err)
		assert.Zero(t, differ(t, want, data), "%s: dots that differ", name)
		kept = slices.DeleteFunc(kept, func(k string) bool { return k == path })
	}
	assert.Empty(t, kept, "golden pictures that no case draws")
}

// differ counts the dots in which two pictures differ.
func differ(t *testing.T, a, b []byte) int {
	x, err := png.Decode(bytes.NewReader(a))
	require.NoError(t, err)
	y, err := png.Decode(bytes.NewReader(b))
	require.NoError(t, err)
	require.Equal(t, x.Bounds(), y.Bounds())
	n := 0
	for v := range x.Bounds().Dy() {
		for u := range x.Bounds().Dx() {
			if x.At(u, v) != y.At(u, v) {
				n++
			}
		}
	}
	return n
}

func TestTheComparisonCanFail(t *testing.T) {
	a, err := goldens["t.png"]()
	require.NoError(t, err)
	b, err := goldens["t.png"]()
	require.NoError(t, err)
	b.Image.Pix[4*(120*320+160)] ^= 0x80
	first, err := a.PNG()
	require.NoError(t, err)
	second, err := b.PNG()
	require.NoError(t, err)
	assert.Equal(t, 1, differ(t, first, second))
}

// TestManyAtOnce holds that pictures drawn side by side, in rooms used before, are the
// same bytes as one drawn alone.
func TestManyAtOnce(t *testing.T) {
	m := mesh.Weld(shapes.Hook())
	draw := func(width int) []byte {
		p, err := Model(m, Options{Width: width, Height: 200, Marks: undersides(m, finding.Error), Badges: true})
		require.NoError(t, err)
		data, err := p.PNG()
		require.NoError(t, err)
		return data
	}
	want := [2][]byte{draw(200), draw(260)}
	var all sync.WaitGroup
	for i := range 12 {
		all.Go(func() { assert.Equal(t, want[i%2], draw([]int{200, 260}[i%2])) })
	}
	all.Wait()
}

func TestWhatCannotBeDrawn(t *testing.T) {
	m := mesh.Weld(shapes.Cube(10))
	for _, side := range []int{0, -1, MinSide - 1, MaxSide + 1, math.MaxInt} {
		_, err := Model(m, Options{Width: side, Height: 100})
		assert.ErrorContains(t, err, "a picture is 64 to 4096 pixels", side)
		_, err = Model(m, Options{Width: 100, Height: side})
		assert.Error(t, err, side)
	}
	_, err := Model(&mesh.Mesh{}, Options{Width: 100, Height: 100})
	assert.EqualError(t, err, "the model has no triangles to draw")
}

// TestDegenerateModels holds that flat, tiny and huge models are drawn without a fault.
func TestDegenerateModels(t *testing.T) {
	point := &mesh.Triangles{Corners: []mesh.Point{{1, 2, 3}, {1, 2, 3}, {1, 2, 3}}}
	sheet := &mesh.Triangles{Corners: []mesh.Point{{0, 0, 0}, {10, 0, 0}, {0, 10, 0}}}
	for name, s := range map[string]*mesh.Triangles{
		"a point": point, "a sheet": sheet, "tiny": shapes.Scale(shapes.Cube(1), 1e-6), "huge": shapes.Scale(shapes.Cube(1), 1e7),
		"far away": shapes.Move(shapes.Cube(10), mesh.Vec{X: 1e6, Y: -1e6, Z: 1e6}),
	} {
		m := mesh.Weld(s)
		p, err := Model(m, Options{Width: 100, Height: 100, Marks: []Mark{{Number: 1, Level: finding.Error, Box: m.Box(), Tris: []uint32{0, 99}}}, Badges: true})
		require.NoError(t, err, name)
		assert.Equal(t, image.Rect(0, 0, 100, 100), p.Image.Rect, name)
	}
}

// TestHiddenPlacesShowThrough holds that what lies behind is marked all the same, and
// that the view from below shows it outright.
func TestHiddenPlacesShowThrough(t *testing.T) {
	m := mesh.Weld(shapes.Table())
	marks := undersides(m, finding.Error)
	count := func(opt Options) (tinted, painted int) {
		opt.Width, opt.Height = 320, 240
		p, err := Model(m, opt)
		require.NoError(t, err)
		for i := 0; i < len(p.Image.Pix); i += 4 {
			if c := p.Image.Pix[i : i+4]; int(c[0]) > int(c[1])+30 && c[3] == 255 {
				tinted++
			}
		}
		return tinted, p.Shown
	}
	tinted, shown := count(Options{})
	assert.Zero(t, tinted, "a body without marks has no colour")
	assert.Zero(t, shown)
	tinted, shown = count(Options{Marks: marks})
	assert.Greater(t, tinted, 500, "it shows through the top")
	assert.Less(t, shown, tinted)
	_, below := count(Options{Marks: marks, FromBelow: true})
	assert.Greater(t, below, 10*shown+1000)
}
