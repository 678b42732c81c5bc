package ruleset

import (
	"slices"

	"gopkg.in/yaml.v3"

	"printlint/internal/finding"
	"printlint/internal/near"
)

// failWhere is on which machines a model must fail, as the configuration says it.
type failWhere struct {
	pos   Position
	names []text // any, all, or machines
}

// failAtKeys is the table of fail-at where it is a mapping.
var failAtKeys = []key[*mainPart]{
	choiceKey("level", "the level from which the gate closes", levelWords, func(m *mainPart) *finding.Level { return &m.failAt }),
	{"on", "on which machines: any of them, all of them, or a list of those that count", wordOrWords, readFailWhere},
}

func wordOrWords(s *schema) object {
	return object{"anyOf": []object{aWord(s), someOf(aWord)(s)}}
}

func failAtShape(s *schema) object {
	return object{"anyOf": []object{oneOf(levelWords...)(s), mapOf(&failAtKeys)(s)}}
}

func readFailAt(d *decoder, n *yaml.Node, l *document) {
	if n.Kind == yaml.MappingNode {
		mapping(d, n, "fail-at", failAtKeys, l.main)
		return
	}
	if w, ok := d.one(n, "fail-at", levelWords); ok {
		l.main.failAt = finding.Level(w)
	}
}

func readFailWhere(d *decoder, n *yaml.Node, m *mainPart) {
	w := &failWhere{pos: d.pos(n)}
	m.failWhere = w
	if n.Kind != yaml.SequenceNode {
		if t, ok := d.words(n, "on"); ok {
			w.names = []text{t}
		}
		return
	}
	w.names = d.texts(n, "on", wordOf("a machine"))
	if len(n.Content) == 0 {
		d.add(w.pos, "on names no machine; write any, all, or the machines that count")
	}
}

// setWhere says how the verdicts of the machines make one.
func (c *Config) setWhere() {
	said := c.main.main.failWhere
	if len(c.main.main.machines) == 0 {
		if said != nil {
			c.library.add(said.pos, "on speaks of machines, and none is named; write machines: [machines/*.yml]")
		}
		return
	}
	c.Where = &finding.FailWhere{Policy: finding.FailOnAny}
	if said == nil || len(said.names) == 0 {
		return
	}
	if word := finding.Policy(said.names[0].value); len(said.names) == 1 && (word == finding.FailOnAny || word == finding.FailOnEvery) {
		c.Where.Policy = word
		return
	}
	c.Where.Policy = finding.FailOnNamed
	known, whole := c.MachineNames(), !c.library.complained()
	for _, t := range said.names {
		if whole && !slices.Contains(known, t.value) {
			c.library.add(t.pos(), "no machine is called %q%s", t.value, near.Hint(t.value, known))
		}
		if !slices.Contains(c.Where.Names, t.value) {
			c.Where.Names = append(c.Where.Names, t.value)
		}
	}
}
