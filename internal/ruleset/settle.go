package ruleset

import (
	"cmp"
	"math"
	"slices"
)

// How far a finding may stand from where it was accepted, in mm: half the grid that
// fingerprints are rounded to. A finding that lay beside a line of the grid gets another
// fingerprint when the model is exported again and the place comes out a little off. The
// place named for a large site may be anywhere on it where the shape is even, such as
// the underside of a table: there the radius may differ by the site's size.
const (
	AcceptHeight = 1.0
	AcceptRadius = 4.0
)

// maxCompared bounds how many pairs of places are compared at a time, so that a model made
// of nothing but findings ends. Where there may be more, fingerprints go first.
const maxCompared = 1 << 18

// settling is the findings on one part being compared with what was accepted on it.
type settling struct {
	usage *Usage
	model *Accepted
	view  *View
	found []FindingRecord
	held  []Acceptance
	from  *acceptedModel
	list  []*acceptedFinding

	worst map[[2]int]string // by finding and entry: in what it is worse
	by    []int             // by finding: the entry that holds for it; nil where nobody asks
}

// pair is a finding and an accepted one that may be the same.
type pair struct {
	found, entry int
	apart        float64 // 0 is the same place, 1 the end of the tolerance
	other        int     // 0 for the same fingerprint, which goes before another as near
}

// frame is a way to know a place again: by a height, within AcceptHeight, and by how far
// apart two places are when seen from above.
type frame struct {
	height func(*FindingRecord) float64
	apart  func(a, f *FindingRecord) float64 // in mm
	reach  func(a, f *FindingRecord) float64 // in mm, the end of the tolerance
	placed bool                              // only places that are known in full
}

// The ways to know a place again, the surest first: where it lies in the file, which
// stays when something is added; how high it lies and how far out, which stays when the
// model is moved or turned; and the same from the top, which stays when the foot grows.
var (
	inFile = frame{func(s *FindingRecord) float64 { return s.At[2] },
		func(a, f *FindingRecord) float64 { return math.Hypot(a.At[0]-f.At[0], a.At[1]-f.At[1]) }, nearby, true}
	fromBottom = frame{func(s *FindingRecord) float64 { return s.Height }, outwards, nearby, false}
	fromTop    = frame{func(s *FindingRecord) float64 { return s.Top }, outwards, nearby, true}
)

// grown are the ways to know a place that has become larger, so that its middle lies
// elsewhere: it touches the accepted one.
var grown = []frame{
	{inFile.height, inFile.apart, touching, true},
	{fromBottom.height, outwards, touching, false},
	{fromTop.height, outwards, touching, true},
}

func outwards(a, f *FindingRecord) float64 { return math.Abs(a.Radius - f.Radius) }

func nearby(a, f *FindingRecord) float64 { return max(AcceptRadius, min(a.Size, f.Size)) }

func touching(a, f *FindingRecord) float64 { return max(AcceptRadius, a.Size+f.Size) }

// settle compares by the frame in which most is as it was accepted, then what is left by
// the others, and by fingerprint. What is only known by touching is worse, or else
// another finding.
func (s *settling) settle() {
	s.worst = map[[2]int]string{}
	if len(s.found)*len(s.list) > maxCompared {
		for _, p := range s.alike() {
			if s.worse(p) == "" {
				s.give(p, "")
			}
		}
	}
	order := []frame{inFile, fromBottom, fromTop}
	best, most := 0, -1
	for i, in := range order {
		if n := s.fits(in); n > most {
			best, most = i, n
		}
	}
	order[0], order[best] = order[best], order[0]
	for _, in := range order {
		for _, p := range s.pairs(in) {
			s.give(p, s.worse(p))
		}
	}
	for _, p := range s.alike() {
		s.give(p, s.worse(p))
	}
	for _, in := range grown {
		for _, p := range s.pairs(in) {
			if worse := s.worse(p); worse != "" {
				s.give(p, worse)
			}
		}
	}
}

