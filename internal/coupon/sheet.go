package coupon

import (
	"embed"
	"fmt"
	"html/template"
	"io"
	"slices"
	"strings"

	"printlint/internal/catalog"
)

//go:embed sheet.html
var sheetFile embed.FS

var sheet = template.Must(template.New("sheet.html").Funcs(template.FuncMap{
	"drawing": drawing, "limit": catalog.FormatLimit, "version": func() int { return Version },
}).ParseFS(sheetFile, "sheet.html"))

// Sheet writes the page to fill in beside the print.
func (p *Plan) Sheet(w io.Writer) error { return sheet.Execute(w, p) }

// On says on which plates the pieces of a row are; it is empty where there is only one plate.
func (p *Plan) On(row string) string {
	var on []string
	for i := range p.Plates {
		if len(p.Plates) > 1 && slices.ContainsFunc(p.Plates[i].Steps, func(s Placed) bool { return s.Row.Name == row }) {
			on = append(on, fmt.Sprint(i+1))
		}
	}
	switch len(on) {
	case 0:
		return ""
	case 1:
		return "plate " + on[0]
	}
	return "plates " + strings.Join(on, " and ")
}

// drawing shows a piece of a row: one from the middle, or an easier one where they are long.
func drawing(r Row) template.HTML {
	const wide, longest = 104.0, 26.0 // of the drawing, and in mm of a piece at the usual nozzle
	i := len(r.Steps) / 2
	for i > 0 && r.Steps[i].size[0] > longest*r.scale {
		i--
	}
	s := r.Steps[i]
	scale := min(wide/longest/r.scale, (wide-8)/s.size[0])
	high := 0.0
	for _, o := range s.views {
		for _, c := range o {
			high = max(high, c[1])
		}
	}
	var b strings.Builder
	fmt.Fprintf(&b, `<svg viewBox="-4 -4 %.0f %.0f" width="%.0f">`, wide, high*scale+10, 34*96/25.4)
	if !r.above {
		fmt.Fprintf(&b, `<path class="bed" d="M-2 %.1fH%.1f"/>`, high*scale+1, s.size[0]*scale+2)
	}
	for _, o := range s.views {
		b.WriteString(`<path d="`)
		for i, c := range o {
			fmt.Fprintf(&b, "%c%.1f %.1f", "ML"[min(i, 1)], c[0]*scale, (high-c[1])*scale)
		}
		b.WriteString(`Z"/>`)
	}
	b.WriteString("</svg>")
	return template.HTML(b.String()) // of numbers alone
}
