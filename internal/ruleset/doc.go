// Package ruleset reads the language that rules are written in: YAML files laid over
// each other, each rule a measure, limits, a condition over one site, a level and the
// words to say. It turns them into checked rules that answer for a site's values.
//
// A file is decoded to nodes, so that every complaint names file, line and column, and
// everything wrong is reported at once (Load, Problems). Limits and conditions are
// compiled by package expression.
//
// The package knows measures only as a list of definitions (catalog.Measure), never how
// they are computed. The tables of keys that drive the reader also make the JSON Schema.
package ruleset
