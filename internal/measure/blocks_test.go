package measure

import (
	"math"
	"math/rand/v2"
	"sort"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// A stack of blocks, for twins that are slow and plain: side x side blocks of
// blockSize in a level, and levels of blockSize, each of blockLayers layers.
const (
	side        = 5
	levels      = 5
	blockSize   = 2.0
	blockLayers = 10
)

// blocks says which blocks are solid, by level, row and column.
type blocks [levels][side][side]bool

// randomBlocks fills blocks at random, denser and sparser by seed.
func randomBlocks(seed uint64) (*mesh.Triangles, *blocks) {
	rng := rand.New(rand.NewPCG(seed, 11))
	share := 0.15 + 0.75*rng.Float64()
	var b blocks
	for k := range b {
		for j := range b[k] {
			for i := range b[k][j] {
				b[k][j][i] = rng.Float64() < share
			}
		}
	}
	b[0][1][1] = true // something stands on the bed
	b[levels-1][2][2] = true
	at := make([]float64, max(side, levels)+1)
	for i := range at {
		at[i] = blockSize * float64(i)
	}
	return shapes.Blocks(at[:side+1], at[:side+1], at[:levels+1], func(i, j, k int) bool { return b[k][j][i] }), &b
}

// at reports whether a block is solid; none is outside.
func (b *blocks) at(c [3]int) bool {
	for d, n := range [3]int{side, side, levels} {
		if c[d] < 0 || c[d] >= n {
			return false
		}
	}
	return b[c[2]][c[1]][c[0]]
}

// flood visits all that is reached from a block by the given steps.
func flood(from [3]int, steps [][3]int, enter func([3]int) bool) [][3]int {
	seen := map[[3]int]bool{from: true}
	list := [][3]int{from}
	for i := 0; i < len(list); i++ {
		for _, s := range steps {
			c := [3]int{list[i][0] + s[0], list[i][1] + s[1], list[i][2] + s[2]}
			if !seen[c] && enter(c) {
				seen[c] = true
				list = append(list, c)
			}
		}
	}
	return list
}

// The steps to what hangs together: in a level over corners too, between levels not.
var (
	levelSteps = [][3]int{{1, 0, 0}, {-1, 0, 0}, {0, 1, 0}, {0, -1, 0}, {1, 1, 0}, {1, -1, 0}, {-1, 1, 0}, {-1, -1, 0}}
	solidSteps = append([][3]int{{0, 0, 1}, {0, 0, -1}}, levelSteps...)
	emptySteps = [][3]int{{1, 0, 0}, {-1, 0, 0}, {0, 1, 0}, {0, -1, 0}, {0, 0, 1}, {0, 0, -1}}
)

// each calls f for every block in order.
func each(f func(c [3]int)) {
	for k := range levels {
		for j := range side {
			for i := range side {
				f([3]int{i, j, k})
			}
		}
	}
}

// bruteTip floods every body of every prefix of the stack anew, layer by layer.
func bruteTip(b *blocks) float64 {
	worst := math.Inf(1)
	for layer := 1; layer <= levels*blockLayers; layer++ {
		top := (layer - 1) / blockLayers
		seen := map[[3]int]bool{}
		each(func(c [3]int) {
			if c[2] > 0 || !b.at(c) || seen[c] {
				return
			}
			body := flood(c, solidSteps, func(n [3]int) bool { return b.at(n) && n[2] <= top })
			for _, n := range body {
				seen[n] = true
			}
			grows := false
			for _, n := range body {
				grows = grows || n[2] == top
			}
			if grows {
				worst = min(worst, bruteBodyTip(body, blockSize*float64(layer)/blockLayers))
			}
		})
	}
	return worst
}

// bruteBodyTip weighs the blocks of one body below a height.
func bruteBodyTip(body [][3]int, height float64) float64 {
	var mass, x, y, z float64
	var foot [][2]float64
	for _, c := range body {
		low := blockSize * float64(c[2])
		h := min(blockSize, height-low)
		mass += h
		x += h * blockSize * (float64(c[0]) + 0.5)
		y += h * blockSize * (float64(c[1]) + 0.5)
		z += h * (low + h/2)
		if c[2] > 0 {
			continue
		}
		for _, d := range [4][2]int{{0, 0}, {1, 0}, {0, 1}, {1, 1}} {
			foot = append(foot, [2]float64{blockSize * float64(c[0]+d[0]), blockSize * float64(c[1]+d[1])})
		}
	}
	return math.Atan2(bruteInset(foot, x/mass, y/mass), z/mass) * 180 / math.Pi
}

// bruteInset tries the line through every two points that has all others on one side.
func bruteInset(points [][2]float64, x, y float64) float64 {
	least := math.Inf(1)
	for _, p := range points {
		for _, q := range points {
			nx, ny := p[1]-q[1], q[0]-p[0]
			if nx == 0 && ny == 0 {
				continue
			}
			edge := true
			for _, s := range points {
				edge = edge && (s[0]-p[0])*nx+(s[1]-p[1])*ny >= -1e-9
			}
			if edge {
				least = min(least, ((x-p[0])*nx+(y-p[1])*ny)/math.Hypot(nx, ny))
			}
		}
	}
	return least
}

// bruteColumns counts columns by their height in levels, from 2 on: blocks that stand
// alone in their level and go straight up into another such block only, or by way of one
// wide piece that stands on nothing else and carries nothing else.
func bruteColumns(b *blocks) (count [levels - 1]int) {
	alone := func(c [3]int) bool {
		return b.at(c) && len(flood(c, levelSteps, b.at)) == 1
	}
	next := map[[3]int][3]int{}
	follows := map[[3]int]bool{}
	each(func(c [3]int) {
		up := [3]int{c[0], c[1], c[2] + 1}
		if !alone(c) || !b.at(up) {
			return
		}
		to := up
		if !alone(up) {
			below, above := 0, 0
			for _, p := range flood(up, levelSteps, b.at) {
				if b.at([3]int{p[0], p[1], p[2] - 1}) {
					below++
				}
				if d := [3]int{p[0], p[1], p[2] + 1}; b.at(d) {
					above++
					to = d
				}
			}
			if below != 1 || above != 1 || !alone(to) {
				return
			}
		}
		next[c], follows[to] = to, true
	})
	each(func(c [3]int) {
		if !alone(c) || follows[c] {
			return
		}
		top := c
		for to, ok := next[top]; ok; to, ok = next[top] {
			top = to
		}
		if n := top[2] - c[2] + 1; n >= columnLeast {
			count[n-2]++
		}
	})
	return count
}

// bruteCavities floods the empty blocks and lists, in order, how many there are of
// each body of them that keeps inside and off the bed.
func bruteCavities(b *blocks) []float64 {
	list := []float64{}
	seen := map[[3]int]bool{}
	each(func(c [3]int) {
		if b.at(c) || seen[c] {
			return
		}
		open := false
		body := flood(c, emptySteps, func(n [3]int) bool {
			for _, x := range n {
				if x < 0 || x >= side {
					open = true
					return false
				}
			}
			return !b.at(n)
		})
		for _, n := range body {
			seen[n] = true
		}
		if !open {
			list = append(list, float64(len(body)))
		}
	})
	sort.Float64s(list)
	return list
}
