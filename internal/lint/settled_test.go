package lint

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"printlint/internal/finding"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// TestTheSameShapeHasNothingNew turns a model whose ledge reaches out as far as is just let
// pass: seen in other cells it is too far now and then, and that is nothing new.
func TestTheSameShapeHasNothingNew(t *testing.T) {
	config := load(t, hangRules+`places: [{paths: ["hard/**"], rules: {hangs: {limits: {reach: 1 mm}}}}]
`)
	body := ledge(20, 2.02, 2.02)
	seen := map[int]bool{}
	for deg := 0.0; deg < 90; deg += 7 {
		turned := shapes.Turn(body, shapes.Z, deg)
		for _, c := range [][2]*mesh.Triangles{{body, turned}, {turned, body}, {body, shapes.Split4(turned)}} {
			r := against(t, config, list(model(t, "m.stl", c[0])), list(model(t, "m.stl", c[1])))
			assert.Equal(t, [3]int{0, r.Summary.Error, 0}, changes(r), "%v°", deg)
			seen[r.Summary.Error] = true
		}
	}
	assert.Greater(t, len(seen), 1, "cells made no difference, so this shows nothing")

	small := ledge(20, 1.6, 0)
	assert.Equal(t, [3]int{1, 0, 0}, changes(against(t, config, list(model(t, "m.stl", small)), list(model(t, "hard/m.stl", shapes.Turn(small, shapes.Z, 30))))), "other rules")
	up := shapes.Turn(ledge(20, 8, 0), shapes.X, 180)
	assert.Equal(t, [3]int{1, 0, 0}, changes(against(t, config, list(model(t, "m.stl", up)), list(model(t, "m.stl", ledge(20, 8, 0))))), "another side down")
	assert.Equal(t, [3]int{1, 0, 0}, changes(against(t, config, list(model(t, "m.stl", shapes.Scale(small, 0.4))), list(model(t, "m.stl", shapes.Scale(small, 2.5))))), "larger")
}

// TestWhatWasWorseIsNotNew holds that a finding which a worse one of the same place hid is as
// before once that is gone, and that one of another place is new.
func TestWhatWasWorseIsNotNew(t *testing.T) {
	config := load(t, `
version: 1
use: []
process: {material: test, nozzle: 0.4 mm, line: 0.4 mm, layer: 0.2 mm, bed: [220 mm, 220 mm, 250 mm], bridge: 10 mm, density: 1.2 g/cm3, flow: 8 mm3/s}
rules:
  falls: {measure: overhang, find: reach > 10 mm, level: error, say: falls, because: it falls}
  hangs: {measure: overhang, find: reach > 5 mm, level: warning, yields-to: [falls], say: hangs, because: it hangs}
`)
	run := func(was, now *mesh.Triangles) *finding.Report {
		return against(t, config, list(model(t, "m.stl", was)), list(model(t, "m.stl", now)))
	}
	r := run(ledge(20, 14, 0), ledge(20, 8, 0))
	assert.Equal(t, [3]int{0, 1, 1}, changes(r))
	assert.Equal(t, ExitClean, Exit(r, finding.Warning))
	assert.Equal(t, [3]int{1, 1, 0}, changes(run(ledge(20, 14, 0), ledge(20, 14, 8))), "another place")
	assert.Equal(t, [3]int{1, 0, 1}, changes(run(ledge(20, 8, 0), ledge(20, 14, 0))), "got worse")
}
