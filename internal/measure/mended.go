package measure

import (
	"printlint/internal/mend"
	"printlint/internal/work"
)

// mended returns the mesh closed and wound outward, which is the mesh itself where
// nothing is wrong with it, made when first asked for.
func (r *evaluation) mended() (*mend.Mended, error) {
	return r.body.whole.get(func() (*mend.Mended, error) {
		if err := r.charge(examineCost); err != nil {
			return nil, err
		}
		return mend.Mend(work.Of(r.ctx), r.body.Mesh, r.body.topology(), r.search)
	})
}

// ownTriangles gives the sites triangles of the file for those that fill holes.
func ownTriangles(sites []Site, whole *mend.Mended) {
	if whole == nil || len(whole.Beside) == 0 {
		return
	}
	for _, s := range sites {
		for i, t := range s.Tris {
			s.Tris[i] = whole.Original(t)
		}
	}
}
