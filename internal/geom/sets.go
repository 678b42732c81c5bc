package geom

import "slices"

// Sets are disjoint sets of the numbers from 0 on. The smallest number of a set is its
// root, so the outcome does not depend on the order of joining.
type Sets[I int32 | uint32] []I

// Grow adds numbers up to n, each a set of its own. It appends to the list like append.
func (s Sets[I]) Grow(n int) Sets[I] {
	for i := len(s); i < n; i++ {
		s = append(s, I(i))
	}
	return s
}

// Root returns the smallest number of the set of a, and shortens the way there.
func (s Sets[I]) Root(a I) I {
	for s[a] != a {
		s[a] = s[s[a]]
		a = s[a]
	}
	return a
}

// Join unites the sets of a and b.
func (s Sets[I]) Join(a, b I) {
	a, b = s.Root(a), s.Root(b)
	if a > b {
		a, b = b, a
	}
	s[b] = a
}

// Members lists the numbers set by set, in the order of each set's smallest; set k is
// order[starts[k]:starts[k+1]], rising.
func (s Sets[I]) Members() (order, starts []I) {
	rank := make([]I, len(s))
	var sizes []I
	for i := range s {
		if r := s.Root(I(i)); r == I(i) {
			rank[i] = I(len(sizes))
			sizes = append(sizes, 1)
		} else {
			rank[i] = rank[r]
			sizes[rank[r]]++
		}
	}
	starts = make([]I, len(sizes)+1)
	for k, n := range sizes {
		starts[k+1] = starts[k] + n
	}
	order = make([]I, len(s))
	next := slices.Clone(starts)
	for i, k := range rank {
		order[next[k]] = I(i)
		next[k]++
	}
	return order, starts
}
