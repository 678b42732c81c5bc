package cli

import (
	"printlint/internal/finding"
	"printlint/internal/lint"
)

// measuresReport is what measure writes as JSON. Units are those of the catalogue:
// mm, mm2, mm3, deg; points in the file's own frame.
type measuresReport struct {
	Format string          `json:"format"`
	Tool   finding.Tool    `json:"tool"`
	Models []measuredModel `json:"models"`
}

type measuredModel struct {
	Path      string            `json:"path"`
	Part      string            `json:"part"`
	Kind      string            `json:"kind"`
	SHA256    string            `json:"sha256"`
	Status    finding.Status    `json:"status"`
	Reason    string            `json:"reason"`
	Line      int               `json:"line"`
	Notes     []string          `json:"notes"`
	Triangles int               `json:"triangles"`
	Measures  []measuredMeasure `json:"measures"`
}

type measuredMeasure struct {
	Measure   string         `json:"measure"`
	Undecided string         `json:"undecided"`
	Model     finding.Values `json:"model"`
	Sites     []measuredSite `json:"sites"`
}

type measuredSite struct {
	Line     int            `json:"line"`
	Triangle int            `json:"triangle"`
	At       [3]float64     `json:"at"`
	Box      [2][3]float64  `json:"box"`
	Values   finding.Values `json:"values"`
}

func measuresJSON(models []lint.Measured) measuresReport {
	r := measuresReport{Format: MeasureFormat, Tool: finding.Tool{Name: finding.ToolName, Version: Version()}, Models: []measuredModel{}}
	for i := range models {
		m := &models[i]
		out := measuredModel{
			Path: m.Path, Part: m.Part, Kind: m.Kind, SHA256: m.SHA256, Status: m.Status, Reason: m.Reason,
			Line: m.Line, Notes: m.Notes, Triangles: m.Triangles, Measures: []measuredMeasure{},
		}
		for _, t := range m.Readings {
			taken := measuredMeasure{Measure: t.Measure, Undecided: t.Undecided, Model: t.Model, Sites: []measuredSite{}}
			for _, s := range t.Sites {
				taken.Sites = append(taken.Sites, measuredSite(s))
			}
			out.Measures = append(out.Measures, taken)
		}
		r.Models = append(r.Models, out)
	}
	return r
}
