package pathname_test

import (
	"fmt"
	"path/filepath"

	"printlint/internal/pathname"
)

func ExampleMatch() {
	fmt.Println(pathname.Match("parts/**/*.stl", "parts/clips/hook.stl"))
	fmt.Println(pathname.Match("*.stl", "parts/clips/hook.stl"))
	// Output:
	// true
	// false
}

func ExampleWithin() {
	parts := filepath.Join("shelf", "parts")
	fmt.Println(pathname.Within(parts, filepath.Join(parts, "hook.stl")))
	fmt.Println(pathname.Within(parts, parts))
	fmt.Println(pathname.Within(parts, filepath.Join("shelf", "parts-old")))
	// Output:
	// true
	// true
	// false
}
