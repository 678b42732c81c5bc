package finding

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"strconv"
	"unique"
)

// Named is one value with its name and unit.
type Named struct {
	Name  string
	Unit  string // as in the catalogue; "bool" prints true or false
	Value float64
}

// Values is an object whose fields keep the order of the catalogue.
type Values []Named

// Get returns the value of that name.
func (v Values) Get(name string) (float64, bool) {
	for _, n := range v {
		if n.Name == name {
			return n.Value, true
		}
	}
	return 0, false
}

// MarshalJSON writes the values as an object in their own order, rounded as Round does.
// JSON has no infinity: a value without end is null.
func (v Values) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	b.WriteByte('{')
	for i, n := range v {
		if i > 0 {
			b.WriteByte(',')
		}
		b.Write(quoted(n.Name))
		b.WriteByte(':')
		switch {
		case n.Unit == "bool":
			b.WriteString(strconv.FormatBool(n.Value != 0))
		case math.IsInf(n.Value, 1):
			b.WriteString("null")
		case math.IsNaN(n.Value) || math.IsInf(n.Value, -1):
			return nil, fmt.Errorf("value %s is not a number", n.Name)
		default:
			b.WriteString(strconv.FormatFloat(Round(n.Value), 'f', -1, 64))
		}
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}

// quoted is a name as JSON: one that was read from a stranger's report may hold anything.
func quoted(name string) []byte {
	text, _ := json.Marshal(name) // of a string, which cannot fail
	return text
}

// UnmarshalJSON reads an object, keeping the order of its fields.
func (v *Values) UnmarshalJSON(data []byte) error {
	d := json.NewDecoder(bytes.NewReader(data))
	if t, err := d.Token(); err != nil || t != json.Delim('{') {
		return fmt.Errorf("values must be an object")
	}
	*v = Values{}
	for d.More() {
		name, err := d.Token()
		if err != nil {
			return err
		}
		value, err := d.Token()
		if err != nil {
			return err
		}
		n := Named{Name: unique.Make(name.(string)).Value()}
		switch x := value.(type) {
		case bool:
			n.Unit = "bool"
			if x {
				n.Value = 1
			}
		case float64:
			n.Value = x
		case nil:
			n.Value = math.Inf(1)
		default:
			return fmt.Errorf("value %s must be a number or true or false", n.Name)
		}
		*v = append(*v, n)
	}
	return nil
}

// Round cuts a value to what a report carries: four decimals, which is a tenth of a micron,
// and seven below a tenth, so that the size of a model that was drawn in metres and read
// as millimetres still tells what it was meant to be. -0 becomes 0.
func Round(x float64) float64 {
	if math.Abs(x) < 0.1 {
		return cut(x, 1e7)
	}
	return cut(x, 1e4)
}

// RoundPlace cuts a coordinate to the four decimals a report carries; -0 becomes 0.
func RoundPlace(x float64) float64 { return cut(x, 1e4) }

func cut(x, digits float64) float64 {
	r := math.Round(x*digits) / digits
	if r == 0 {
		return 0
	}
	return r
}
