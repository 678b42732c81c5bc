package html

import (
	"fmt"
	"html/template"
	"strings"

	"printlint/internal/draw"
	"printlint/internal/finding"
)

// Badges are drawn by the style sheet in the colour of their level; the shape says the
// same: six sides for an error, a square for a warning, a ring for a note.
const cleanBadge = template.HTML(`<svg class="badge clean" viewBox="-12 -12 24 24" aria-hidden="true"><circle r="10"/><path d="M-5 0-1.5 4 5.5-4"/></svg>`)

// levelBadge is the badge of a level, with a number where that is not 0.
func levelBadge(l finding.Level, number int) template.HTML {
	return template.HTML(fmt.Sprintf(`<svg class="badge %s" viewBox="-12 -12 24 24" aria-hidden="true">%s%s</svg>`, levelClass(l), badgeShape(l), badgeNumber(number)))
}

func levelClass(l finding.Level) string {
	if l.Rank() <= finding.Note.Rank() {
		return string(l)
	}
	return string(finding.None)
}

// badgeShape is the outline of a badge around the origin, 22 units wide.
func badgeShape(l finding.Level) string {
	switch l {
	case finding.Error:
		return `<path d="M0-11.5 10-5.75V5.75L0 11.5-10 5.75V-5.75Z"/>`
	case finding.Warning:
		return `<rect x="-9.5" y="-9.5" width="19" height="19" rx="1.5"/>`
	}
	return `<circle r="10.5"/>`
}

func badgeNumber(n int) string {
	if n == 0 {
		return ""
	}
	size := 13
	if n > 99 {
		size = 10
	}
	return fmt.Sprintf(`<text font-size="%d" y="%.1f">%d</text>`, size, float64(size)*0.36, n)
}

// badges draws the badges of a picture with lines to their places; each leads to its
// finding.
func (p *model) badges(e *draw.Encoded) template.HTML {
	var lines, badges strings.Builder
	for _, b := range e.Badges {
		place := p.places[b.Number]
		if place == nil {
			continue
		}
		fmt.Fprintf(&lines, `<path class="under" d="M%.1f %.1f %.1f %.1f"/><path d="M%.1f %.1f %.1f %.1f"/><circle cx="%.1f" cy="%.1f" r="2.6"/>`,
			b.AtX, b.AtY, b.X, b.Y, b.AtX, b.AtY, b.X, b.Y, b.AtX, b.AtY)
		fmt.Fprintf(&badges, `<a href="#%s" class="badge %s" aria-label="finding %d"><g transform="translate(%.1f %.1f) scale(1.18)"><g class="sign">%s%s</g></g></a>`,
			place.ID, levelClass(place.Level), place.Number, b.X, b.Y, badgeShape(place.Level), badgeNumber(place.Number))
	}
	if badges.Len() == 0 {
		return ""
	}
	return template.HTML(`<g class="leaders">` + lines.String() + `</g>` + badges.String())
}
