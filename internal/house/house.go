// Package house holds the rules that the project keeps about its own source: which
// way imports point, how long files and functions get, what is documented, what
// is tested and what is never written. They are tests, so that they hold by
// themselves.
package house
