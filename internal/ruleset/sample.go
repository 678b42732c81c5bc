package ruleset

import (
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"printlint/internal/catalog"
	"printlint/internal/expression"
)

// mostTried bounds the sites that are tried for an example.
const mostTried = 20000

// Example is what the rule would say of a site of which it holds, to show its words with
// figures. The site is made up: of each value that the condition names, its sample, or
// something on either side of a limit of the same unit, or a bare number of the condition.
// Where none of these meets the condition, the samples stand alone and found is false.
func (r *Rule) Example() (words string, found bool) {
	values := make([]float64, len(r.def.Values))
	for i, v := range r.def.Values {
		values[i] = sample(v)
	}
	var moved []int
	tries := make([][]float64, len(values))
	named, find := named(r.Find), expression.Spaced(r.Find)
	for i, v := range r.def.Values {
		if named[v.Name] || i < len(r.seen) && r.seen[i].test != nil || r.Per != PerPlace && strings.Contains(find, v.Name) {
			moved, tries[i] = append(moved, i), r.around(v, values[i])
		}
	}
	start := slices.Clone(values)
	if found = r.meet(values, moved, tries); !found {
		values = start
	}
	if r.Per == PerFolder {
		return r.AboutFolder(sampleFolder).Message(values), found
	}
	return r.About(sampleFile).Message(values), found
}

// sampleFile is the file of an example.
var sampleFile = &catalog.File{Name: "clip v2.stl", Folder: "parts/clips", Format: "stl", Part: "lid", Unit: "assumed"}

// identifiers finds the names in a condition, and what stands before their dots.
var identifiers = regexp.MustCompile(`[A-Za-z_][A-Za-z0-9_.-]*`)

// literals finds the numbers in a condition.
var literals = regexp.MustCompile(`\b\d+(\.\d+)?\b`)

// named are the names that a condition speaks of.
func named(find string) map[string]bool {
	names := map[string]bool{}
	for _, name := range identifiers.FindAllString(find, -1) {
		names[name] = true
	}
	return names
}

// sample is a usual figure of a value.
func sample(v catalog.Value) float64 {
	switch {
	case v.Sample != 0:
		return v.Sample
	case v.Unit == catalog.MM || v.Unit == catalog.MM2 || v.Unit == catalog.MM3:
		return 12
	}
	return 0
}

// around lists what an example may give a value, the likeliest first.
func (r *Rule) around(v catalog.Value, usual float64) []float64 {
	if v.Unit == catalog.Bool {
		return []float64{0, 1}
	}
	list := []float64{usual}
	for _, l := range r.Limits {
		if l.Unit != v.Unit {
			continue
		}
		if r.Per != PerPlace && v.Unit == catalog.Number && l.Value == math.Round(l.Value) { // a count
			list = append(list, l.Value+1, l.Value-1)
			continue
		}
		for _, share := range []float64{1.25, 0.75} {
			x := round(l.Value * share)
			if v.Unit == catalog.Deg {
				x = min(x, 90)
			}
			list = append(list, x)
		}
	}
	if r.Per != PerPlace {
		list = append(list, r.past(v.Unit)...)
	} else if v.Unit == catalog.Number {
		for _, text := range literals.FindAllString(r.Find, -1) {
			if x, err := strconv.ParseFloat(text, 64); err == nil {
				list = append(list, x)
			}
		}
	}
	if v.Signed {
		list = append(list, -2)
	}
	return append(list, 0)
}

// quantities finds the numbers in a condition with their units.
var quantities = regexp.MustCompile(`\b\d+(\.\d+)?( *[a-zA-Zµ][a-zA-Z0-9/²³]*|°)?`)

// past lists what lies on either side of the numbers of a condition that have a unit.
func (r *Rule) past(u catalog.Unit) (list []float64) {
	for _, text := range quantities.FindAllString(r.Find, -1) {
		x, unit, err := catalog.ParseQuantity(text)
		if err != nil { // a word that is no unit stands behind it, such as "and"
			x, unit, err = catalog.ParseQuantity(literals.FindString(text))
		}
		switch {
		case err != nil || unit != u:
		case u == catalog.Number:
			list = append(list, x+1, x-1, x)
		default:
			list = append(list, round(x*1.25), round(x*0.75))
		}
	}
	return list
}

// round keeps two digits.
func round(x float64) float64 {
	if x == 0 {
		return 0
	}
	digit := math.Pow(10, math.Floor(math.Log10(math.Abs(x)))-1)
	return math.Round(x/digit) * digit
}

// meet moves the values until the condition holds, the first of them most often.
func (r *Rule) meet(values []float64, moved []int, tries [][]float64) bool {
	at := make([]int, len(moved))
	for range mostTried {
		for k, i := range moved {
			values[i] = tries[i][at[k]]
		}
		if holds, err := r.Match(values); err == nil && holds {
			return true
		}
		k := 0
		for k < len(at) {
			if at[k]++; at[k] < len(tries[moved[k]]) {
				break
			}
			at[k] = 0
			k++
		}
		if k == len(at) {
			return false
		}
	}
	return false
}
