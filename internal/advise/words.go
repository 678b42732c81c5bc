package advise

import (
	"fmt"
	"math"

	"printlint/internal/catalog"
	"printlint/internal/mesh"
	"printlint/internal/pose"
	"printlint/internal/support"
)

// upshot is the advice in one line. Where the way up was given, or not all were looked
// at, nothing is said of others.
func upshot(best []wayUp, lies int, given bool) string {
	top, now := &best[0], &best[lies]
	words := "as it lies"
	if lies != 0 {
		words = "turned " + pose.TurningTo(top.Down).String()
	}
	if lies != 0 && !given {
		words = askew(top.Down) + words
	}
	contact := "bed contact " + catalog.Format(top.Base, catalog.MM2)
	none := "there is no better way up to rest on; "
	if given {
		none = ""
	}
	switch out := top.outcome; {
	case top.Errors+top.Warnings+top.Notes == 0:
		return words + " it prints with no finding; " + contact
	case top.clean():
		return fmt.Sprintf("%s it prints with %s; %s", words, out.count().String(), contact)
	case lies == 0 && len(out.structures) > 0:
		return none + "as it lies it needs " + supportWords(out) + brim(top)
	case lies == 0:
		return none + "as it lies it leaves " + out.count().String() + brim(top)
	case len(out.structures) > 0:
		return fmt.Sprintf("%s it leaves %s, and needs %s", words, than(out, now.outcome), supportWords(out))
	default:
		return fmt.Sprintf("%s it leaves %s, and needs no support; %s", words, than(out, now.outcome), contact)
	}
}

// askew says by how little a model misses lying flat, or nothing where that is more.
func askew(down mesh.Vec) string {
	const little = 1.0 // deg; a hand laying a part on a bed would not notice
	miss := math.Asin(min(down.Cross(pose.Down).Len(), 1)) * 180 / math.Pi
	if down.Z > 0 || miss >= little {
		return ""
	}
	return "it lies " + catalog.Format(miss, catalog.Deg) + " askew; lay it flat: "
}

// than words what is left, compared with the model as it lies.
func than(out, now *outcome) string {
	if out.count() == now.count() {
		return "the same " + out.count().String()
	}
	return out.count().String() + " instead of " + now.count().String()
}

func supportWords(out *outcome) string {
	places := "support in one place"
	if n := len(out.structures); n > 1 {
		places = fmt.Sprintf("support in %d places", n)
	}
	return fmt.Sprintf("%s (%s), %s", places, support.KindOf(out.structures), support.About(out.total.Grams, out.total.Minutes))
}

// brim asks for one where next to nothing lies on the bed.
func brim(w *wayUp) string {
	if w.Contact >= pose.LyingFrom {
		return ""
	}
	return "; print it with a brim"
}
