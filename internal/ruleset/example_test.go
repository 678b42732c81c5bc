package ruleset_test

import (
	"fmt"

	"printlint/internal/measure"
	"printlint/internal/ruleset"
)

func ExampleLoad() {
	files := map[string]string{".printlint.yml": "version: 1\nuse: [standard]\nfail-at: errors\n"}
	open := func(name string) ([]byte, error) { return []byte(files[name]), nil }
	_, err := ruleset.Load(".printlint.yml", ruleset.Options{Catalog: measure.Catalog(), Open: open})
	fmt.Println(err)
	// Output: .printlint.yml:3:10: fail-at cannot be "errors"; it is one of error, warning, note, none
}
