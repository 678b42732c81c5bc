// Package rules holds the built-in rule sets: plain YAML files on the same footing as
// a user's own. standard, strict and relaxed judge; the others are materials, each a
// process and the limits that go with it.
package rules

import "embed"

// Files are the built-in sets; standard.yml is the set called standard.
//
//go:embed *.yml
var Files embed.FS
