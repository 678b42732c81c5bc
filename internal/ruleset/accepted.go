package ruleset

import (
	"math"
	"strings"

	"gopkg.in/yaml.v3"

	"printlint/internal/catalog"
	"printlint/internal/finding"
)

// Accepted is what was accepted, as it was found, on one part of a model.
type Accepted struct {
	Path   string // from the configuration's folder, no glob
	Part   string
	SHA256 string // of the file, in hex
	Bytes  int64  // size of the file; 0 when not known
	// Tall is the model's height in mm and Surface the area of its surface in mm2: both
	// stay when it is moved, or turned about z. 0 when not known.
	Tall, Surface float64
	Findings      []FindingRecord
}

// FindingRecord is a finding by what it is known by when it is found again, and by how bad it is.
type FindingRecord struct {
	Rule        string
	Fingerprint string
	// At is the place in mm in the file's own frame, and Top how far it lies below the
	// model's highest point. Files of version 1 have neither: Placed is false.
	At     [3]float64
	Top    float64
	Placed bool
	// Height above the model's lowest point and distance from the axis through the
	// middle of its surface, in mm: both stay when the model is moved, or turned about z.
	Height, Radius float64
	// Size is half the diagonal of the whole site, seen from above, in mm.
	Size float64
	// Values are those of the finding; nil where they were not written down.
	Values finding.Values
	// Whole says that the finding is on the model as a whole. It is not written down.
	Whole bool
}

// acceptedModel is Accepted with its way back to the file.
type acceptedModel struct {
	Accepted
	from Position
	list []*acceptedFinding
}

type acceptedFinding struct {
	FindingRecord
	from  Position
	index int // among all of the configuration
}

// maxAccepted bounds a file of accepted findings, in bytes: some hundred thousand.
const maxAccepted = 16 << 20

// The tables of a file of accepted findings. No schema is drawn of them: a program writes it.
var (
	acceptedKeys = []key[*[]*acceptedModel]{
		{"version", "version of this language: 2; 1 has no values", nil, readAcceptedVersion},
		{"accepted", "models with what was accepted on them", nil, readAcceptedModels},
	}
	acceptedModelKeys = []key[*acceptedModel]{
		textKey("path", "path of the model from the configuration's folder on", func(m *acceptedModel) *string { return &m.Path }),
		textKey("part", "the part, in a file with several", func(m *acceptedModel) *string { return &m.Part }),
		textKey("sha256", "hash of the file, by which it is known under another name", func(m *acceptedModel) *string { return &m.SHA256 }),
		{"bytes", "size of the file, by which its hash is looked for", nil, func(d *decoder, n *yaml.Node, m *acceptedModel) {
			if bytes, ok := d.quantity(n, "bytes", catalog.Number); ok {
				m.Bytes = int64(min(max(bytes, 0), 1<<53))
			}
		}},
		lengthKey("tall", "height of the model in mm", func(m *acceptedModel) *float64 { return &m.Tall }),
		{"surface", "area of its surface in mm2", nil, func(d *decoder, n *yaml.Node, m *acceptedModel) {
			m.Surface, _ = d.quantity(n, "surface", catalog.Number)
		}},
		{"findings", "what was accepted", nil, func(d *decoder, n *yaml.Node, m *acceptedModel) {
			d.items(n, "findings", func(item *yaml.Node) { readAcceptedFinding(d, item, m) })
		}},
	}
	acceptedFindingKeys = []key[*acceptedFinding]{
		textKey("rule", "the rule", func(f *acceptedFinding) *string { return &f.Rule }),
		textKey("fingerprint", "as in the report", func(f *acceptedFinding) *string { return &f.Fingerprint }),
		{"at", "the place in mm in the file's own frame", nil, func(d *decoder, n *yaml.Node, f *acceptedFinding) {
			f.At, f.Placed = d.triple(n, "at", d.mm)
		}},
		lengthKey("top", "mm below the model's highest point", func(f *acceptedFinding) *float64 { return &f.Top }),
		{"values", "values of the finding, in the units of the report; it may not get worse", nil, readAcceptedValues},
		lengthKey("height", "mm above the model's lowest point", func(f *acceptedFinding) *float64 { return &f.Height }),
		lengthKey("radius", "mm from the axis through the middle", func(f *acceptedFinding) *float64 { return &f.Radius }),
		lengthKey("size", "mm from the middle of the place to its corner, seen from above", func(f *acceptedFinding) *float64 { return &f.Size }),
	}
)

// readAcceptedVersion reads the version: that which is written today, or the one before.
func readAcceptedVersion(d *decoder, n *yaml.Node, _ *[]*acceptedModel) {
	if n.Kind != yaml.ScalarNode || n.Tag != "!!int" || n.Value != "1" && n.Value != "2" {
		d.add(d.pos(n), "version must be 1 or 2, the ones this program reads")
	}
}

func readAcceptedValues(d *decoder, n *yaml.Node, f *acceptedFinding) {
	f.Values = finding.Values{}
	d.entries(n, "values", func(name, value *yaml.Node) {
		v := finding.Named{Name: name.Value}
		switch {
		case value.Kind == yaml.ScalarNode && value.Tag == "!!bool":
			v.Unit = string(catalog.Bool)
			if strings.EqualFold(value.Value, "true") {
				v.Value = 1
			}
		case value.Kind == yaml.ScalarNode && value.Value == ".inf":
			v.Value = math.Inf(1)
		default:
			var ok bool
			if v.Value, ok = d.quantity(value, name.Value, catalog.Number); !ok {
				return
			}
		}
		f.Values = append(f.Values, v)
	})
}

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
	m.Findings, m.list = append(m.Findings, f.FindingRecord), append(m.list, f)
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
func (l *library) accepted(main *document) []*acceptedModel {
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
