package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// writeGrowth writes what shows how time and memory grow: one thing grows in each
// series, and the rest stays.
func writeGrowth(folder string) error {
	for _, n := range []int{1, 10, 100, 1000} {
		name := fmt.Sprintf("floating-%d", n)
		if err := write(filepath.Join(folder, name+".stl"), name, floating(n)); err != nil {
			return err
		}
	}
	files := map[string]string{}
	for _, height := range []string{"0.4", "0.2", "0.1", "0.04"} {
		files["layer-"+height] = fmt.Sprintf("process: {layer: %s mm}\nuse: [standard]\n", height)
	}
	for _, n := range []int{5, 50, 500} {
		files[fmt.Sprintf("rules-%d", n)] = rules(n, func(int) float64 { return 68 })
	}
	for _, n := range []int{1, 4, 16} {
		files[fmt.Sprintf("angles-%d", n)] = rules(n, func(i int) float64 { return 45 + float64(i) })
	}
	for name, text := range files { // each its own file: the order is nothing
		if err := os.WriteFile(filepath.Join(folder, name+".yml"), []byte("version: 1\n"+text), 0o644); err != nil {
			return err
		}
	}
	return nil
}

// floating is a plate with 1024 posts, of which the first n are cut through, so that
// their upper ends begin in the air: a finding each.
func floating(n int) *mesh.Triangles {
	const side = 32
	lines := []float64{0}
	for i := range side { // a post of 2 mm every 4 mm
		lines = append(lines, float64(4*i)+1, float64(4*i)+3)
	}
	lines = append(lines, 4*side)
	return shapes.Blocks(lines, lines, []float64{0, 2, 6, 7, 9}, func(i, j, k int) bool {
		post := i%2 == 1 && j%2 == 1
		cut := j/2*side+i/2 < n
		return k == 0 || post && (k != 2 || !cut)
	})
}

// rules is n rules about undersides, all with limits of their own, that lean past what
// angle says of each.
func rules(n int, angle func(i int) float64) string {
	var b strings.Builder
	b.WriteString("rules:\n")
	for i := range n {
		fmt.Fprintf(&b, "  ledge-%04d:\n    measure: overhang\n    limits: {angle: %g deg, reach: %g mm}\n", i, angle(i), 1+float64(i)/100)
		b.WriteString("    find: angle > limits.angle and reach > limits.reach\n    level: warning\n")
		b.WriteString("    say: leans {angle}\n    because: it is a trial of how time grows\n")
	}
	return b.String()
}
