package main

import (
	"fmt"
	"slices"
	"strings"

	"setline.example/schema"
)

// askedRoom is the room that --room names. A name that no record has must not
// look like a room in which nothing is left to do.
type askedRoom struct {
	name  string // "" for all rooms
	there bool   // some record has it
	known []string
}

// look takes in the rooms of a record that was checked.
func (a *askedRoom) look(c checked) {
	if a.name == "" || a.there {
		return
	}
	a.there = slices.Contains(c.rooms, a.name)
	for _, name := range c.rooms {
		if !slices.Contains(a.known, name) && len(a.known) < 100 {
			a.known = append(a.known, name)
		}
	}
}

// missing is the error where no record has the room.
func (a *askedRoom) missing() error {
	if a.name == "" || a.there {
		return nil
	}
	few := schema.NearestFew(a.name, a.known, 5)
	err := fmt.Errorf("found --room %q, expected a room that is planned, such as %s", a.name, strings.Join(few, ", "))
	if near := schema.Nearest(a.name, a.known); near != "" {
		return hinted{err, fmt.Sprintf("write %q if that is meant", near)}
	}
	return hinted{err, "write it as the record has it"}
}
