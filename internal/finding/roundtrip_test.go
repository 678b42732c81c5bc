package finding

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestReportsReadBack writes random reports, reads them and writes them again: nothing
// may be lost, and the bytes are the same.
func TestReportsReadBack(t *testing.T) {
	for seed := range uint64(200) {
		r := rand.New(rand.NewPCG(seed, 1))
		var report Report
		fill(r, reflect.ValueOf(&report).Elem())
		first, err := json.Marshal(&report)
		require.NoError(t, err, "seed %d", seed)
		var back Report
		d := json.NewDecoder(strings.NewReader(string(first)))
		d.DisallowUnknownFields()
		require.NoError(t, d.Decode(&back), "seed %d", seed)
		again, err := json.Marshal(&back)
		require.NoError(t, err, "seed %d", seed)
		require.Equal(t, string(first), string(again), "seed %d", seed)
		forgetWhatJSONDrops(&report)
		require.Equal(t, report, back, "seed %d", seed)
	}
}

// forgetWhatJSONDrops takes out what a report does not carry on purpose: units, which
// stand with the rules, decimals past the fourth, and the location of a finding.
func forgetWhatJSONDrops(report *Report) {
	drop := func(v Values) {
		for i := range v {
			if v[i].Unit != "bool" {
				v[i].Unit, v[i].Value = "", Round(v[i].Value)
			}
		}
	}
	var models []*Model
	for i := range report.Models {
		models = append(models, &report.Models[i])
	}
	for i := 0; report.Compared != nil && i < len(report.Compared.Models); i++ {
		models = append(models, &report.Compared.Models[i])
	}
	for _, m := range models {
		drop(m.Figures)
		if m.Was != nil {
			drop(m.Was.Figures)
		}
		taken := m.Measures.All()
		for i := range taken {
			drop(taken[i].Values)
		}
		m.Measures = MeasuresOf(taken)
		forgetSolids(m.Advice)
		for k := range m.Machines {
			forgetSolids(m.Machines[k].Advice)
		}
		for k := range m.Findings {
			m.Findings[k].Location = Location{}
			drop(m.Findings[k].Values)
			drop(m.Findings[k].Limits)
		}
	}
}

func forgetSolids(a *Advice) {
	for k := 0; a != nil && a.Edits != nil && k < len(a.Edits.List); k++ {
		a.Edits.List[k].Solid, a.Edits.List[k].Away = nil, nil
	}
}

// fill sets every exported field to something random, so that a field added later is
// tested without anybody thinking of it.
func fill(r *rand.Rand, v reflect.Value) {
	switch v.Kind() {
	case reflect.Struct:
		if n, ok := v.Addr().Interface().(*Named); ok {
			*n = randomValue(r)
			return
		}
		if m, ok := v.Addr().Interface().(*Measures); ok {
			var list []MeasureValues
			fill(r, reflect.ValueOf(&list).Elem())
			*m = MeasuresOf(list)
			return
		}
		for i := range v.NumField() {
			fill(r, v.Field(i))
		}
	case reflect.Pointer:
		if r.IntN(3) > 0 {
			v.Set(reflect.New(v.Type().Elem()))
			fill(r, v.Elem())
		}
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), r.IntN(4), 4))
		fallthrough
	case reflect.Array:
		for i := range v.Len() {
			fill(r, v.Index(i))
		}
	case reflect.Map:
		v.Set(reflect.MakeMap(v.Type()))
		for range r.IntN(4) {
			v.SetMapIndex(reflect.ValueOf(randomText(r)), reflect.ValueOf(randomText(r)))
		}
	default:
		fillPlain(r, v)
	}
}

func fillPlain(r *rand.Rand, v reflect.Value) {
	switch v.Kind() {
	case reflect.String:
		v.SetString(randomText(r))
	case reflect.Bool:
		v.SetBool(r.IntN(2) == 0)
	case reflect.Int, reflect.Int64:
		v.SetInt(r.Int64() >> r.IntN(64))
	case reflect.Float32, reflect.Float64:
		v.SetFloat(Round((r.Float64() - 0.5) * math.Pow10(r.IntN(9))))
	default:
		panic("a report holds a " + v.Kind().String() + ", which this test does not know")
	}
}

// randomText is text with everything that an escape could get wrong.
func randomText(r *rand.Rand) string {
	const letters = "ab/\\\"'<>&\n\t\x01é文\u2028\u202e{}![] "
	runes := []rune(letters)
	text := make([]rune, r.IntN(12))
	for i := range text {
		text[i] = runes[r.IntN(len(runes))]
	}
	return string(text)
}

func randomValue(r *rand.Rand) Named {
	n := Named{Name: randomText(r), Unit: []string{"mm", "deg", "", "bool"}[r.IntN(4)]}
	switch {
	case n.Unit == "bool":
		n.Value = float64(r.IntN(2))
	case r.IntN(10) == 0:
		n.Value = math.Inf(1)
	default:
		n.Value = (r.Float64() - 0.5) * math.Pow10(r.IntN(12)-4)
	}
	return n
}

// TestRoundIsIdle holds that rounding twice is rounding once, that it moves nothing by
// more than half of the fourth decimal, and that order stays.
func TestRoundIsIdle(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	for range 2000 {
		a := (r.Float64() - 0.5) * math.Pow10(r.IntN(10)-5)
		b := (r.Float64() - 0.5) * math.Pow10(r.IntN(10)-5)
		assert.Equal(t, Round(a), Round(Round(a)), "%v", a)
		assert.InDelta(t, a, Round(a), 0.50001e-4, "%v", a)
		assert.False(t, math.Signbit(Round(a)) && Round(a) == 0, "minus zero from %v", a)
		if a < b {
			assert.LessOrEqual(t, Round(a), Round(b), "%v %v", a, b)
		}
	}
}
