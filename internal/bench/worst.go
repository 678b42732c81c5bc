package main

import (
	"path/filepath"

	"printlint/internal/shapes"
)

// worstSeed is what the random ones of the hard shapes follow here: the same figures
// come of the same meshes.
const worstSeed = 1

// writeWorst writes the shapes that are small to write and hard to judge.
func writeWorst(folder string) error {
	for _, c := range shapes.Crowds() {
		if err := write(filepath.Join(folder, c.Name+".stl"), c.Name, c.Make(worstSeed)); err != nil {
			return err
		}
	}
	return nil
}