// fits counts what is accepted in a frame.
func (s *settling) fits(in frame) (n int) {
	for _, p := range s.pairs(in) {
		if s.worse(p) == "" {
			n++
		}
	}
	return n
}

// pairs lists what belongs together in a frame, each finding and each accepted one once,
// the nearest first. What is settled already is left out.
func (s *settling) pairs(in frame) []pair {
	entries := s.open(in)
	var near []pair
	compared := 0
	for i := range s.found {
		f := &s.found[i]
		if s.held[i] != (Acceptance{}) || in.placed && !f.Placed {
			continue
		}
		low := in.height(f) - AcceptHeight
		at, _ := slices.BinarySearchFunc(entries, low, func(j int, low float64) int {
			return cmp.Or(cmp.Compare(s.list[j].Rule, f.Rule), cmp.Compare(in.height(&s.list[j].FindingRecord), low))
		})
		for _, j := range entries[at:] {
			a := &s.list[j].FindingRecord
			up := math.Abs(in.height(a)-in.height(f)) / AcceptHeight
			if compared++; a.Rule != f.Rule || up > 1 || compared > maxCompared {
				break
			}
			if apart := max(up, in.apart(a, f)/in.reach(a, f)); apart <= 1 {
				near = append(near, pair{i, j, apart, cmp.Compare(a.Fingerprint, f.Fingerprint) & 1})
			}
		}
	}
	return once(near)
}

// open lists the entries that are not settled, by rule and height.
func (s *settling) open(in frame) (list []int) {
	for j, a := range s.list {
		if s.usage.open(a) && !(in.placed && !a.Placed) {
			list = append(list, j)
		}
	}
	slices.SortStableFunc(list, func(i, j int) int {
		a, b := &s.list[i].FindingRecord, &s.list[j].FindingRecord
		return cmp.Or(cmp.Compare(a.Rule, b.Rule), cmp.Compare(in.height(a), in.height(b)))
	})
	return list
}

// once puts the nearest pairs first, and keeps of each finding and entry the nearest.
func once(near []pair) []pair {
	slices.SortFunc(near, func(a, b pair) int {
		return cmp.Or(cmp.Compare(a.apart, b.apart), cmp.Compare(a.other, b.other), cmp.Compare(a.found, b.found), cmp.Compare(a.entry, b.entry))
	})
	found, entries := map[int]bool{}, map[int]bool{}
	return slices.DeleteFunc(near, func(p pair) bool {
		if found[p.found] || entries[p.entry] {
			return true
		}
		found[p.found], entries[p.entry] = true, true
		return false
	})
}

// alike lists what has the same fingerprint.
func (s *settling) alike() (list []pair) {
	at := map[[2]string]int{}
	for j, a := range s.list {
		if s.usage.open(a) {
			at[[2]string{a.Rule, a.Fingerprint}] = j
		}
	}
	for i, f := range s.found {
		if j, ok := at[[2]string{f.Rule, f.Fingerprint}]; ok && s.held[i] == (Acceptance{}) {
			list = append(list, pair{i, j, 0, 0})
		}
	}
	return once(list)
}

// give lets an accepted finding hold for a finding, unless that is worse.
func (s *settling) give(p pair, worse string) {
	s.usage.found[s.list[p.entry].index].Store(true)
	s.held[p.found] = Acceptance{Worse: worse}
	if s.by != nil {
		s.by[p.found] = p.entry
	}
	if worse == "" {
		s.held[p.found].File = s.list[p.entry].from.File
	}
}

// worse says in what a finding is worse than the accepted one.
func (s *settling) worse(p pair) string {
	f, a := &s.found[p.found], s.list[p.entry]
	if a.Values == nil {
		return ""
	}
	text, known := s.worst[[2]int{p.found, p.entry}]
	if !known {
		if f.Whole && s.from.Tall > 0 && !s.from.shaped(s.model, shapeAlike) {
			text = anotherShape(s.from, s.model)
		} else {
			text = s.view.worse(&a.FindingRecord, f)
		}
		s.worst[[2]int{p.found, p.entry}] = text
	}
	return text
}
