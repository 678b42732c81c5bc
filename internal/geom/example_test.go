package geom_test

import (
	"fmt"

	"printlint/internal/geom"
)

func ExampleWidth() {
	hull := geom.Hull([]geom.Point{{0, 0}, {30, 0}, {30, 40}, {0, 40}, {15, 20}})
	width, diameter := geom.Width(hull)
	fmt.Println(len(hull), width, diameter)
	// Output: 4 30 50
}
