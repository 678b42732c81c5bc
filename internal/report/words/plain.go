package words

import (
	"reflect"

	"printlint/internal/finding"
)

// Plain returns a copy of a report in which every text is Safe, for formats that show
// nearly all of it. Only the units of rules, which no format shows, are left as they are
// and shared with the report.
func Plain(r *finding.Report) *finding.Report {
	out := *r
	plain(reflect.ValueOf(&out).Elem())
	return &out
}

// plain makes a value of our own plain, whatever it refers to first copied.
func plain(v reflect.Value) {
	switch v.Kind() {
	case reflect.String:
		v.SetString(Safe(v.String()))
	case reflect.Struct:
		if m, ok := v.Addr().Interface().(*finding.Measures); ok {
			list := m.All()
			plain(reflect.ValueOf(&list).Elem())
			*m = finding.MeasuresOf(list)
			return
		}
		for i := range v.NumField() {
			plain(v.Field(i))
		}
	case reflect.Pointer:
		if !v.IsNil() {
			own := reflect.New(v.Type().Elem())
			own.Elem().Set(v.Elem())
			v.Set(own)
			plain(own.Elem())
		}
	case reflect.Slice:
		if !v.IsNil() {
			v.Set(reflect.AppendSlice(reflect.MakeSlice(v.Type(), 0, v.Len()), v))
			for i := range v.Len() {
				plain(v.Index(i))
			}
		}
	}
}
