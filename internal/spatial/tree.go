// Package spatial answers questions about where a surface is: what a ray meets, which
// point is nearest, how often the surface winds around a point, and which triangles
// cross each other. All of it rests on one bounding-volume hierarchy.
//
// Lengths are mm. Answers do not depend on the number of workers.
package spatial

import "math"

// Tree is a bounding-volume hierarchy over the triangles of a mesh. It is for any
// number of readers at a time.
type Tree struct {
	nodes []node
	root  int32
	box   box32
	// tri and corners are in the order of the leaves, so that a leaf is one piece of
	// memory.
	tri     []uint32
	corners [][9]float32
	// reach is the largest coordinate of any corner.
	reach float64
}

// node holds the boxes of both its children, so that one visit decides both.
type node struct {
	// box is, for each axis, the low sides of both children and then the high sides.
	box [3][4]float32
	// child is the number of a node, or the complement of a leaf.
	child [2]int32
	// A node fills a line of the processor's cache, so that a visit waits for one.
	_ [2]int32
}

// A leaf is the place of its first triangle times leafMax, plus one less than the
// number of its triangles.
const (
	leafMax  = 4
	leafBits = 2
)

func leaf(first, count int) int32 { return ^int32(first<<leafBits | (count - 1)) }

func leafRange(child int32) (first, end int) {
	l := int(^child)
	first = l >> leafBits
	return first, first + l&(leafMax-1) + 1
}

// maxTriangles is how many triangles the numbers of leaves can carry.
const maxTriangles = 1 << (31 - leafBits)

// maxDepth bounds the depth of a tree, and so the stack of a walk through it:
// splitting by cost goes no deeper than depthByCost, and halving takes at most
// log2(maxTriangles) = 29 steps more.
const (
	depthByCost = 60
	maxDepth    = 96
)

// pad is how much the sides of a box are moved outward, as a share of the largest
// coordinate: a ray's start is rounded to float32, which moves it by up to 2^-24 of
// the largest coordinate, and so is each difference from it; four such steps are
// ample.
const pad = 0x1p-22

// box32 is a box with sides rounded outward.
type box32 struct{ lo, hi [3]float32 }

func emptyBox32() box32 {
	inf := float32(math.Inf(1))
	return box32{[3]float32{inf, inf, inf}, [3]float32{-inf, -inf, -inf}}
}

// Reach returns the largest coordinate of the mesh in mm: what float32 rounding of a
// position is a share of.
func (t *Tree) Reach() float64 { return t.reach }

// Triangles returns the number of triangles in the tree.
func (t *Tree) Triangles() int { return len(t.tri) }

// Order lists the triangles so that neighbours in the list are near each other in
// space, which is the order to go through all of them in. It must not be written to.
func (t *Tree) Order() []uint32 { return t.tri }

// Resolution is how far two positions of this mesh can be apart and still be meant to
// be the same: twice the rounding of both ends to float32, 2 * 2 * 2^-24 of the
// largest coordinate.
func (t *Tree) Resolution() float64 { return t.reach * 0x1p-22 }
