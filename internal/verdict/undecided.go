package verdict

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"printlint/internal/measure"
)

// Shortfall is a reason why something that the rules ask for could not be measured.
type Shortfall struct {
	Why, Cure string
	TooLarge  bool // the model is far larger than the bed
}

// Undecided lists what keeps the verdict from being one on the whole, each reason once; the
// limit of work is named where it was used up. What was found stands all the same.
func (v *Verdict) Undecided(limit time.Duration) []Shortfall {
	var list []Shortfall
	var without [][]string // the measures that each reason leaves out
	for i, q := range v.Requests[:v.asked] {
		r := &v.Results[i]
		if r.Undecided == "" {
			continue
		}
		k := slices.IndexFunc(list, func(s Shortfall) bool { return s.Why == r.Undecided })
		if k < 0 {
			k = len(list)
			list, without = append(list, Shortfall{r.Undecided, r.Cure, r.TooLarge()}), append(without, nil)
		}
		if !slices.Contains(without[k], q.Measure) {
			without[k] = append(without[k], q.Measure)
		}
	}
	for i := range list {
		list[i].Why = worded(list[i].Why, without[i], limit)
	}
	return list
}

// worded says why measures could not be taken.
func worded(why string, measures []string, limit time.Duration) string {
	names := strings.Join(measures, ", ")
	switch {
	case why == measure.AtLimit:
		return fmt.Sprintf("not judged within the limit of %v of work: %s could not be measured", limit, names)
	case slices.Equal(measures, []string{fillingMeasure}):
		return "inside and outside cannot be told apart: " + why
	case slices.Contains(measures, fillingMeasure):
		return "its shape cannot be judged: " + why
	}
	return fmt.Sprintf("%s could not be measured: %s", names, why)
}
