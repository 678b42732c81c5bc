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
	Path      string         `json:"path"`
	Part      string         `json:"part"`
	Kind      string         `json:"kind"`
	SHA256    string         `json:"sha256"`
	Status    finding.Status `json:"status"`
	Reason    string         `json:"reason"`
	Line      int            `json:"line"`
	Notes     []string       `json:"notes"`
	Triangles int            `json:"triangles"`
	Measures  []lint.Reading `json:"measures"`
}

func measuresJSON(models []lint.Measured) measuresReport {
	r := measuresReport{Format: MeasureFormat, Tool: finding.Tool{Name: finding.ToolName, Version: Version()}, Models: []measuredModel{}}
	for i := range models {
		m := &models[i]
		r.Models = append(r.Models, measuredModel{
			m.Path, m.Part, m.Kind, m.SHA256, m.Status, m.Reason, m.Line, m.Notes, m.Triangles, append([]lint.Reading{}, m.Readings...),
		})
	}
	return r
}
