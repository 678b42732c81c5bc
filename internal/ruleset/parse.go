package ruleset

import "gopkg.in/yaml.v3"

// Parse reads a YAML file that people fill in by hand, with the care that a file of rules
// gets: its one document, without what a stranger could misuse. It returns nil for a file
// without content. The error is a *Problems.
func Parse(file string, data []byte) (*yaml.Node, error) {
	c := &complaints{}
	root := (&source{file: file}).parse(data, c)
	return root, c.err()
}
