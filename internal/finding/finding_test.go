package finding

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestRank(t *testing.T) {
	for i, l := range []Level{Error, Warning, Note, None, "fatal"} {
		assert.Equal(t, i, l.Rank(), l)
	}
}

func TestValuesKeepTheirOrder(t *testing.T) {
	v := Values{{"z", "mm", 1.23456}, {"a", "deg", -0.000000001}, {"whole", "bool", 1}, {"rise", "mm", math.Inf(1)}}
	data, err := json.Marshal(v)
	require.NoError(t, err)
	assert.Equal(t, `{"z":1.2346,"a":0,"whole":true,"rise":null}`, string(data))
	var back Values
	require.NoError(t, json.Unmarshal(data, &back))
	assert.Equal(t, Values{{"z", "", 1.2346}, {"a", "", 0}, {"whole", "bool", 1}, {"rise", "", math.Inf(1)}}, back)
	again, err := json.Marshal(back)
	require.NoError(t, err)
	assert.Equal(t, data, again)
	x, ok := v.Get("whole")
	assert.True(t, ok)
	assert.Equal(t, 1.0, x)
	_, ok = v.Get("none")
	assert.False(t, ok)
}

func TestValuesThatAreNoNumbers(t *testing.T) {
	for _, x := range []float64{math.NaN(), math.Inf(-1)} {
		_, err := json.Marshal(Values{{"x", "mm", x}})
		assert.ErrorContains(t, err, "value x is not a number")
	}
	for _, text := range []string{`[]`, `{"a": "b"}`, `{"a": [1]}`, `{"a": `} {
		var v Values
		assert.Error(t, json.Unmarshal([]byte(text), &v), text)
	}
}

func TestMeasuresKeepTheirOrder(t *testing.T) {
	m := MeasuresOf([]MeasureValues{{"size", Values{{"x", "mm", 1}}}, {"base", Values{}}})
	data, err := json.Marshal(m)
	require.NoError(t, err)
	assert.Equal(t, `{"size":{"x":1},"base":{}}`, string(data))
	var back Measures
	require.NoError(t, json.Unmarshal(data, &back))
	again, err := json.Marshal(back)
	require.NoError(t, err)
	assert.Equal(t, data, again)
	_, err = json.Marshal(MeasuresOf([]MeasureValues{{"size", Values{{"x", "mm", math.NaN()}}}}))
	assert.ErrorContains(t, err, "measure size")
	assert.Error(t, json.Unmarshal([]byte(`3`), &back))
}

func TestRound(t *testing.T) {
	assert.Equal(t, 0.0532123, Round(0.05321234), "a part of 53 mm that was drawn in metres")
	assert.Equal(t, 1.2346, Round(1.23456))
	assert.Equal(t, "0", json.Number(mustJSON(t, Round(-1e-9))).String(), "no minus zero")
}

func mustJSON(t *testing.T, v any) string {
	t.Helper()
	data, err := json.Marshal(v)
	require.NoError(t, err)
	return string(data)
}

func TestAsFound(t *testing.T) {
	var none *Waived
	assert.False(t, none.AsFound())
	assert.False(t, (&Waived{Kind: ByWaiver, Reason: Accepted("x").Reason}).AsFound())
	assert.True(t, Accepted("accepted.yml").AsFound())
}

func TestLevelCounts(t *testing.T) {
	var c LevelCount
	assert.Equal(t, "no finding", c.String())
	for _, l := range []Level{Warning, Note, Note, None, Error} {
		c.Add(l)
	}
	assert.Equal(t, LevelCount{Error: 1, Warning: 1, Note: 2}, c)
	assert.Equal(t, "1 error, 1 warning, 2 notes", c.String())
}
