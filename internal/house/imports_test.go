package house

import (
	"path"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// floors orders the packages: a package imports only what stands on a lower floor,
// or, within one floor, only its own sub-packages. A new package needs a line here.
var floors = map[string]int{
	"internal/geom": -1, // knows not even meshes

	"internal/catalog":  0,
	"internal/dice":     0,
	"internal/finding":  0,
	"internal/house":    1,
	"internal/mesh":     0,
	"internal/near":     0,
	"internal/pathname": 0,
	"internal/reading":  0,
	"internal/work":     0,
	"rules":             0,

	"internal/expression": 1,
	"internal/layers":     1,
	"internal/spatial":    1,
	"internal/cut":        1,
	"internal/added":      2,
	"internal/mend":       2,
	"internal/pack":       1,
	"internal/xmltoken":   1,
	"internal/plain":      1,
	"internal/shapes":     2,
	"internal/bench":      3,
	"internal/demo":       3,
	"internal/alike":      2,
	"internal/draw":       2,
	"internal/meshfile":   2,
	"internal/report":     3,
	"internal/collection": 3,

	"internal/measure": 3,
	"internal/ruleset": 3,

	"internal/pose":    4,
	"internal/support": 4,
	"internal/verdict": 4,
	"internal/advise":  5,
	"internal/coupon":  5,
	"internal/cache":   5,

	"internal/lint": 6,
	"internal/cli":  7,
	"cmd":           8,
	"action":        8,
}

// What measuring is done with, and what a run is about beside the models themselves.
var (
	measuring = []string{"internal/measure", "internal/layers", "internal/spatial"}
	runs      = []string{"internal/cache", "internal/collection", "internal/meshfile", "internal/report"}
)

// sealed packages never see what stands behind them here. Some see findings, meshes and the
// catalogue as plain data, and not how a measure is taken; a verdict and advice are about
// one body in memory, whatever file it came from and whatever the report looks like.
var sealed = map[string][]string{
	"internal/report": measuring, "internal/ruleset": measuring, "internal/meshfile": measuring, "internal/collection": measuring,
	"internal/verdict": runs, "internal/advise": runs, "internal/pose": append(runs, "internal/ruleset"), "internal/support": append(runs, "internal/ruleset"),
}

// TestImportsPointOneWay holds cmd → cli → lint → advise → verdict → measure → mesh.
func TestImportsPointOneWay(t *testing.T) {
	seen := 0
	for _, s := range sources(t) {
		if s.test() {
			continue
		}
		from, floor := floorOf(s.folder())
		if !assert.Greater(t, floor, noFloor, "%s has no floor; give it one in floors", s.folder()) {
			continue
		}
		for _, spec := range s.file.Imports {
			name, _ := strconv.Unquote(spec.Path.Value)
			to, ok := strings.CutPrefix(name, "printlint/")
			if !ok {
				continue
			}
			seen++
			target, below := floorOf(to)
			inside := target == from
			assert.True(t, inside || below < floor, "%s imports %s, which does not stand below it", s.path, to)
		}
	}
	assert.Greater(t, seen, 10, "no imports were found")
}

// TestSealedPackagesSeeNoMore holds what sealed packages do not import.
func TestSealedPackagesSeeNoMore(t *testing.T) {
	seen := map[string]bool{}
	for _, s := range sources(t) {
		for folder, hidden := range sealed {
			if s.test() || !within(s.folder(), folder) {
				continue
			}
			seen[folder] = true
			for _, spec := range s.file.Imports {
				name, _ := strconv.Unquote(spec.Path.Value)
				for _, h := range hidden {
					assert.False(t, within(name, "printlint/"+h), "%s imports %s", s.path, name)
				}
			}
		}
	}
	assert.Len(t, seen, len(sealed), "a sealed package is gone")
}

// noFloor lies below all.
const noFloor = -2

// floorOf finds the nearest package at or above the folder that has a floor.
func floorOf(folder string) (string, int) {
	for ; folder != "."; folder = path.Dir(folder) {
		if floor, ok := floors[folder]; ok {
			return folder, floor
		}
	}
	return "", noFloor
}

func within(name, folder string) bool {
	return name == folder || strings.HasPrefix(name, folder+"/")
}
