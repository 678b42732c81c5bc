package finding

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"sync"
)

// MeasureValues is the whole-model values of one measure.
type MeasureValues struct {
	Name   string
	Values Values
}

// Measures are the values of the whole model, by measure, in the order of the catalogue. A
// report of many models holds little else: so only the numbers are kept for each model, and
// the names and units once for all models that have the same.
type Measures struct {
	shape   *[]MeasureValues // whose numbers are all 0; nil for none
	numbers []float64
}

// shapes are the lists of names and units that were met, by their text.
var shapes sync.Map

// MeasuresOf keeps the values of a model.
func MeasuresOf(list []MeasureValues) Measures {
	if len(list) == 0 {
		return Measures{}
	}
	var key []byte
	count := 0
	for i := range list {
		key = fmt.Appendf(key, "%q:", list[i].Name)
		for k := range list[i].Values {
			n := &list[i].Values[k]
			key = fmt.Appendf(key, "%q %q,", n.Name, n.Unit)
		}
		count += len(list[i].Values)
	}
	m := Measures{numbers: make([]float64, 0, count)}
	for i := range list {
		for k := range list[i].Values {
			m.numbers = append(m.numbers, list[i].Values[k].Value)
		}
	}
	shape, known := shapes.Load(string(key))
	if !known {
		own := copied(list)
		for i := range own {
			for k := range own[i].Values {
				own[i].Values[k].Value = 0
			}
		}
		shape, _ = shapes.LoadOrStore(string(key), &own)
	}
	m.shape = shape.(*[]MeasureValues)
	return m
}

// All lists the values, which the caller may change.
func (m Measures) All() []MeasureValues {
	if m.shape == nil {
		return nil
	}
	list, at := copied(*m.shape), 0
	for i := range list {
		for k := range list[i].Values {
			list[i].Values[k].Value = m.numbers[at]
			at++
		}
	}
	return list
}

func copied(list []MeasureValues) []MeasureValues {
	list = slices.Clone(list)
	for i := range list {
		list[i].Values = slices.Clone(list[i].Values)
	}
	return list
}

// MarshalJSON writes the measures as an object in their own order.
func (m Measures) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	b.WriteByte('{')
	for i, n := range m.All() {
		if i > 0 {
			b.WriteByte(',')
		}
		value, err := n.Values.MarshalJSON()
		if err != nil {
			return nil, fmt.Errorf("measure %s: %w", n.Name, err)
		}
		b.Write(quoted(n.Name))
		b.WriteByte(':')
		b.Write(value)
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}

// UnmarshalJSON reads an object of measures, keeping their order.
func (m *Measures) UnmarshalJSON(data []byte) error {
	d := json.NewDecoder(bytes.NewReader(data))
	if t, err := d.Token(); err != nil || t != json.Delim('{') {
		return fmt.Errorf("measures must be an object")
	}
	var list []MeasureValues
	for d.More() {
		name, err := d.Token()
		if err != nil {
			return err
		}
		var v Values
		if err := d.Decode(&v); err != nil {
			return err
		}
		list = append(list, MeasureValues{Name: name.(string), Values: v})
	}
	*m = MeasuresOf(list)
	return nil
}
