package measure

import (
	"cmp"
	"math"
	"slices"

	"printlint/internal/catalog"
	"printlint/internal/geom"
	"printlint/internal/layers"
	"printlint/internal/mesh"
)

// Island is the measure of pieces that start in mid-air.
var Island = overLayers(
	catalog.Measure{
		Name:  "island",
		Title: "pieces that start in mid-air",
		Doc: `A piece of a layer starts in mid-air if nothing in the layer below is near enough to
hold it: a floating body, the tip of a hook, the lowest point of a hanging drop. What
ends one layer lower still holds it, and so does the bed: over so thin a gap lines sag
onto it. The piece is followed upward until it joins something that stands. A speck that
joins within a layer or two rarely matters. A larger one may still be too small to
matter, unless it is one of many, so the area of all that are no larger is added up.`,
		Source: "own definition on filled layers; equals a local lowest point of the solid above the bed",
	}, islandsOf, island)

// IslandSite is one piece that begins in the air.
type IslandSite struct {
	Area     float64 `measure:"area,mm2" doc:"area of the layer in which it begins" sample:"12"`
	Widest   float64 `measure:"widest,mm2" doc:"largest area it takes in one layer before it joins" sample:"30"`
	Rise     float64 `measure:"rise,mm" doc:"height over which it stands on nothing, until it joins or ends" sample:"16"`
	Drop     float64 `measure:"drop,mm" doc:"free height below it, down to the model or the bed" sample:"34"`
	Z        float64 `measure:"z,mm" doc:"height above the bed at which it begins" sample:"34"`
	Top      float64 `measure:"top,mm" doc:"height above the bed at which it joins, or ends" sample:"50"`
	Joins    bool    `measure:"joins" doc:"it joins something that stands"`
	Together float64 `measure:"together,mm2" doc:"the largest areas of this piece and all of the model that are no larger, added up, but for those that join within two layers; 0 of one that does"`
}

// IslandModel counts the pieces.
type IslandModel struct {
	Sites int `measure:"sites" doc:"pieces that start in mid-air"`
}

// islandTrack is one island while it is followed.
type islandTrack struct {
	start, end   int // layers
	area, widest int // cells
	drop         int // layers
	joins        bool
	runs         []layers.Run // of its first layer
	now          []layers.Run // of the layer visited last
}

// islandTracker finds and follows islands.
type islandTracker struct {
	grid                   *layers.Grid
	tops                   *layers.Tops
	carries                *layers.Carriers
	restSolid, islandCells *layers.Plane
	islands                []*islandTrack
	open                   []*islandTrack
	above                  []layers.Run // of the layer while islands are followed into it
	runs                   []layers.Run // of what is far
	sets                   geom.Sets[int32]
	supported              []bool // by root: something near lies beside
	followScratch
}

// islandsOf is the one tracker of a sweep, for all measures that ask about islands.
func islandsOf(s *stack, _ None) *islandTracker {
	return shared(&s.parts, islandKey{}, func() *islandTracker { return newIslandTracker(s, None{}) })
}

// islandKey is the key of the tracker among what measures share.
type islandKey struct{}

func newIslandTracker(s *stack, _ None) *islandTracker {
	g, tops, carries := &s.grid, s.tops(), s.carriers()
	return visit(s, &islandTracker{grid: g, tops: tops, carries: carries, restSolid: layers.NewPlane(g), islandCells: layers.NewPlane(g)})
}

func (v *islandTracker) Visit(below, layer *layers.Layer) {
	if layer.K == 0 || len(v.islands) > mostSites {
		return
	}
	if len(v.open) > 0 {
		v.follow(below, layer)
	}
	if !v.carries.Bed && !v.carries.Far.Empty() {
		v.begin(layer)
	}
}

// begin finds the components of the layer that lie wholly out of reach of the layer
// below: those of the far cells that have no near cell of the layer beside them.
func (v *islandTracker) begin(layer *layers.Layer) {
	v.runs = v.carries.Far.AppendRuns(v.runs[:0])
	v.sets, _, _ = layers.Label(v.runs, v.sets)
	v.supported = append(v.supported[:0], make([]bool, len(v.runs))...)
	for i, r := range v.runs {
		if root := v.sets.Root(int32(i)); !v.supported[root] {
			v.supported[root] = v.besideSupported(r, layer.Solid)
		}
	}
	first := len(v.islands)
	at := map[int32]*islandTrack{} // looked up only, never walked
	for i, r := range v.runs {
		root := v.sets.Root(int32(i))
		if v.supported[root] {
			continue
		}
		f := at[root]
		if f == nil {
			f = &islandTrack{start: layer.K, end: layer.K + 1, drop: layer.K - v.tops.Under(int(r.From), int(r.Row))}
			at[root] = f
			v.islands = append(v.islands, f)
			v.open = append(v.open, f)
		}
		f.runs = append(f.runs, r)
		f.area += int(r.To - r.From)
	}
	for _, f := range v.islands[first:] {
		f.now, f.widest = slices.Clone(f.runs), f.area
	}
}

