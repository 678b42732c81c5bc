// Package plain judges a solid a second time, slowly and from the definitions alone, so
// that tests can hold the program's verdicts against something that shares no code and no
// method with them. It looks at what hangs one layer after the other, in the order in
// which layers are laid, and knows only what stands at that time. Where a model lies, its
// round holes and the detail on its faces are found a second time too.
//
// The program itself does not use it.
package plain

import (
	"fmt"

	"printlint/internal/mesh"
)

// The process that verdicts are for, lengths in mm: the one of the rule set standard.
const (
	layer  = 0.2 // height
	strand = 10  // span up to which a strand carries what is laid beside it
	cell   = 0.2 // side of a column; the program's own are half as wide
)

// Kind is a kind of error.
type Kind int

// The kinds that are judged.
const (
	Island   Kind = iota // a piece begins in the air
	Overhang             // an underside reaches too far past what carries it
	Bridge               // strands cross too wide a gap
	Base                 // too little lies flat on the bed
	Kinds                // how many there are
)

// String is the word for a kind.
func (k Kind) String() string {
	return [...]string{"island", "overhang", "bridge", "base"}[k]
}

// Verdict says whether there is an error of a kind.
type Verdict int

// The verdicts. NearLimit is given where a value lies so near a limit, or a shape is such,
// that columns of this width or the words of the definitions leave both open.
const (
	Clean Verdict = iota
	Error
	NearLimit
)

// String is the word for a verdict.
func (v Verdict) String() string { return [...]string{"clean", "error", "near the limit"}[v] }

// Answer is the verdict on one kind, with its figures and their place as the solid lies
// on the bed; no place where it is clean.
type Answer struct {
	Verdict Verdict
	Figures string
	At      mesh.Vec
}

// String is a verdict with what it rests on.
func (a Answer) String() string {
	if a.Verdict == Clean {
		return a.Verdict.String()
	}
	return fmt.Sprintf("%s: %s at (%.1f, %.1f, %.1f)", a.Verdict, a.Figures, a.At.X, a.At.Y, a.At.Z)
}

// place is where a limit is broken, and by how much.
type place struct {
	figures string
	at      mesh.Vec
}

// Judge says which errors a closed solid has as it lies, dropped to the bed. Each question
// is asked twice, by generous limits and by narrow ones: where both say the same that is the
// verdict, else it is near the limit.
func Judge(s *mesh.Triangles) [Kinds]Answer {
	b := cut(s)
	generous, narrow := b.broken(&wide), b.broken(&tight)
	var all [Kinds]Answer
	for k := range all {
		switch g, n := generous[k], narrow[k]; {
		case g != nil && n != nil:
			all[k] = Answer{Error, g.figures, g.at}
		case n != nil:
			all[k] = Answer{NearLimit, n.figures, n.at}
		case g != nil:
			all[k] = Answer{NearLimit, g.figures, g.at}
		}
	}
	return all
}

// broken names a place for each kind of which a limit is broken.
func (b *body) broken(l *limits) (found [Kinds]*place) {
	found[Island] = b.islands(l)
	found[Base] = b.base(l)
	found[Overhang], found[Bridge] = b.hanging(l, l.steep)
	if found[Overhang] == nil {
		found[Overhang], _ = b.hanging(l, l.running)
	}
	return found
}
