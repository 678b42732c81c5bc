package advise

import "math"

// levels are flat faces by their height and by the way they look.
type levels struct {
	list []level
	at   map[levelKey]int // looked up only
}

// levelKey is a height in steps of 0.01 mm.
type levelKey struct {
	step int64
	ups  bool
}

// level is what lies at one height, a little higher or lower where a file holds no more digits.
type level struct {
	lo, hi, area float64
	ups          bool
}

func (l *levels) add(at, area float64, ups bool) {
	if l.at == nil {
		l.at = map[levelKey]int{}
	}
	key := levelKey{int64(math.Round(100 * at)), ups}
	k, ok := l.at[key]
	if !ok {
		k = len(l.list)
		l.at[key], l.list = k, append(l.list, level{lo: at, hi: at, ups: ups})
	}
	one := &l.list[k]
	one.lo, one.hi, one.area = min(one.lo, at), max(one.hi, at), one.area+area
}

// besideLevel is how far from a level that is not quite even a cut goes along it, in mm.
const besideLevel = 0.01

// flats are the heights at which a cut takes a large level off whole.
func (l *levels) flats() (list []float64) {
	for _, one := range l.list {
		switch {
		case one.area < leastSection:
		case one.lo == one.hi:
			list = append(list, one.lo)
		case one.ups:
			list = append(list, one.hi+besideLevel)
		default:
			list = append(list, one.lo-besideLevel)
		}
	}
	return list
}
