package collect

import (
	"cmp"
	"encoding/json"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"setline.example/schema"
	"setline.example/schema/length"
)

// Of some lists of a visit a sheet says some elements, and leaves the others as
// they are: what is said of all, each by what it is said of; readings of a line of
// the floor, by their places; photographs, and remarks. Any other list is one answer.

// keyOf gives what tells the elements of the list at a place of a visit from each
// other, nil where the list is one answer.
func keyOf(at string, whole []any) func(element any) string {
	switch s := schema.Steps(at); {
	case len(s) == 3 && s[0] == "rooms" && s[2] == "photos":
		return func(e any) string { return member(e, "file") + "\n" + member(e, "of") }
	case len(s) == 3 && s[0] == "rooms" && s[2] == "remarks":
		if len(whole) == 1 { // a sheet has one box for them
			return func(any) string { return "" }
		}
		return func(e any) string { text, _ := e.(string); return text }
	case len(s) == 5 && s[2] == "elevations" && s[4] == "all":
		return func(e any) string { return member(e, "of") }
	case isFloor(s):
		return func(e any) string { return strconv.FormatInt(int64(placeOf(e)), 10) }
	}
	return nil
}

// isFloor reports whether the way through a visit leads to a line of the floor.
func isFloor(s []string) bool { return len(s) == 6 && s[2] == "elevations" && s[4] == "floor" }

func member(element any, name string) string {
	o, _ := element.(map[string]any)
	s, _ := o[name].(string)
	return s
}

// placeOf is where a floor reading stands along its line.
func placeOf(reading any) length.Length {
	pair, ok := reading.([]any)
	if !ok || len(pair) == 0 {
		return 0
	}
	s, _ := pair[0].(string)
	at, _ := length.Parse(s) // it has been read before
	return at
}

// joined is a list with what a sheet says of it.
type joined struct {
	list      []any // of both
	says, has []any // elements that the sheet has otherwise, and what the record has there
	added     []any // elements that the record has not
}

func (j *joined) same() bool { return j.says == nil && j.added == nil }

// join puts the elements that a sheet has into a list of the record.
func join(whole, part []any, key func(any) string) joined {
	j := joined{list: slices.Clone(whole)}
	for _, e := range part {
		i := slices.IndexFunc(j.list, func(old any) bool { return key(old) == key(e) })
		switch {
		case i < 0:
			j.list, j.added = append(j.list, e), append(j.added, e)
		case !reflect.DeepEqual(j.list[i], e):
			j.says, j.has = append(j.says, e), append(j.has, j.list[i])
			j.list[i] = e
		}
	}
	return j
}

// inOrder puts readings in order from the left.
func inOrder(readings []any) {
	slices.SortStableFunc(readings, func(a, b any) int { return cmp.Compare(placeOf(a), placeOf(b)) })
}

// keptBeside says which readings of a line stay though a corrected sheet has none
// there and has others: whether one of them was read elsewhere nobody can tell. It
// is "" where there are none.
func keptBeside(at string, list, part, added []any) string {
	kept, fresh := placesOf(list, part), placesOf(added, nil)
	if len(added) == 0 || len(kept) == 0 {
		return ""
	}
	s := schema.Steps(at)
	line := strings.Join([]string{s[1], s[3], s[4], s[5]}, "/")
	return fmt.Sprintf(`%s: kept what was read at %s, of which the sheet says nothing; where that was read at %s instead, take it out: "setline correct --at %s/N --remove", N counted from 0`,
		line, some(kept), some(fresh), line)
}

// placesOf are the places of readings that are not among others.
func placesOf(readings, others []any) (places []string) {
	for _, r := range readings {
		if !slices.ContainsFunc(others, func(o any) bool { return placeOf(o) == placeOf(r) }) {
			places = append(places, r.([]any)[0].(string))
		}
	}
	return places
}

func some(places []string) string {
	const most = 3
	if more := len(places) - most; more > 0 {
		return strings.Join(places[:most], ", ") + fmt.Sprintf(" and %d more", more)
	}
	return strings.Join(places, ", ")
}

// onSheet is the way to a value as a sheet has it: whole is the visit as the record
// has it, in whose lists what others said may stand beside; nil where it is this
// sheet's alone. It is false where the sheet says nothing of it.
func (v *visit) onSheet(whole any, pointer string) (string, bool) {
	if whole == nil {
		return pointer, true
	}
	data, err := v.json(0)
	var own any
	if err != nil || json.Unmarshal(data, &own) != nil {
		return pointer, true // the record's reader says what is wrong
	}
	at := ""
	for _, s := range schema.Steps(pointer) {
		step, ok := s, true
		if list, isList := whole.([]any); isList {
			if step, ok = samePlace(at, list, own, s); !ok {
				return "", false
			}
		}
		whole, own, at = child(whole, s), child(own, step), schema.Pointer(at, step)
	}
	return at, true
}

// samePlace is the step to an element of a list, in the list as a sheet has it.
func samePlace(at string, list []any, own any, step string) (string, bool) {
	i, err := strconv.Atoi(step)
	key := keyOf(at, list)
	if key == nil || err != nil || i >= len(list) {
		return step, true
	}
	mine, _ := own.([]any)
	n := slices.IndexFunc(mine, func(e any) bool { return key(e) == key(list[i]) })
	return strconv.Itoa(n), n >= 0
}

// child is a member of an object, or an element of a list.
func child(value any, step string) any {
	found, _ := schema.Lookup(value, []string{step})
	return found
}
