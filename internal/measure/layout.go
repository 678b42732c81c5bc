package measure

import (
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"unsafe"

	"printlint/internal/catalog"
)

// layout is how the fields of a struct of values are named and where they lie. It is read
// once from the type, when the program starts; what is wrong in a tag panics there.
//
// A field is a float64, an int or a bool (which has the unit bool by itself), and its tags
// are
//
//	measure:"NAME,UNIT,signed" doc:"WHAT IT IS" default:"45" sample:"80"
//
// Without a unit it is a bare number; signed says that it may lie below 0; only parameters
// have a default; a sample is a usual figure where something is wrong, for examples;
// needs:"price" names a figure of the process without which the value says nothing. The fields of an embedded struct stand in its place.
type layout struct {
	values   []catalog.Value // in the order of the fields
	defaults []float64
	fields   []field
}

// field is one value in a struct.
type field struct {
	offset uintptr
	kind   reflect.Kind
}

// layoutOf reads the tags of a struct type.
func layoutOf[T any]() *layout {
	l := new(layout)
	l.read(reflect.TypeFor[T](), 0)
	return l
}

func (l *layout) read(t reflect.Type, base uintptr) {
	for i := range t.NumField() {
		f := t.Field(i)
		if f.Anonymous {
			l.read(f.Type, base+f.Offset)
			continue
		}
		if err := l.add(&f, base+f.Offset); err != nil {
			panic(fmt.Sprintf("%v.%s: %v", t, f.Name, err))
		}
	}
}

func (l *layout) add(f *reflect.StructField, offset uintptr) error {
	words := strings.Split(f.Tag.Get("measure"), ",")
	v := catalog.Value{Name: words[0], Doc: f.Tag.Get("doc"), Needs: f.Tag.Get("needs")}
	for _, word := range words[1:] {
		if word == "signed" {
			v.Signed = true
		} else if unit, ok := catalog.Spelled(word); ok && string(unit.Unit) == word {
			v.Unit = unit.Unit
		} else {
			return fmt.Errorf("%q is no unit", word)
		}
	}
	kind := f.Type.Kind()
	if kind == reflect.Bool {
		v.Unit = catalog.Bool
	} else if kind != reflect.Float64 && kind != reflect.Int {
		return fmt.Errorf("a %v is no value", f.Type)
	}
	if v.Name == "" || v.Doc == "" {
		return fmt.Errorf("it has no name or no doc")
	}
	if slices.ContainsFunc(l.values, func(w catalog.Value) bool { return w.Name == v.Name }) {
		return fmt.Errorf("another value is called %s", v.Name)
	}
	standard, err := figure(f, "default")
	if err != nil {
		return err
	}
	if v.Sample, err = figure(f, "sample"); err != nil {
		return err
	}
	l.values, l.defaults, l.fields = append(l.values, v), append(l.defaults, standard), append(l.fields, field{offset, kind})
	return nil
}

// figure reads a tag that holds a number; 0 where there is none.
func figure(f *reflect.StructField, tag string) (float64, error) {
	text, ok := f.Tag.Lookup(tag)
	if !ok {
		return 0, nil
	}
	return strconv.ParseFloat(text, 64)
}

// params are the values as parameters of a measure.
func (l *layout) params() []catalog.Param {
	list := make([]catalog.Param, len(l.values))
	for i, v := range l.values {
		list[i] = catalog.Param{Name: v.Name, Unit: v.Unit, Doc: v.Doc, Default: l.defaults[i]}
	}
	return list
}

// flatten appends the values of a struct that l was read from to a list.
func flatten[T any](list []float64, l *layout, from *T) []float64 {
	for _, f := range l.fields {
		switch at := unsafe.Add(unsafe.Pointer(from), f.offset); f.kind {
		case reflect.Int:
			list = append(list, float64(*(*int)(at)))
		case reflect.Bool:
			list = append(list, truth(*(*bool)(at)))
		default:
			list = append(list, *(*float64)(at))
		}
	}
	return list
}

// gather is the struct of a list that flatten made.
func gather[T any](l *layout, list []float64) (out T) {
	for i, f := range l.fields {
		switch at := unsafe.Add(unsafe.Pointer(&out), f.offset); f.kind {
		case reflect.Int:
			*(*int)(at) = int(list[i])
		case reflect.Bool:
			*(*bool)(at) = list[i] != 0
		default:
			*(*float64)(at) = list[i]
		}
	}
	return out
}

// truth carries a condition as a number.
func truth(yes bool) float64 {
	if yes {
		return 1
	}
	return 0
}
