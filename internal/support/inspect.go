package support

import (
	"fmt"
	"math"

	"printlint/internal/catalog"
	"printlint/internal/mesh"
	"printlint/internal/spatial"
)

// directions is how many level directions a tool is tried from.
const directions = 16

// Inspect says of every site whether what it carries is so thin that it may break with
// the support, and whether a tool reaches it. A thin piece gets a tree. The placement
// is the one the sites were planned in, the tree holds the body in the file's own
// frame.
func Inspect(sites []Structure, tree *spatial.Tree, place mesh.Placement, process catalog.Process) []Structure {
	out := make([]Structure, len(sites))
	for i := range sites {
		s := sites[i]
		if s.Below.Loose {
			s.Risk = "nothing joins this piece to the rest, so it comes off on its own: join it in the model"
		} else if thick := thickness(&s, tree, place); thick < delicate-catalog.Tolerance(catalog.MM) {
			words := catalog.Format(thick, catalog.MM)
			s.Risk = fmt.Sprintf("the part above is only %s thick and may break off with the support: cut the support off, do not pull", words)
			if s.Kind == Grid && width(&s.Below) < broad {
				s = Plan([]Underside{s.Underside}, process)[0].asTree(process, s.Risk,
					fmt.Sprintf("the part above is only %s thick: a tree touches it in fewer places", words))
			}
		}
		s.Reach = reach(&s, tree, place)
		out[i] = s
	}
	return out
}

// asTree plans the site again as a tree.
func (s Structure) asTree(process catalog.Process, risk, why string) Structure {
	s.Minutes -= Minutes(s.Volume, process)
	s.Kind, s.Why, s.Risk = Tree, why, risk
	s.Volume, s.Contact = s.Below.Air*treeShare, s.Contact*treeTouch/gridTouch
	s.Grams = Grams(s.Volume, process)
	s.Minutes += Minutes(s.Volume, process)
	return s
}

// skin is how far below a site's point, in mm, a look begins: past the layer that it was read from.
const skin = 0.3

// thickness is how much of the body stands above the underside over the site's most telling
// point, in mm, bodies that overlap taken as one.
func thickness(s *Structure, tree *spatial.Tree, place mesh.Placement) float64 {
	from := s.Below.At
	z, past := underside(s, tree, place)
	if past == mesh.None {
		return math.Inf(1)
	}
	from.Z = z
	least, inside := 1e-4, 1 // the neighbour of a triangle met on its edge is not met again
	for range 4 {
		hit, ok := tree.RayPast(place.Back(from), place.BackDirection(mesh.Vec{Z: 1}), least, 4*delicate, past)
		switch {
		case !ok:
			return math.Inf(1)
		case hit.Into:
			inside++
		case inside == 1:
			return hit.T
		default:
			inside--
		}
		least, past = hit.T+1e-4, hit.Tri
	}
	return math.Inf(1)
}

// underside is the height above the bed of the surface over the site's most telling point, and
// its triangle; of what begins close below that point, the surface above it.
func underside(s *Structure, tree *spatial.Tree, place mesh.Placement) (z float64, tri uint32) {
	up := place.BackDirection(mesh.Vec{Z: 1})
	from := s.Below.At
	from.Z -= skin
	least, past := 0.0, mesh.None
	for range 4 {
		hit, ok := tree.RayPast(place.Back(from), up, least, 4*delicate, past)
		if !ok {
			break
		}
		if hit.Into {
			return from.Z + hit.T, hit.Tri
		}
		least, past = hit.T+1e-4, hit.Tri
	}
	return s.Below.At.Z, mesh.None
}

// reach looks in level directions from the middle of the air below the site's most telling point,
// be it higher or lower there than on the average.
func reach(s *Structure, tree *spatial.Tree, place mesh.Placement) string {
	from := s.Below.At
	var tri uint32
	from.Z, tri = underside(s, tree, place)
	low := 0.0
	if hit, ok := tree.RayPast(place.Back(from), place.BackDirection(mesh.Vec{Z: -1}), 1e-4, math.MaxFloat32, tri); ok {
		low = from.Z - hit.T
	}
	from.Z = (from.Z + low) / 2
	free := 0
	for i := range directions {
		sin, cos := math.Sincos(float64(i) * 2 * math.Pi / directions)
		if _, hit := tree.Ray(place.Back(from), place.BackDirection(mesh.Vec{X: cos, Y: sin}), 0, math.MaxFloat32); !hit {
			free++
		}
	}
	switch {
	case free == 0:
		return "closed in on all sides: no tool gets in from the side, so the support may have to stay in"
	case free <= directions/4:
		return "open at one side only: a narrow tool gets in to take it off"
	}
	return "open at the side: a tool gets in to take it off"
}
