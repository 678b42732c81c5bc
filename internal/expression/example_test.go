package expression_test

import (
	"fmt"

	"printlint/internal/expression"
)

func ExampleCompile() {
	reach := expression.Meaning{Value: 0, Unit: "mm"}
	names := expression.Names{
		Find:   func(name string) (expression.Meaning, bool) { return reach, name == "reach" },
		Known:  []string{"reach"},
		Listed: []string{"reach"},
	}
	over, _, bad := expression.Compile("reach > 0.2 cm", names)
	fmt.Println(bad == nil, over([]float64{2.5}), over([]float64{2}))

	_, _, bad = expression.Compile("reach > 2 deg", names)
	fmt.Println(bad != nil)
	// Output:
	// true 1 0
	// true
}
