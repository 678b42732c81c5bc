package ruleset

import (
	"fmt"
	"hash"
	"path"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"gopkg.in/yaml.v3"

	"printlint/internal/finding"
	"printlint/internal/pathname"
)

// Machine is one printer of the shelf: the configuration as it holds for what is printed on
// it. Waivers, accepted findings and everything else but the process are those of the
// configuration.
type Machine struct {
	*Config
	Name string
	Path string // of the file that describes it
	from Position
}

// About is what reports say of the machine.
func (m *Machine) About() finding.Machine {
	p := &m.Process
	return finding.Machine{Name: m.Name, File: m.Path, Material: p.Material, Nozzle: p.Nozzle, Line: p.Line, Layer: p.Layer, Bed: p.Bed}
}

const (
	maxMachines = 20 // each model is judged for all of them; judgement
	maxName     = 40 // letters of a name, which heads a column; judgement
)

// machineKeysOf is the table of a machine: of all that a set may say, what it is and what it
// was measured to do. It lies over rules that it does not know, and so brings none.
func machineKeysOf(set []key[*document]) []key[*document] {
	table := slices.Clone(set)
	for i, k := range table {
		if !slices.Contains([]string{"$schema", "version", "name", "process", "measured"}, k.name) {
			table[i].read = func(d *decoder, n *yaml.Node, _ *document) {
				d.add(d.pos(n), "%s belongs in the configuration; the file of a machine says its name and its process", k.name)
			}
		}
	}
	return table
}

func readName(d *decoder, n *yaml.Node, l *document) {
	if t, ok := d.words(n, "name"); ok {
		if fault := NameFault(t.value); fault != "" {
			d.add(t.pos(), "%s", fault)
			return
		}
		l.called = &t
	}
}

// NameFault says what is wrong with the name of a machine, which heads a column and is typed
// behind --machine; "" where nothing is.
func NameFault(name string) string {
	unseen := func(r rune) bool { return !unicode.IsPrint(r) }
	switch {
	case !utf8.ValidString(name) || strings.ContainsFunc(name, unseen):
		return fmt.Sprintf("the name of a machine has a character that cannot be seen, %s; write it with letters, digits and signs", pathname.Quoted(name, maxName))
	case name == "" || strings.TrimSpace(name) != name:
		return "the name of a machine begins and ends with a letter, digit or sign, not with a space"
	case utf8.RuneCountInString(name) > maxName:
		return fmt.Sprintf("the name of a machine has %d letters at most", maxName)
	case name == string(finding.FailOnAny) || name == string(finding.FailOnEvery):
		return fmt.Sprintf("a machine cannot be called %s, which stands for several; give it another name", name)
	}
	return ""
}

// addMachines reads the files of the machines and works out what holds on each.
func (c *Config) addMachines(list List) {
	l := c.library
	files := l.machineFiles(c.main, list)
	if len(files) > maxMachines {
		l.add(c.main.main.machines[0].pos(), "here are %d machines, more than the %d that a model is judged for", len(files), maxMachines)
		return
	}
	for _, f := range files {
		if doc := l.readMachine(f); doc != nil {
			c.addMachine(doc)
		}
	}
	c.setWhere()
}

// readMachine reads the file of a machine; nil where it cannot be read whole.
func (l *library) readMachine(f machineFile) *document {
	data, err := l.open(f.path)
	if err != nil {
		l.add(f.from.pos(), "%s", openError(f.path, err))
		return nil
	}
	before := len(l.list)
	doc := &document{name: f.path, file: f.path, printer: true}
	l.read(doc, data, machineKeys)
	if len(l.list) > before {
		return nil
	}
	if len(doc.process) == 0 {
		l.add(doc.start, "the file of a machine says its process, such as process: {nozzle: 0.4 mm, bed: [220 mm, 220 mm, 250 mm]}")
		return nil
	}
	return doc
}

// machine is the name of the machine that the file describes: as it says, or else its own.
func (d *document) machine() string {
	if d.called != nil {
		return d.called.value
	}
	base := path.Base(d.file)
	return strings.TrimSuffix(base, path.Ext(base))
}

// addMachine adds the machine that a file describes.
func (c *Config) addMachine(doc *document) {
	m := &Machine{Name: doc.machine(), Path: doc.file, from: doc.start}
	if doc.called != nil {
		m.from = doc.called.pos()
	}
	if i := slices.IndexFunc(c.Machines, func(o *Machine) bool { return o.Name == m.Name }); i >= 0 {
		c.library.add(m.from, "two machines are called %q, the other in %s; give one of them another name", m.Name, c.Machines[i].from)
		return
	}
	m.Config = c.on(doc)
	c.Machines = append(c.Machines, m)
}

// on is the configuration as it holds on a machine.
func (c *Config) on(machine *document) *Config {
	lib, main, part, out := *c.library, *c.main, *c.main.main, *c
	lib.machine, main.main, out.library, out.main = machine, &part, &lib, &main
	part.places = slices.Clone(part.places)
	for i, p := range part.places {
		own := *p
		part.places[i] = &own
	}
	out.Machines, out.Where = nil, nil
	out.look()
	out.Digest = out.digest()
	return &out
}

// onMachine is what is laid for the machine, and makes its material the one that holds. Of
// another plastic than the configuration's all figures are that plastic's own, but for those
// that the machine gives.
func (l *library) onMachine(material *setting) []*document {
	if l.machine == nil {
		return nil
	}
	var laid []*document
	if s := l.machine.process.plastic(); s != nil {
		if own := l.material(s.word); s.word != material.word {
			laid = append(laid, &document{fresh: true})
			if own != nil {
				laid = append(laid, &document{process: own.process})
			}
		}
		*material = *s
	}
	return append(laid, &document{process: l.machine.process})
}

// MachineNames lists the machines, in their order.
func (c *Config) MachineNames() (names []string) {
	for _, m := range c.Machines {
		names = append(names, m.Name)
	}
	return names
}

// digestMachines covers what holds on each machine, and what it is called.
func (c *Config) digestMachines(h hash.Hash) {
	for _, m := range c.Machines {
		fmt.Fprintf(h, "machine %q %s\n", m.Name, m.Digest)
	}
	if c.Where != nil {
		fmt.Fprintf(h, "where %q\n", *c.Where)
	}
}