// besideSupported says that a cell of the layer that is not far touches a run of far ones.
func (v *islandTracker) besideSupported(r layers.Run, solid *layers.Plane) bool {
	from, to := int(r.From)-1, int(r.To)+1
	for row := int(r.Row) - 1; row <= int(r.Row)+1; row++ {
		if solid.CountIn(row, from, to) != v.carries.Far.CountIn(row, from, to) {
			return true
		}
	}
	return false
}

func island(s *stack, v *islandTracker, _ None) (*found[IslandSite, IslandModel], error) {
	if len(v.islands) > mostSites {
		return nil, tooMany("pieces of it begin in the air")
	}
	var out found[IslandSite, IslandModel]
	together := v.together()
	for _, f := range v.islands {
		at, tri, err := s.underside(f.middle(&s.grid), f.start)
		if err != nil {
			return nil, err
		}
		drop, err := s.drop(at, tri, float64(f.drop)*s.grid.Height)
		if err != nil {
			return nil, err
		}
		box := f.box(&s.grid)
		site := Site{At: s.place.Back(at), Box: s.place.BackBox(box), Tris: []uint32{tri}, Below: s.belowIsland(f, box)}
		out.add(site, IslandSite{
			Area: s.grid.Area(f.area), Widest: s.grid.Area(f.widest), Rise: float64(f.end-f.start) * s.grid.Height,
			Drop: drop, Z: at.Z, Top: s.grid.Floor(f.end), Joins: f.joins, Together: s.grid.Area(together[f])})
	}
	out.model.Sites = len(out.sites)
	return &out, nil
}

// earlyLayers is up to how many layers a piece stands on nothing and still joins at once.
const earlyLayers = 2

// together tells of each island that does not join at once how many cells all of these
// take that are no larger.
func (v *islandTracker) together() map[*islandTrack]int {
	var list []*islandTrack
	for _, f := range v.islands {
		if !f.joins || f.end-f.start > earlyLayers {
			list = append(list, f)
		}
	}
	slices.SortFunc(list, func(a, b *islandTrack) int { return cmp.Compare(a.widest, b.widest) })
	sums, sum := map[*islandTrack]int{}, 0
	for i := 0; i < len(list); {
		j := i
		for ; j < len(list) && list[j].widest == list[i].widest; j++ {
			sum += list[j].widest
		}
		for ; i < j; i++ {
			sums[list[i]] = sum
		}
	}
	return sums
}

// box holds the first layer of an island, and reaches as high as it stands on nothing.
func (f *islandTrack) box(g *layers.Grid) mesh.Box {
	box := mesh.EmptyBox()
	for _, r := range f.runs {
		x0, y0 := g.X0+float64(float64(r.From)*g.Cell), g.Y0+float64(float64(r.Row)*g.Cell)
		box.Include(mesh.Vec{X: x0, Y: y0, Z: g.Floor(f.start)})
		box.Include(mesh.Vec{X: g.X0 + float64(float64(r.To)*g.Cell), Y: y0 + g.Cell, Z: g.Floor(f.end)})
	}
	return box
}

// middle is the centroid of the first layer of an island, or the place of that layer nearest
// to it where it lies outside, as that of a ring does.
func (f *islandTrack) middle(g *layers.Grid) mesh.Vec {
	var col, row float64
	for _, r := range f.runs {
		n := float64(r.To - r.From)
		col, row = col+n*float64(r.From+r.To)/2, row+float64(n*(float64(r.Row)+0.5))
	}
	col, row = col/float64(f.area), row/float64(f.area)
	best, bestCol, bestRow := math.Inf(1), col, row
	for _, r := range f.runs {
		c := min(max(col, float64(r.From)+0.5), float64(r.To)-0.5)
		w := min(max(row, float64(r.Row)), float64(r.Row+1))
		if d := math.Hypot(c-col, w-row); d < best {
			best, bestCol, bestRow = d, c, w
		}
	}
	return mesh.Vec{X: g.X0 + float64(bestCol*g.Cell), Y: g.Y0 + float64(bestRow*g.Cell), Z: g.Floor(f.start)}
}
