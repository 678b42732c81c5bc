package advise

import (
	"context"
	"errors"

	"printlint/internal/cut"
	"printlint/internal/finding"
	"printlint/internal/measure"
	"printlint/internal/mesh"
	"printlint/internal/pose"
	"printlint/internal/verdict"
	"printlint/internal/work"
)

// piece is a part of a model that was cut, in a frame of its own, in which it stands on the
// bed and on its last cut.
type piece struct {
	mesh  *mesh.Mesh
	turn  [9]float64 // from the file's frame
	shift mesh.Vec   // that was then taken off
}

// posed is the piece turned and dropped on the bed.
func (p *piece) posed(rotation [9]float64) *piece {
	m, place := p.mesh.Posed(rotation)
	shift := mesh.Turn(&rotation, p.shift)
	shift.Z += place.Drop
	return &piece{mesh: m, turn: mesh.Product(rotation, p.turn), shift: shift}
}

// from is a direction of the file's frame in the piece's own.
func (p *piece) from(v mesh.Vec) mesh.Vec { return mesh.Turn(&p.turn, v) }

// back is a direction of the piece's own frame in the file's.
func (p *piece) back(v mesh.Vec) mesh.Vec { return mesh.Placement{M: p.turn}.BackDirection(v) }

// apart cuts the piece along the i-th plane, which is in the file's frame, with those of the holes
// that are in it. It is handed back whole where the plane misses it. Where the section cannot
// be closed, one a hair beside it is tried.
func (p *piece) apart(meter *work.Meter, along *plane, i int, holes []finding.PinHole) ([]*piece, error) {
	q := p.posed(pose.MatrixTo(p.from(along.normal).Scale(-1)))
	drilled := q.holesAt(holes, i)
	var last error
	for _, beside := range []float64{0, 0.013, -0.017} {
		z := along.offset - q.shift.Z + beside
		if z < flush || z > q.mesh.Box().Max.Z-flush {
			return []*piece{p}, nil
		}
		above, below, err := cut.Apart(meter, q.mesh, z, drilled...)
		if errors.Is(err, cut.ErrSection) {
			last = err
			continue
		}
		if err != nil {
			return nil, err
		}
		high, low := *q, *q
		high.mesh, low.mesh = above, below
		return []*piece{high.posed(mesh.Identity), low.posed(pose.MatrixTo(mesh.Vec{Z: 1}))}, nil
	}
	return nil, last
}

// laid is a piece in its best way up, judged.
type laid struct {
	wayUp
	*piece
}

// lay judges a piece on its cut, and where that leaves something, in the ways up that are
// given in the file's frame and turned over.
func (q *Question) lay(ctx context.Context, p *piece, downs []mesh.Vec) (*laid, error) {
	own, err := q.of(ctx, p.mesh)
	if err != nil {
		return nil, err
	}
	others := []mesh.Vec{{Z: 1}}
	for _, d := range downs {
		others = append(others, p.from(d))
	}
	list, err := pose.Of(ctx, p.mesh, verdict.OverhangAngle(own.AsItLies.View.Rules), others...)
	if err != nil {
		return nil, err
	}
	ways, err := judgeAll(ctx, list[:1], own.at, false, 1)
	if err != nil || ways[0].clean() {
		return first(ways, p), err
	}
	looked, err := judgeAll(ctx, list[1:], own.at, true, len(list))
	if err != nil {
		return nil, err
	}
	sortWays(looked, false)
	more, err := judgeAll(ctx, unlike(looked, 1), own.at, false, 1)
	if err != nil {
		return nil, err
	}
	ways = append(ways, more...)
	sortWays(ways, false)
	return first(ways, p), nil
}

func first(ways []wayUp, p *piece) *laid {
	if len(ways) == 0 {
		return nil
	}
	return &laid{ways[0], p}
}

// of is the same question of another mesh, which stands as it is to be printed.
func (q *Question) of(ctx context.Context, m *mesh.Mesh) (*Question, error) {
	s := verdict.New(m, q.Part, q.AsItLies.View, Extra...)
	results, err := s.Body.Measure(ctx, measure.AsIs, s.View.Process, measure.Options{Jobs: q.Jobs}, s.Requests)
	if err == nil {
		err = work.Of(ctx).Err()
	}
	if err != nil {
		return nil, err
	}
	v, err := s.Judge(results)
	if err != nil {
		return nil, err
	}
	return q.about(v), nil
}

// about is the same question of another verdict, without a search.
func (q *Question) about(v *verdict.Verdict) *Question {
	return &Question{AsItLies: v, Config: q.Config, Path: q.Path, Part: q.Part, Jobs: q.Jobs}
}
