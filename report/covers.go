package report

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/schema"
	"setline.example/schema/plaintext"
)

// Coverage is which rooms of a job a report hands over. Nil is all of them. The
// answer of a report that hands over some says so in the same breath, on every
// page: it must not be taken for the answer of the job.
type Coverage struct {
	Rooms  []string // handed over, as planned and in the order of the plan
	Others []string // that the job has too
}

// ErrRooms is wrapped by the errors of [Cover].
var ErrRooms = errors.New("found a room that is not planned")

// Cover returns the coverage of the rooms of a record by their names, nil where
// these are all that there are, or where none is named.
func Cover(rec *schema.Record, names []string) (*Coverage, error) {
	if len(names) == 0 {
		return nil, nil
	}
	c := &Coverage{}
	for _, r := range rec.Planned.Rooms {
		if slices.Contains(names, r.Name) {
			c.Rooms = append(c.Rooms, r.Name)
		} else {
			c.Others = append(c.Others, r.Name)
		}
	}
	for _, name := range names {
		if !slices.Contains(c.Rooms, name) {
			return nil, fmt.Errorf("%w, %q, expected one of %s", ErrRooms, plaintext.Cut(name, 80), plaintext.Cut(strings.Join(c.Others, ", "), 200))
		}
	}
	if len(c.Others) == 0 {
		return nil, nil
	}
	return c, nil
}

// has reports whether the report speaks of a room; "" stands for the job, of
// which every report speaks.
func (c *Coverage) has(room string) bool {
	return c == nil || room == "" || slices.Contains(c.Rooms, room)
}

// speaksOf reports whether it speaks of what changed in a plan: "S-104", "S-104/A3",
// or what is of no room.
func (c *Coverage) speaksOf(what string) bool {
	return c == nil || !slices.Contains(c.Others, schema.RoomOf(what))
}

// hasVisit reports whether a visit, withdrawn or not, looked at a room handed over.
func (c *Coverage) hasVisit(v *schema.Visit) bool {
	return c == nil || slices.ContainsFunc(c.Rooms, func(room string) bool { _, ok := v.Rooms[room]; return ok })
}

// hasCorrection reports whether what was corrected at a place of a visit is of a
// room handed over, or of none.
func (c *Coverage) hasCorrection(at string) bool {
	steps := schema.Steps(at)
	return c == nil || len(steps) < 2 || steps[0] != "rooms" && steps[0] != "former" || c.has(steps[1])
}

// ready reports whether every room that is handed over is ready.
func (c *Coverage) ready(found *checks.Findings) bool {
	return !slices.ContainsFunc(found.Rooms, func(v checks.Verdict) bool { return c.has(v.Room.Name) && !v.Ready })
}

// answer is the answer of a report in words.
func (c *Coverage) answer(ready bool) say.Text {
	word := say.Words(notReadyWords)
	if ready {
		word = readyWords
	}
	if c == nil {
		return word.Text()
	}
	return say.That("%[1]s OF %[2]s ROOMS ONLY: %[3]s", len(c.Rooms), len(c.Rooms)+len(c.Others), word)
}

// Answer is what the first page says in large letters.
func (c *Coverage) Answer(ready bool) string { return say.Writer{}.Text(c.answer(ready)) }

// says tells which rooms are handed over and which are not.
func (c *Coverage) says() say.Text {
	if c == nil {
		return say.Text{}
	}
	return say.That("This report hands over %[1]s, and nothing else. The job also has %[2]s, of which it says nothing.", roomNames(c.Rooms), roomNames(c.Others))
}

func roomNames(rooms []string) say.Text {
	all := make([]say.Text, len(rooms))
	for i, r := range rooms {
		all[i] = say.Name(r).Text()
	}
	return say.And(all...)
}

// covered are the names as results carry them.
func (c *Coverage) covered() []string {
	if c == nil {
		return nil
	}
	return c.Rooms
}

// plainName is a name that a shell takes as it is between quotes, and Markdown as code.
var plainName = regexp.MustCompile(`^[\pL\pN ._/+-]+$`)

// flags are those of the command that makes the report again.
func (c *Coverage) flags() (all Words) {
	for _, name := range c.covered() {
		if !plainName.MatchString(name) {
			name = "…"
		}
		all += Words(` --room "` + name + `"`)
	}
	return all
}
