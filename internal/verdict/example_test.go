package verdict_test

import (
	"context"
	"fmt"
	"io/fs"

	"printlint/internal/measure"
	"printlint/internal/mesh"
	"printlint/internal/ruleset"
	"printlint/internal/shapes"
	"printlint/internal/verdict"
)

func ExampleSubject_Judge() {
	open := func(name string) ([]byte, error) {
		if name == ".printlint.yml" {
			return []byte("version: 1\nuse: [standard]\n"), nil
		}
		return nil, fs.ErrNotExist
	}
	config, err := ruleset.Load(".printlint.yml", ruleset.Options{Catalog: measure.Catalog(), Open: open})
	if err != nil {
		fmt.Println(err)
		return
	}
	s := verdict.New(mesh.Weld(shapes.T()), "", config.For("t.stl"))
	results, err := s.Body.Measure(context.Background(), measure.AsIs, s.View.Process, measure.Options{}, s.Requests)
	if err != nil {
		fmt.Println(err)
		return
	}
	v, err := s.Judge(results)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, f := range verdict.Unite([]*verdict.Verdict{v}).Findings(nil) {
		fmt.Println(f.Level, f.Rule)
	}
	// Output:
	// error max-overhang-angle
	// error max-overhang-angle
}
