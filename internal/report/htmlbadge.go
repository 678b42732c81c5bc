package report

import (
	"fmt"
	"html/template"
	"strings"

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

// pictureBadges draws the badges of a picture with lines to their places; each leads to
// its finding.
func pictureBadges(m *modelPage, p *Picture) template.HTML {
	var lines, badges strings.Builder
	for _, b := range p.Badges {
		place := m.place(b.Finding)
		if place == nil {
			continue
		}
		fmt.Fprintf(&lines, `<path class="under" d="M%.1f %.1f %.1f %.1f"/><path d="M%.1f %.1f %.1f %.1f"/><circle cx="%.1f" cy="%.1f" r="2.6"/>`,
			b.AtX, b.AtY, b.X, b.Y, b.AtX, b.AtY, b.X, b.Y, b.AtX, b.AtY)
		fmt.Fprintf(&badges, `<a href="#%s" class="badge %s" aria-label="finding %d"><g transform="translate(%.1f %.1f) scale(1.18)"><g class="sign">%s%s</g></g></a>`,
			place.ID, levelClass(place.level), place.Number, b.X, b.Y, badgeShape(place.level), badgeNumber(place.Number))
	}
	if badges.Len() == 0 {
		return ""
	}
	return template.HTML(`<g class="leaders">` + lines.String() + `</g>` + badges.String())
}

// patterns are the hatchings of the key and of every layer view, once for the page. The
// names are those that the layer views refer to.
const patterns = `<svg width="0" height="0" class="store" aria-hidden="true"><defs>` +
	`<pattern id="printlint-hangs" width="7" height="7" patternUnits="userSpaceOnUse"><rect width="7" height="7" fill="#c75b8f"/><path d="M-1 1 1-1M0 7 7 0M6 8 8 6" stroke="#5e0b33" stroke-width="1.8"/></pattern>` +
	`<pattern id="printlint-carries" width="8" height="8" patternUnits="userSpaceOnUse"><rect width="8" height="8" fill="#7fb3a6"/><circle cx="2" cy="2" r="1.3" fill="#1f5b50"/><circle cx="6" cy="6" r="1.3" fill="#1f5b50"/></pattern>` +
	`<pattern id="k-error" width="6" height="6" patternUnits="userSpaceOnUse"><rect width="6" height="6" fill="#a31d5b"/><path d="M-1 1 1-1M0 6 6 0M5 7 7 5" stroke="#5e0b33" stroke-width="1.8"/></pattern>` +
	`<pattern id="k-warning" width="6" height="6" patternUnits="userSpaceOnUse"><rect width="6" height="6" fill="#e3a41c"/><circle cx="1.5" cy="1.5" r="1" fill="#7a5000"/><circle cx="4.5" cy="4.5" r="1" fill="#7a5000"/></pattern>` +
	`<pattern id="k-note" width="6" height="6" patternUnits="userSpaceOnUse"><rect width="6" height="6" fill="#6fa8c9"/><path d="M0 2h6" stroke="#1f557a" stroke-width="1.8"/></pattern>` +
	`</defs></svg>`
