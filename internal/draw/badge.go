package draw

import "math"

// badgeShape is the outline of a badge.
type badgeShape int

// The shapes, one a level.
const (
	sixSided badgeShape = iota
	square
	round
)

// Badge is where the number of a mark stands in a picture, in pixels.
type Badge struct {
	Number int     // of its mark
	X, Y   float64 // middle of the badge
	// AtX and AtY are the place it speaks of, at the other end of its line.
	AtX, AtY float64

	mark int // its index
}

// BadgeRadius is the half width of a badge, in pixels.
const BadgeRadius = 13.0

// maxBadges is how many numbers a picture holds before they hide it.
const maxBadges = 40

// away lists directions to try for a badge, as unit vectors: steps of a sixteenth of a
// turn, written out so that no sine has to be computed.
var away = [16][2]float64{
	{1, 0}, {0.924, 0.383}, {0.707, 0.707}, {0.383, 0.924}, {0, 1}, {-0.383, 0.924}, {-0.707, 0.707}, {-0.924, 0.383},
	{-1, 0}, {-0.924, -0.383}, {-0.707, -0.707}, {-0.383, -0.924}, {0, -1}, {0.383, -0.924}, {0.707, -0.707}, {0.924, -0.383},
}

// distances are how far from its place a badge may stand, in pixels, the nearest first.
var distances = []float64{26, 40, 56, 76, 100, 130, 165, 205}

// placeBadges puts the number of each mark beside its place, where it covers no other
// badge, the first marks first. What finds no room has no badge.
func placeBadges(spots [][2]float64, width, height int) []Badge {
	var list []Badge
	mx, my := float64(width)/2, float64(height)/2
	for i, s := range spots {
		if len(list) == maxBadges {
			break
		}
		b := Badge{mark: i, AtX: s[0], AtY: s[1]}
		if b.settle(list, spots, s[0]-mx, s[1]-my, float64(width), float64(height)) {
			list = append(list, b)
		}
	}
	return list
}

// settle finds a free place for a badge, outward from the middle where it can.
func (b *Badge) settle(list []Badge, spots [][2]float64, ox, oy, width, height float64) bool {
	first := outward(ox, oy)
	for _, d := range distances {
		for k := range len(away) {
			turn := (k + 1) / 2
			if k%2 == 1 {
				turn = -turn
			}
			dir := away[(first+turn+2*len(away))%len(away)]
			b.X, b.Y = b.AtX+float64(d*dir[0]), b.AtY+float64(d*dir[1])
			if b.free(list, spots, width, height) {
				return true
			}
		}
	}
	return false
}

// outward returns the index of the direction nearest to (x, y).
func outward(x, y float64) int {
	best, most := 12, math.Inf(-1) // upward where nothing speaks for another
	for i, d := range away {
		if along := float64(x*d[0]) + float64(y*d[1]); along > most && along > 1 {
			best, most = i, along
		}
	}
	return best
}

// free says whether a badge is in the picture and covers neither another badge nor the
// place another one speaks of.
func (b *Badge) free(list []Badge, spots [][2]float64, width, height float64) bool {
	const rim = BadgeRadius + 2
	if b.X < rim || b.Y < rim || b.X > width-rim || b.Y > height-rim {
		return false
	}
	for i := range list {
		if near(b.X, b.Y, list[i].X, list[i].Y, 2*BadgeRadius+2) {
			return false
		}
	}
	for i, s := range spots {
		if i < maxBadges && near(b.X, b.Y, s[0], s[1], BadgeRadius+3) {
			return false
		}
	}
	return true
}

func near(x, y, u, v, distance float64) bool {
	return length(x-u, y-v) < distance
}
