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
