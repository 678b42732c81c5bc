package ruleset

import (
	"fmt"
	"hash"
	"math"
	"slices"
	"strings"

	"gopkg.in/yaml.v3"
)

// Lay is how models are laid on the bed.
type Lay struct {
	// Free says that files lie as they were drawn: whoever prints one turns it as it prints
	// best.
	Free bool
	// Down is the direction in the model's own frame that points at the bed, of length 1; all
	// zero where models are printed as they lie.
	Down [3]float64
}

// AsItLies says that models are printed as they lie.
func (l Lay) AsItLies() bool { return l == Lay{} }

// The ways to lay a model that have a name: the side named goes on the bed.
var (
	layNames = []string{"as-it-lies", "free", "bottom", "top", "front", "back", "left", "right"}
	laySides = map[string][3]float64{
		"top": {0, 0, 1}, "front": {0, -1, 0}, "back": {0, 1, 0}, "left": {-1, 0, 0}, "right": {1, 0, 0},
	}
)

// intent is what is meant with models beyond their shape; nil where a file does not say.
type intent struct {
	lay     *Lay
	support *bool
}

// over lays what another says over it.
func (i intent) over(v *View) {
	if i.lay != nil {
		v.Lay = *i.lay
	}
	if i.support != nil {
		v.Supported = *i.support
	}
}

func (i intent) digest(h hash.Hash) {
	if i.lay != nil {
		fmt.Fprintf(h, "lay %v\n", *i.lay)
	}
	if i.support != nil {
		fmt.Fprintf(h, "support %v\n", *i.support)
	}
}

// intentKeys are the keys for it, where part finds it.
func intentKeys[T any](where string, part func(T) *intent) []key[T] {
	return []key[T]{
		{"lay", "which way up models are printed" + where + ": " + strings.Join(layNames, ", ") + " (the side that goes on the bed), or the direction that points at the bed as x, y, z", aLay,
			func(d *decoder, n *yaml.Node, into T) { part(into).lay = d.lay(n) }},
		{"support", "whether models" + where + " are meant to be printed with support: what support carries is a note then", aBool,
			func(d *decoder, n *yaml.Node, into T) { part(into).support = d.yes(n, "support") }},
	}
}

func aLay(*schema) object {
	number := object{"type": "number"}
	return object{"oneOf": []object{{"enum": layNames}, {"type": "array", "items": number, "minItems": 3, "maxItems": 3}}}
}

func aBool(*schema) object { return object{"type": "boolean"} }

// lay reads a way to lay models; nil where it is none.
func (d *decoder) lay(n *yaml.Node) *Lay {
	if n.Kind == yaml.SequenceNode {
		down, ok := d.direction(n)
		long := math.Sqrt(float64(down[0]*down[0]) + float64(down[1]*down[1]) + float64(down[2]*down[2]))
		if ok && !(long > 1e-9 && long < 1e9) {
			d.add(d.pos(n), "lay as a direction must not be 0, 0, 0")
			ok = false
		}
		if !ok {
			return nil
		}
		for i := range down {
			down[i] /= long
		}
		return laid(down)
	}
	t, ok := d.words(n, "lay")
	switch {
	case !ok:
		return nil
	case t.value == "free":
		return &Lay{Free: true}
	case !slices.Contains(layNames, t.value):
		d.add(t.pos(), "lay is one of %s, or a direction such as [0, 0, 1]; not %q", strings.Join(layNames, ", "), t.value)
		return nil
	}
	return laid(laySides[t.value])
}

// direction reads three numbers without units.
func (d *decoder) direction(n *yaml.Node) (down [3]float64, ok bool) {
	if len(n.Content) != len(down) {
		d.add(d.pos(n), "lay as a direction is three numbers: x, y, z, such as [0, 0, 1]")
		return down, false
	}
	for i, item := range n.Content {
		x, tag := &down[i], item.Tag
		if tag != "!!int" && tag != "!!float" || item.Decode(x) != nil || math.IsInf(*x, 0) || math.IsNaN(*x) {
			d.add(d.pos(item), "lay as a direction is three numbers without units, not %s", item.Value)
			return down, false
		}
	}
	return down, true
}

// laid is the way with a direction down; straight down is as it lies.
func laid(down [3]float64) *Lay {
	if down == [3]float64{0, 0, -1} {
		down = [3]float64{}
	}
	return &Lay{Down: down}
}

// yes reads true or false; nil where it is neither.
func (d *decoder) yes(n *yaml.Node, what string) *bool {
	var b bool
	if n.Kind != yaml.ScalarNode || n.Tag != "!!bool" || n.Decode(&b) != nil {
		d.add(d.pos(n), "%s is true or false, not %q", what, n.Value)
		return nil
	}
	return &b
}
