package advise

import (
	"fmt"
	"math"
	"strings"

	"printlint/internal/catalog"
)

// Kinds of edits that make something thicker.
const (
	thickerWall = "thicker-wall"
	thickerPin  = "thicker-pin"
	fillet      = "fillet"
)

// thickened says that a kind of edit makes thicker what is drawn already.
func thickened(kind string) bool { return kind == thickerWall || kind == thickerPin || kind == fillet }

// plainKind is a kind as words say it.
func plainKind(kind string) string { return strings.ReplaceAll(kind, "-", " ") }

// thickWords are the order for several that are listed below it.
func thickWords(k ofKind) string {
	what := map[string]string{
		thickerWall: "make %s walls thicker as said below",
		thickerPin:  "make %s pins thicker as said below",
		fillet:      "put fillets around the feet of %s pins as said below",
	}[k.one.kind]
	return fmt.Sprintf(what, number(k.count))
}

// hundredths writes a length as it is typed into a drawing.
func hundredths(mm float64) string { return catalog.FormatLimit(math.Round(100*mm)/100, catalog.MM) }
