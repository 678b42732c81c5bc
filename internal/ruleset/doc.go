// Package ruleset reads the language that rules are written in: YAML files laid over
// each other, each rule a measure, limits, a condition over one site, a level and the
// words to say. It turns them into checked rules that answer for a site's values.
//
// A file is decoded to nodes, so that every complaint names file, line and column, and
// everything wrong is reported at once (Load, Problems). Expressions hold comparisons,
// arithmetic, and, or, not and a few functions; every quantity carries its unit, and units
// are checked over the whole expression. A parser of our own reads them, since a unit is
// part of a number here, and compiles them to closures over a site's values, which neither
// allocate nor loop. Tests hold it to a general-purpose expression library.
//
// The package knows measures only as a list of definitions (catalog.Measure), never how
// they are computed. The tables of keys that drive the reader also make the JSON Schema.
package ruleset
