package ruleset

import (
	"slices"
	"time"

	"gopkg.in/yaml.v3"

	"printlint/internal/pathname"
)

// Waiver is a finding accepted in writing. It does not change after loading.
type Waiver struct {
	Path   string // glob
	Rule   string
	Reason string
	Part   string // only this part of the file; "" is any
	// Box is where the findings meant lie wholly, in mm in the file's own frame; nil
	// is anywhere.
	Box   *[2][3]float64
	Until string // last day it holds, YYYY-MM-DD in UTC, or ""
	From  Position

	rulePos Position
	past    bool
}

// boxSlack is how far a finding may stick out of a waiver's box, in mm: the side of a
// cell that layers are filled with, so that a box written from the drawing holds what
// was found on cells that reach a little past it.
const boxSlack = 0.1

// waiverKeys is the table of one waiver.
var waiverKeys = []key[*Waiver]{
	{"path", "glob of the models that it speaks of", aGlob, func(d *decoder, n *yaml.Node, w *Waiver) {
		if t, ok := d.glob(n, "path"); ok {
			w.Path = t.value
		}
	}},
	{"rule", "the rule whose findings are accepted", aWord, func(d *decoder, n *yaml.Node, w *Waiver) {
		if t, ok := d.words(n, "rule"); ok {
			w.Rule, w.rulePos = t.value, t.pos()
		}
	}},
	textKey("reason", "why", func(w *Waiver) *string { return &w.Reason }),
	textKey("part", "only this part of a file with several", func(w *Waiver) *string { return &w.Part }),
	{"box", "only findings wholly inside: two corners in mm in the file's own frame", twoCorners, readBox},
	{"until", "last day it holds, as YYYY-MM-DD; days begin and end in UTC", aDay, func(d *decoder, n *yaml.Node, w *Waiver) {
		if _, err := time.Parse(time.DateOnly, n.Value); err != nil || n.Kind != yaml.ScalarNode {
			d.add(d.pos(n), "until must be a day written YYYY-MM-DD, such as 2027-03-01")
			return
		}
		w.Until = n.Value
	}},
}

func readBox(d *decoder, n *yaml.Node, w *Waiver) {
	if n.Kind != yaml.SequenceNode || len(n.Content) != 2 {
		d.add(d.pos(n), "box must be two corners: [[x, y, z], [x, y, z]]")
		return
	}
	var box [2][3]float64
	for i, corner := range n.Content {
		var ok bool
		if box[i], ok = d.triple(corner, "a corner of box", d.mm); !ok {
			return
		}
	}
	for axis := range 3 {
		box[0][axis], box[1][axis] = min(box[0][axis], box[1][axis]), max(box[0][axis], box[1][axis])
	}
	w.Box = &box
}

func readWaivers(d *decoder, n *yaml.Node, l *document) {
	d.items(n, "waivers", func(item *yaml.Node) {
		w := &Waiver{From: d.pos(item)}
		before := len(d.list)
		mapping(d, item, "a waiver", waiverKeys, w)
		if len(d.list) > before {
			return
		}
		for _, need := range []struct{ name, value string }{{"path", w.Path}, {"rule", w.Rule}, {"reason", w.Reason}} {
			if need.value == "" {
				d.add(w.From, "a waiver needs a %s", need.name)
			}
		}
		l.main.waivers = append(l.main.waivers, w)
	})
}

// covers says whether the waiver speaks of such a finding.
func (w *Waiver) covers(path, part, rule string, box [2][3]float64) bool {
	if w.past || w.Rule != rule || w.Part != "" && w.Part != part || !pathname.Match(w.Path, path) {
		return false
	}
	if w.Box == nil {
		return true
	}
	for axis := range 3 {
		if box[0][axis] < w.Box[0][axis]-boxSlack || box[1][axis] > w.Box[1][axis]+boxSlack {
			return false
		}
	}
	return true
}

// Waiver finds the first waiver that accepts a finding, or returns nil. A finding that is
// only supposed uses none up.
func (c *Config) Waiver(path, part, rule string, box [2][3]float64) *Waiver {
	if i := c.waiver(path, part, rule, box); i >= 0 {
		return c.Waivers[i]
	}
	return nil
}

func (c *Config) waiver(path, part, rule string, box [2][3]float64) int {
	return slices.IndexFunc(c.Waivers, func(w *Waiver) bool { return w.covers(path, part, rule, box) })
}
