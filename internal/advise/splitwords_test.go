package advise

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"printlint/internal/mesh"
)

// TestPlanesAreTypedAsTheyAre: a cut beside a face of 14.85 mm, made at 14.9 mm, would leave a sheet.
func TestPlanesAreTypedAsTheyAre(t *testing.T) {
	for words, p := range map[string]plane{
		"upright, at x = 14.85 mm (60 mm²)": {normal: mesh.Vec{X: 1}, offset: 14.85, section: 60},
		"upright, at y = -3.5 mm (60 mm²)":  {normal: mesh.Vec{Y: -1}, offset: 3.5, section: 60},
		"level, at z = 137.25 mm (60 mm²)":  {normal: mesh.Vec{Z: 1}, offset: 137.25, section: 60},
		"level, at z = 0 mm (60 mm²)":       {normal: mesh.Vec{Z: -1}, section: 60},
	} {
		assert.Equal(t, words, p.words())
	}
}
