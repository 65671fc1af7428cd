package schema

import (
	"reflect"
	"slices"
	"strconv"
	"strings"
)

// Says reports whether the visit, written as JSON, has a value at steps, unescaped
// as in [Pointer]. What [Lookup] finds in what a record holds this finds in what was
// read of it.
func (v *Visit) Says(steps []string) bool { return says(reflect.ValueOf(v).Elem(), steps) }

func says(v reflect.Value, steps []string) bool {
	for v.Kind() == reflect.Pointer {
		if v.IsNil() {
			return len(steps) == 0 // null is a value, which has none within
		}
		v = v.Elem()
	}
	if len(steps) == 0 {
		return true
	}
	switch v.Kind() {
	case reflect.Struct:
		member, ok := written(v, steps[0])
		return ok && says(member, steps[1:])
	case reflect.Map:
		member := v.MapIndex(reflect.ValueOf(steps[0]).Convert(v.Type().Key()))
		return member.IsValid() && says(member, steps[1:])
	case reflect.Slice, reflect.Array:
		i, err := strconv.Atoi(steps[0])
		return err == nil && i >= 0 && i < v.Len() && says(v.Index(i), steps[1:])
	}
	return false // a text, number or answer
}

// written finds the field of a name; ok is false where it is left out, being empty.
func written(v reflect.Value, name string) (field reflect.Value, ok bool) {
	for i := range v.NumField() {
		t := v.Type().Field(i)
		if t.Anonymous {
			if field, ok = written(v.Field(i), name); ok {
				return field, true
			}
			continue
		}
		own, options, _ := strings.Cut(t.Tag.Get("json"), ",")
		if own == name {
			return v.Field(i), !leftOut(v.Field(i), strings.Split(options, ","))
		}
	}
	return field, false
}

// leftOut reports whether JSON leaves a field out that has such options.
func leftOut(v reflect.Value, options []string) bool {
	if slices.Contains(options, "omitzero") && v.IsZero() {
		return true
	}
	if !slices.Contains(options, "omitempty") {
		return false
	}
	switch v.Kind() {
	case reflect.Map, reflect.Slice, reflect.Array, reflect.String:
		return v.Len() == 0
	case reflect.Struct:
		return false
	}
	return v.IsZero()
}
