package mesh

// Sets are disjoint sets of the numbers from 0 up: each names another one of its set, and
// the root of a set itself. The root is the least of its set.
type Sets []uint32

// NewSets puts each of n numbers into a set of its own.
func NewSets(n int) Sets {
	s := make(Sets, n)
	for i := range s {
		s[i] = uint32(i)
	}
	return s
}

// Root returns the number that stands for the set of i.
func (s Sets) Root(i uint32) uint32 {
	for s[i] != i {
		s[i] = s[s[i]]
		i = s[i]
	}
	return i
}

// Join makes one set of those of i and j.
func (s Sets) Join(i, j uint32) {
	i, j = s.Root(i), s.Root(j)
	s[max(i, j)] = min(i, j)
}
