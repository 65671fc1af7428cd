package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"setline.example/schema"
	"setline.example/schema/intake"
)

// How a call names a visit of a record, and a place in a room.

// visit finds the visit that a flag names by its date, or by its number in time
// order as the report counts them, and gives its position in the record.
func (e *edit) visit(flag, text string) (int, error) {
	order := e.rec.Measured.VisitsInTime()
	var on []string
	at := -1
	for k, i := range order {
		if v := &e.rec.Measured.Visits[i]; string(v.Date) == text {
			at = i
			on = append(on, strconv.Itoa(k+1))
		}
	}
	n, err := strconv.Atoi(text)
	switch {
	case len(on) == 1:
		return at, nil
	case len(on) > 1:
		return 0, hinted{fmt.Errorf("%s: %s: found %s, on which there were visits %s, expected one of them", e.path, flag, text, strings.Join(on, ", ")),
			fmt.Sprintf("name it by its number, such as %s %s", flag, on[len(on)-1])}
	case err == nil && n >= 1 && n <= len(order):
		return order[n-1], nil
	}
	return 0, hinted{fmt.Errorf("%s: %s: found %q, expected a visit by its date or number: %s", e.path, flag, text, e.visitWords(order)), ""}
}

// visitWords lists visits by their numbers.
func (e *edit) visitWords(order []int) string {
	const most = 12
	if len(order) == 0 {
		return "the record has none yet"
	}
	var words []string
	for k, i := range order {
		words = append(words, fmt.Sprintf("%d (%s)", k+1, e.rec.Measured.Visits[i].Date))
	}
	if more := len(words) - most; more > 0 {
		words = append(words[:most], fmt.Sprintf("%d more", more))
	}
	return strings.Join(words, ", ")
}

// room splits a place such as "S-104/A3" into its room and what of it is meant,
// "" for the room as a whole.
func (e *edit) room(flag, place string) (room, of string, err error) {
	room, of, _ = strings.Cut(place, "/")
	var names []string
	for _, r := range e.rec.Planned.Rooms {
		names = append(names, r.Name)
	}
	if slices.Contains(names, room) {
		return room, of, nil
	}
	mend := `name it as the report does, such as "S-104/A3"`
	near := schema.Nearest(room, names)
	switch {
	case len(names) == 1 && of == "":
		near = names[0] + "/" + place
	case near != "" && of != "":
		near += "/" + of
	}
	if near != "" {
		mend = fmt.Sprintf("write %q if that is meant", near)
	}
	return "", "", hinted{fmt.Errorf("%s: %s: found %q, expected a place that begins with a room: %s", e.path, flag, place, strings.Join(names, ", ")), mend}
}

// elevationAt is an elevation of a room.
type elevationAt struct{ room, name string }

// elevations are those that places name: one by its room and name, all of a room
// by the room alone.
func (e *edit) elevations(flag string, places []string) (all []elevationAt, err error) {
	for _, place := range places {
		room, of, err := e.room(flag, place)
		if err != nil {
			return nil, err
		}
		named := []string{of}
		if of == "" {
			named = e.elevationsOf(room)
		}
		for _, name := range named {
			if at := (elevationAt{room, name}); !slices.Contains(all, at) {
				all = append(all, at)
			}
		}
	}
	return all, nil
}

// elevationsOf names those of a room.
func (e *edit) elevationsOf(room string) (names []string) {
	i := slices.IndexFunc(e.rec.Planned.Rooms, func(r schema.Room) bool { return r.Name == room })
	for _, planned := range e.rec.Planned.Rooms[i].Elevations {
		names = append(names, planned.Name)
	}
	return names
}

// dated refuses what is no calendar date.
func dated(flag, text string) (schema.Date, error) {
	if !intake.IsDate(text) {
		return "", hinted{fmt.Errorf("%s: found %q, expected a calendar date written YYYY-MM-DD", flag, text), "write it like 2026-09-14"}
	}
	return schema.Date(text), nil
}
