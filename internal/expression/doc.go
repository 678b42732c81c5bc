// Package expression is the language of limits and conditions: comparisons, arithmetic,
// and, or, not and a few functions over named values, in which every quantity carries its
// unit. Units are checked over the whole expression when it is compiled, and what is left
// are closures over a site's values, which neither allocate nor loop.
//
// The parser is our own, since a unit is part of a number here. Tests hold it to a
// general-purpose expression library.
package expression
