package words

import (
	"reflect"

	"printlint/internal/finding"
)

// Plain returns a copy of a report in which every text is Safe, for formats that show
// nearly all of it. It shares nothing with the report that could be changed.
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
	case reflect.Map:
		if !v.IsNil() {
			own := reflect.MakeMap(v.Type())
			for _, k := range v.MapKeys() {
				value := reflect.New(v.Type().Elem()).Elem()
				value.Set(v.MapIndex(k))
				plain(value)
				own.SetMapIndex(k, value)
			}
			v.Set(own)
		}
	}
}
