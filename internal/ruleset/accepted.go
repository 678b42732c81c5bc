package ruleset

import (
	"sync/atomic"

	"gopkg.in/yaml.v3"

	"printlint/internal/catalog"
)

// Accepted is what was accepted, as it was found, on one part of a model.
type Accepted struct {
	Path     string // from the configuration's folder, no glob
	Part     string
	SHA256   string // of the file, in hex
	Findings []Spot
}

// Spot is a finding by what it is known by when it is found again.
type Spot struct {
	Rule        string
	Fingerprint string
	// Height above the model's lowest point and distance from the axis through the
	// middle of its surface, in mm: both stay when the model is moved, or turned about z.
	Height, Radius float64
	// Size is half the diagonal of the whole site, seen from above, in mm.
	Size float64
}

// acceptedModel is Accepted with its way back to the file, and what became of it.
type acceptedModel struct {
	Accepted
	from Position
	list []*acceptedFinding
}

type acceptedFinding struct {
	Spot
	from Position
	used atomic.Bool
}

// maxAccepted bounds a file of accepted findings, in bytes: some hundred thousand.
const maxAccepted = 16 << 20

// The tables of a file of accepted findings.
var (
	acceptedKeys = []key[*[]*acceptedModel]{
		{"version", "version of this language: 1", theNumberOne, func(d *decoder, n *yaml.Node, _ *[]*acceptedModel) { readVersion(d, n, nil) }},
		{"accepted", "models with what was accepted on them", listOf(mapOf(&acceptedModelKeys)), readAcceptedModels},
	}
	acceptedModelKeys = []key[*acceptedModel]{
		{"path", "path of the model from the configuration's folder on", aWord, func(d *decoder, n *yaml.Node, m *acceptedModel) {
			if t, ok := d.words(n, "path"); ok {
				m.Path = t.value
			}
		}},
		{"part", "the part, in a file with several", aWord, func(d *decoder, n *yaml.Node, m *acceptedModel) {
			if t, ok := d.words(n, "part"); ok {
				m.Part = t.value
			}
		}},
		{"sha256", "hash of the file, by which it is known under another name", aWord, func(d *decoder, n *yaml.Node, m *acceptedModel) {
			if t, ok := d.words(n, "sha256"); ok {
				m.SHA256 = t.value
			}
		}},
		{"findings", "what was accepted", listOf(mapOf(&acceptedFindingKeys)), func(d *decoder, n *yaml.Node, m *acceptedModel) {
			d.items(n, "findings", func(item *yaml.Node) { readAcceptedFinding(d, item, m) })
		}},
	}
	acceptedFindingKeys = []key[*acceptedFinding]{
		{"rule", "the rule", aWord, func(d *decoder, n *yaml.Node, f *acceptedFinding) {
			if t, ok := d.words(n, "rule"); ok {
				f.Rule = t.value
			}
		}},
		{"fingerprint", "as in the report", aWord, func(d *decoder, n *yaml.Node, f *acceptedFinding) {
			if t, ok := d.words(n, "fingerprint"); ok {
				f.Fingerprint = t.value
			}
		}},
		{"height", "mm above the model's lowest point", aQuantity(catalog.MM), func(d *decoder, n *yaml.Node, f *acceptedFinding) {
			f.Height, _ = d.mm(n, "height")
		}},
		{"radius", "mm from the axis through the middle", aQuantity(catalog.MM), func(d *decoder, n *yaml.Node, f *acceptedFinding) {
			f.Radius, _ = d.mm(n, "radius")
		}},
		{"size", "mm from the middle of the place to its corner, seen from above", aQuantity(catalog.MM), func(d *decoder, n *yaml.Node, f *acceptedFinding) {
			f.Size, _ = d.mm(n, "size")
		}},
	}
)

func readAcceptedModels(d *decoder, n *yaml.Node, into *[]*acceptedModel) {
	d.items(n, "accepted", func(item *yaml.Node) {
		m := &acceptedModel{from: d.pos(item)}
		before := len(d.list)
		mapping(d, item, "an accepted model", acceptedModelKeys, m)
		if m.Path == "" && len(d.list) == before {
			d.add(m.from, "an accepted model needs a path")
		}
		*into = append(*into, m)
	})
}

func readAcceptedFinding(d *decoder, n *yaml.Node, m *acceptedModel) {
	f := &acceptedFinding{from: d.pos(n)}
	before := len(d.list)
	mapping(d, n, "an accepted finding", acceptedFindingKeys, f)
	if (f.Rule == "" || f.Fingerprint == "") && len(d.list) == before {
		d.add(f.from, "an accepted finding needs a rule and a fingerprint")
	}
	m.Findings, m.list = append(m.Findings, f.Spot), append(m.list, f)
}

// readAccepted reads a file of accepted findings.
func readAccepted(c *complaints, file string, data []byte) []*acceptedModel {
	d := &decoder{&source{file: file, limit: maxAccepted}, c, nil}
	root := d.parse(data, c)
	if root == nil {
		return nil
	}
	var list []*acceptedModel
	mapping(d, root, "a file of accepted findings", acceptedKeys, &list)
	return list
}

// ReadAccepted reads a file of accepted findings, so that it can be written anew. The
// error is a *Problems with everything that is wrong.
func ReadAccepted(file string, data []byte) ([]Accepted, error) {
	c := &complaints{}
	var out []Accepted
	for _, m := range readAccepted(c, file, data) {
		out = append(out, m.Accepted)
	}
	return out, c.err()
}

// accepted reads the files of accepted findings that the configuration names.
func (l *library) accepted(main *layer) []*acceptedModel {
	var list []*acceptedModel
	for _, t := range main.main.accepted {
		full, ok := l.resolve(t.value, t.pos(), main.file)
		if !ok {
			continue
		}
		data, err := l.open(full)
		if err != nil {
			l.add(t.pos(), "%s", openError(full, err))
			continue
		}
		list = append(list, readAccepted(l.complaints, full, data)...)
	}
	return list
}
