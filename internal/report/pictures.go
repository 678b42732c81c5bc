package report

import (
	"cmp"
	"slices"

	"printlint/internal/finding"
)

// Pictures are what was drawn of one model while its mesh was in memory. A report
// without them says the same in words.
type Pictures struct {
	// Lying is the model as it lies, seen from above, and Under the same seen from below.
	Lying, Under *Picture
	// Advised is the model in the best way up, where that is another one.
	Advised *Picture
	// Layers are views of single layers, each at the height of a finding.
	Layers []LayerView
	// Shape is a reduced mesh to turn, or nil.
	Shape *Shape
	// File is where Lying lies as a file of its own, as a link from the report, or empty.
	File string
}

// Picture is a PNG picture with the places of its badges. They are drawn over it by the
// report, so that they stay sharp and lead to their findings.
type Picture struct {
	PNG           []byte
	Width, Height int // pixels
	Words         string
	Badges        []Badge
}

// Badge is the number of a finding in a picture, in pixels.
type Badge struct {
	Finding int // index of the finding in its model
	X, Y    float64
	// AtX and AtY are the place it speaks of.
	AtX, AtY float64
}

// LayerView is one layer around a finding.
type LayerView struct {
	Finding int    // index of the finding in its model
	SVG     string // made of numbers and words of our own alone
	Words   string
}

// Shape is a reduced mesh above the bed.
type Shape struct {
	Min     [3]float64 `json:"min"`     // mm
	Step    float64    `json:"step"`    // mm of one unit of Corners
	Corners []byte     `json:"corners"` // x, y, z a vertex, 16 bits little-endian each
	Tris    []byte     `json:"tris"`    // three vertices a triangle, likewise
	Levels  []byte     `json:"levels"`  // of each triangle: 0, or 1 + the rank of a finding's level
	Marks   []Pin      `json:"marks"`
}

// Pin is the number of a finding at its place above the bed, in mm.
type Pin struct {
	Number int           `json:"number"`
	Level  finding.Level `json:"level"`
	At     [3]float64    `json:"at"`
}

// Shown lists the findings of a model that count, by index: the worst level first, and
// within a level in the order of the report. Pictures and formats number them so, from 1.
func Shown(m *finding.Model) []int {
	var list []int
	for i := range m.Findings {
		if f := &m.Findings[i]; f.Waived == nil && f.Level != finding.None {
			list = append(list, i)
		}
	}
	slices.SortStableFunc(list, func(a, b int) int {
		return cmp.Compare(m.Findings[a].Level.Rank(), m.Findings[b].Level.Rank())
	})
	return list
}
