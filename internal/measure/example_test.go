package measure_test

import (
	"context"
	"fmt"

	"printlint/internal/catalog"
	"printlint/internal/measure"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

func ExampleBody_Measure() {
	body := measure.NewBody(mesh.Weld(shapes.Cube(20)))
	process := catalog.Process{Nozzle: 0.4, Line: 0.42, Layer: 0.2, Bed: [3]float64{200, 200, 200}, Bridge: 10}
	results, err := body.Measure(context.Background(), measure.AsIs, process, measure.Options{}, []measure.Request{{Measure: "size"}})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(results[0].Model)
	// Output: [20 20 20 20 20 1]
}
