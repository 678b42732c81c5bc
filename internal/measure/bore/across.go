package bore

import (
	"math"

	"printlint/internal/mesh"
)

// across is a direction square to another.
func across(a mesh.Vec) mesh.Vec {
	other := mesh.Vec{X: 1}
	if math.Abs(a.X) > 0.6 {
		other = mesh.Vec{Y: 1}
	}
	return a.Cross(other).Unit()
}
