package ruleset

import (
	"unicode/utf8"

	"gopkg.in/yaml.v3"
)

const maxName = 40 // letters of a name, which heads a column; judgement

func readName(d *decoder, n *yaml.Node, l *document) {
	t, ok := d.words(n, "name")
	switch {
	case !ok:
	case utf8.RuneCountInString(t.value) > maxName:
		d.add(t.pos(), "the name of a machine has %d letters at most", maxName)
	case t.value == "any" || t.value == "all":
		d.add(t.pos(), "a machine cannot be called %s, which stands for several; give it another name", t.value)
	default:
		l.called = &t
	}
}
