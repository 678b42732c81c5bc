package lint

import (
	"cmp"
	"fmt"
	"math"
	"path"
	"slices"

	"printlint/internal/alike"
	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/work"
)

// nearSpread is by what share the figures of one shape differ at most from one export to the
// next: round surfaces are cut into other triangles. Only shapes as near are held against each
// other. Judgement.
const nearSpread = 0.01

// maxHeld is how many other shapes a model is held against: where more are as near in their
// figures, as in a series of sizes, the nearest by volume are. Judgement.
const maxHeld = 8

// shaped is a file with the figures of its shape.
type shaped struct {
	file *collection.File
	spread
	of *shaped // the first of the same shape; nil where it is the first itself
}

// sameIn lists the models of a folder whose shape is that of another model before them, in a
// file of other bytes. What could not be compared is noted on the folder.
func (s *shelf) sameIn(d *collection.Folder, models []string, m *finding.Model) (list []string) {
	same := s.same()
	for _, name := range models {
		file := d.File(name)
		if why := same.why[file]; why != "" {
			m.Notes = append(m.Notes, fmt.Sprintf("%s was not compared with other shapes: %s", name, why))
		}
		if of, ok := same.of[file]; ok {
			if collection.FolderOf(of) == d.Rules {
				of = path.Base(of)
			}
			list = append(list, s.say(d, name+" (same shape as "+of+")", name))
		}
	}
	return list
}

// sameShapes says of files what they have the shape of, or why that could not be told.
type sameShapes struct{ of, why map[string]string }

// findSame finds the models of the collection that are exports of one shape, moved or turned
// perhaps. Of equal files only the first is looked at. Memory does not grow with the shelf: at
// most two meshes are held at once.
func (s *shelf) findSame() sameShapes {
	out := sameShapes{map[string]string{}, map[string]string{}}
	copies, files := s.copies(), s.files()
	var all []*shaped
	for i := range files {
		if _, equal := copies[files[i].Rules]; equal || s.ctx.Err() != nil {
			continue
		}
		figures, err := s.spread(files[i].Rules)
		switch {
		case err != nil:
			out.why[files[i].Rules] = err.Error()
		case figures.area > 0:
			all = append(all, &shaped{file: &files[i], spread: figures})
		}
	}
	byVolume := slices.Clone(all)
	slices.SortStableFunc(byVolume, func(a, b *shaped) int { return cmp.Compare(a.volume, b.volume) })
	rank := map[*shaped]int{}
	for k, m := range byVolume {
		rank[m] = k
	}
	for _, m := range all { // by path, so that the first one is the original
		for _, first := range nearest(byVolume, rank, m) {
			same, err := s.sameShape(first, m)
			if err != nil {
				out.why[m.file.Rules] = err.Error()
			}
			if same {
				m.of, out.of[m.file.Rules] = first, first.file.Rules
				break
			}
		}
	}
	return out
}

// nearest lists the shapes before one by path that may be the same, the nearest by volume first.
func nearest(byVolume []*shaped, rank map[*shaped]int, m *shaped) (list []*shaped) {
	at := rank[m]
	for down, up := at-1, at+1; len(list) < maxHeld; {
		var next *shaped
		off := func(k int) float64 {
			if k < 0 || k >= len(byVolume) || !near(byVolume[k].volume, m.volume, m.volume) {
				return math.Inf(1)
			}
			return math.Abs(byVolume[k].volume - m.volume)
		}
		switch below, above := off(down), off(up); {
		case math.IsInf(below, 1) && math.IsInf(above, 1):
			return list
		case below <= above:
			next, down = byVolume[down], down-1
		default:
			next, up = byVolume[up], up+1
		}
		if next.of == nil && next.file.Rules < m.file.Rules && next.near(&m.spread) {
			list = append(list, next)
		}
	}
	return list
}

// near says that two figures differ by no more than those of two exports of one shape.
func near(a, b, scale float64) bool { return math.Abs(a-b) <= float64(nearSpread*scale) }

// near says that two shapes may be the same.
func (a *spread) near(b *spread) bool {
	for i := range a.radii {
		if !near(a.radii[i], b.radii[i], b.radii[2]) {
			return false
		}
	}
	return near(a.volume, b.volume, b.volume) && near(a.area, b.area, b.area)
}

// sameShape holds two shapes against each other, within the limit of work on one file.
func (s *shelf) sameShape(was, now *shaped) (bool, error) {
	ctx := work.Start(s.ctx, s.engine.limit)
	a, err := s.engine.meshOf(ctx, was.file)
	if err != nil {
		return false, err
	}
	b, err := s.engine.meshOf(ctx, now.file)
	if err != nil {
		return false, err
	}
	r, err := alike.Compare(ctx, a, b, 1)
	if err != nil {
		return false, fmt.Errorf("it could not be held against %s: %w", was.file.Rules, err)
	}
	return r.Same && !r.Mirrors() && roundFactor(r.Factor) == 1, nil
}
