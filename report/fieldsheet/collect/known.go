package collect

import (
	"encoding/json"
	"reflect"
	"slices"

	"setline.example/schema"
)

// known reports whether a visit of the record says all of this already: it is
// of the same day and people, and holds every value.
func (v *visit) known(rec *schema.Record) (int, bool) {
	if !slices.ContainsFunc(rec.Measured.Visits, func(old schema.Visit) bool { return string(old.Date) == v.date }) {
		return 0, false // as most often
	}
	data, err := v.json(0)
	if err != nil {
		return 0, false
	}
	var own schema.Visit
	if json.Unmarshal(data, &own) != nil {
		return 0, false // the record's reader says what is wrong
	}
	return knownAs(rec, &own)
}

// knownAs finds the visit of the record that holds all of one.
func knownAs(rec *schema.Record, own *schema.Visit) (int, bool) {
	var mine any
	for i := range rec.Measured.Visits {
		old := &rec.Measured.Visits[i]
		if old.Date != own.Date || !reflect.DeepEqual(old.People, own.People) {
			continue
		}
		if mine == nil {
			mine = tree(own)
		}
		if holds("", tree(old), mine) {
			return i, true
		}
	}
	return 0, false
}

func tree(v *schema.Visit) any {
	data, err := json.Marshal(v)
	if err != nil {
		return nil
	}
	var t any
	if json.Unmarshal(data, &t) != nil {
		return nil
	}
	return t
}

// holds reports whether every value of part stands in whole too, both at one place
// of a visit.
func holds(at string, whole, part any) bool {
	p, ok := part.(map[string]any)
	if !ok {
		return holdsValue(at, whole, part)
	}
	w, ok := whole.(map[string]any)
	if !ok {
		return false
	}
	for name, v := range p {
		if other, there := w[name]; !there || !holds(schema.Pointer(at, name), other, v) {
			return false
		}
	}
	return true
}

func holdsValue(at string, whole, part any) bool {
	return reflect.DeepEqual(whole, part) || whole != nil && len(differingValue(at, whole, part)) == 0
}
