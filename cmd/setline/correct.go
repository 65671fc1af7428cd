package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"
	"setline.example/report/fieldsheet/collect"
	"setline.example/schema"
	"setline.example/schema/amend"
)

// correctsFlags say who took something back or corrected it, when and why.
type correctsFlags struct{ why, by, date, reason string }

func (f *correctsFlags) add(c *cobra.Command, reason string) {
	f.reason = reason
	c.Flags().StringVar(&f.why, reason, "", "why")
	c.Flags().StringVar(&f.by, "by", "", `who says so, "NAME, ROLE, FIRM"`)
	c.Flags().StringVar(&f.date, "date", "", "on what day, YYYY-MM-DD")
}

// correction reads them, nil where nothing is said.
func (f *correctsFlags) correction(c *cobra.Command) (*collect.Correction, error) {
	if f.why+f.by+f.date == "" {
		return nil, nil
	}
	return f.needed(c)
}

func (f *correctsFlags) needed(c *cobra.Command) (*collect.Correction, error) {
	if err := needs(c, f.reason, "by", "date"); err != nil {
		return nil, err
	}
	by, err := person("--by", f.by)
	if err != nil {
		return nil, err
	}
	day, err := dated("--date", f.date)
	return &collect.Correction{By: by, Date: day, Reason: f.why}, err
}

func newWithdraw() *cobra.Command {
	var f correctsFlags
	var visit string
	var undo, backup bool
	c := changing(&cobra.Command{
		Use:   "withdraw FILE --visit VISIT",
		Short: "Take back a visit that should not count",
		Long: `Withdraw takes back a visit as a whole: it was of another room, or its readings
are not to be trusted. The visit stays in the record and in an annex of the
report, with who took it back, when and why. What it saw counts no more and is
told as no fault that ever was; what was conceded for it alone is history.

A visit is named by its date, or by its number where a day had several. With
--undo a visit that was withdrawn counts again; that it did not for a while, and
why, stays in the record too.

Exit codes: 0 the visit is withdrawn, 2 it is not, and the record is as it was;
4 the record was changed, and telling so failed.`,
		Example: `  setline withdraw job.json --visit 2026-09-22 --reason "was in room S-106" --by "Ingrid Sørlie, inspector" --date 2026-09-23
  setline withdraw job.json --visit 3 --reason "laser was dropped that morning" --by "Marek Łuczak" --date 2026-09-23 --backup
  setline withdraw job.json --visit 2026-09-22 --undo --reason "it was the right room" --by "Ingrid Sørlie" --date 2026-09-24`,
	}, &backup, func(c *cobra.Command, e *edit) error {
		if err := needs(c, "visit"); err != nil {
			return err
		}
		said, err := f.needed(c)
		if err != nil {
			return err
		}
		if undo {
			return e.undo(visit, said)
		}
		v, err := e.visit("--visit", visit)
		if err != nil {
			return err
		}
		e.say("the visit of %s is withdrawn", e.rec.Measured.Visits[v].Date)
		at := schema.Pointer("/measured/visits", v, "withdrawn")
		if err := e.add(at, schema.Withdrawn{By: said.By, Date: said.Date, Reason: said.Reason, Entered: e.rec.NextEntry()},
			map[string]string{"": "--visit", "by": "--by", "date": "--date", "reason": "--reason"}); err != nil {
			return err
		}
		return e.retire()
	})
	c.Flags().StringVar(&visit, "visit", "", "visit to take back: its date, or its number")
	c.Flags().BoolVar(&undo, "undo", false, "it counts again; of several that were withdrawn on a day, the place among them is its number")
	f.add(c, "reason")
	return c
}

// undo lets a visit that was withdrawn count again.
func (e *edit) undo(named string, said *collect.Correction) error {
	var withdrawn, fits []int
	for i, v := range e.rec.Measured.Visits {
		if v.Withdrawn != nil {
			withdrawn = append(withdrawn, i)
			if n, err := strconv.Atoi(named); string(v.Date) == named || err == nil && n == len(withdrawn) {
				fits = append(fits, i)
			}
		}
	}
	if len(fits) != 1 {
		var words []string
		for n, i := range withdrawn {
			words = append(words, fmt.Sprintf("%d (%s)", n+1, e.rec.Measured.Visits[i].Date))
		}
		return hinted{fmt.Errorf("%s: --visit: found %q, expected one that is withdrawn, by its date or number: %s", e.path, named, orWord(strings.Join(words, ", "), "there is none")), ""}
	}
	v := &e.rec.Measured.Visits[fits[0]]
	at := schema.Pointer("/measured/visits", fits[0])
	text, err := amend.Remove(e.text, at+"/withdrawn")
	if err != nil {
		return fmt.Errorf("%s: %w", e.path, err)
	}
	e.text = text
	e.say("the visit of %s counts again", v.Date)
	if said.Date < v.Withdrawn.Date {
		return hinted{fmt.Errorf("%s: --date: found %s, expected a day on or after the withdrawal, %s", e.path, said.Date, v.Withdrawn.Date), "correct the date"}
	}
	return e.last(at+"/undone", len(v.Undone), schema.Undone{Withdrawn: *v.Withdrawn, By: said.By, Date: said.Date, Reason: said.Reason, Entered: e.rec.NextEntry()},
		map[string]string{"": "--visit", "by": "--by", "date": "--date", "reason": "--reason"})
}

func newCorrect() *cobra.Command {
	var f correctsFlags
	var visit, at, value string
	var remove, backup bool
	c := changing(&cobra.Command{
		Use:   "correct FILE --visit VISIT --at PLACE --value VALUE",
		Short: "Correct a value that was written down wrong",
		Long: `Correct puts the right value in place of one that a visit wrote down wrong. Both
stay in the record and in an annex of the report, with who corrected it, when and
why. The wrong one is told as no fault that ever was.

A place is the room, the unit, joint or elevation, and what of it, as the field
sheet names its boxes: "S-104/A3/tops/FL", "S-104/A3+A4/gap",
"S-104/A/floor/front/2/1" (the reading, 1, of the third pair, counted from 0). Of
the visit itself: "date", "purpose", "people/0/name", "site/slab_cured",
"instruments/line laser/checked"; "instruments/rule" with the value used says that
it was used.
A value is a length with its unit, yes or no, a number, or a word. --remove takes
out what nobody observed. A sheet that was corrected is read by "setline collect".

Exit codes: 0 the record has the value now, 2 it has not, and is as it was; 4 the
record was changed, and telling so failed.`,
		Example: `  setline correct job.json --visit 2026-09-22 --at S-104/A3/tops/FL --value "9 1/2 in" --reason "read 19 for 9" --by "Ingrid Sørlie" --date 2026-09-23
  setline correct job.json --visit 3 --at S-104/A3/bearing/BR --remove --reason "was not looked at" --by "Ingrid Sørlie" --date 2026-09-23`,
	}, &backup, func(c *cobra.Command, e *edit) error {
		if err := needs(c, "visit", "at"); err != nil {
			return err
		}
		if remove == (value != "") {
			return usage(c, errors.New("found neither one of --value and --remove alone, expected what is right, or that nobody observed it"))
		}
		said, err := f.needed(c)
		if err != nil {
			return err
		}
		v, err := e.visit("--visit", visit)
		if err != nil {
			return err
		}
		way, err := e.seen(at)
		if err != nil {
			return err
		}
		return e.correct(v, way, at, value, said)
	})
	c.Flags().StringVar(&visit, "visit", "", "visit that wrote it down: its date, or its number")
	c.Flags().StringVar(&at, "at", "", "place of the value, such as S-104/A3/tops/FL")
	c.Flags().StringVar(&value, "value", "", "what is right")
	c.Flags().BoolVar(&remove, "remove", false, "nobody observed it: take it out")
	f.add(c, "reason")
	return c
}

// ofVisit are the places of a visit itself.
var ofVisit = []string{"date", "purpose", "people", "instruments", "site"}

func (e *edit) hasRoom(name string) bool {
	return slices.ContainsFunc(e.rec.Planned.Rooms, func(r schema.Room) bool { return r.Name == name })
}

// seen turns a place as people name it into a JSON Pointer within a visit.
func (e *edit) seen(place string) (string, error) {
	if first, _, _ := strings.Cut(place, "/"); slices.Contains(ofVisit, first) && !e.hasRoom(first) {
		var way []any
		for _, s := range strings.Split(place, "/") {
			way = append(way, s)
		}
		return schema.Pointer("", way...), nil
	}
	room, rest, err := e.room("--at", place)
	if err != nil {
		return "", err
	}
	steps := strings.Split(rest, "/")
	kind := e.kindOf(room, steps[0])
	if kind == "" || len(steps) < 2 {
		return "", hinted{fmt.Errorf("%s: --at: found %q, expected a room, a unit, joint or elevation of it, and what of that", e.path, place), `write it like "S-104/A3/tops/FL" or "S-104/A3+A4/gap"`}
	}
	way := []any{room, kind}
	for _, s := range steps {
		way = append(way, s)
	}
	return schema.Pointer("/rooms", way...), nil
}

// kindOf says where a visit has what it saw of a unit, joint or elevation.
func (e *edit) kindOf(room, name string) string {
	if strings.Contains(name, "+") {
		return "joints"
	}
	for _, r := range e.rec.Planned.Rooms {
		for _, el := range r.Elevations {
			for _, u := range el.Units {
				if r.Name != room || u.Tag != name {
					continue
				}
				if _, filler := e.rec.Planned.Fillers[u.Part]; filler {
					return "fillers"
				}
				return "cabinets"
			}
			if r.Name == room && el.Name == name {
				return "elevations"
			}
		}
	}
	return ""
}

// correct changes one value of a visit, "" to take it out, and keeps what it was.
func (e *edit) correct(visit int, way, place, value string, said *collect.Correction) error {
	at := schema.Pointer("/measured/visits", visit)
	was, had := amend.Get(e.text, at+way)
	entry := schema.Correction{At: way, By: said.By, Date: said.Date, Reason: said.Reason, Entered: e.rec.NextEntry()}
	if had {
		entry.Was = json.RawMessage(was)
	}
	date := e.rec.Measured.Visits[visit].Date
	switch now := e.valueFor(at+way, was, value); {
	case value == "" && !had:
		return hinted{fmt.Errorf("%s: --at: found %s, of which the visit of %s says nothing, expected what it says", e.path, place, date), "see what the visit holds"}
	case value == "":
		text, err := amend.Remove(e.text, at+way)
		if err != nil {
			return fmt.Errorf("%s: %w", e.path, err)
		}
		e.text = text
		e.say("%s on %s: not observed, was %s", place, date, was)
	case string(now) == string(was):
		return nil
	default:
		put := amend.AddWithParents
		if had { // an element of a list too
			put = amend.Replace
		}
		text, err := put(e.text, at+way, now)
		if err != nil {
			return fmt.Errorf("%s: %w", e.path, err)
		}
		e.text = text
		e.says(at+way, map[string]string{"": "--value"})
		e.say("%s on %s: %s, was %s", place, date, now, orWord(string(was), "not observed"))
	}
	n := len(e.rec.Measured.Visits[visit].Corrections)
	if err := e.last(at+"/corrections", n, entry, map[string]string{"at": "--at", "was": "--value", "by": "--by", "date": "--date", "reason": "--reason"}); err != nil {
		return err
	}
	return e.retire()
}

// valueFor writes a value in JSON: as the kind that stands there, and where
// nothing does, as the first kind that the record's reader takes.
func (e *edit) valueFor(at string, was []byte, value string) []byte {
	word, _ := json.Marshal(value) // text, which can always be written
	kinds := [][]byte{word}
	switch strings.ToLower(value) {
	case "yes", "true":
		kinds = append(kinds, []byte("true"))
	case "no", "false":
		kinds = append(kinds, []byte("false"))
	}
	if n, err := strconv.Atoi(value); err == nil {
		kinds = append(kinds, strconv.AppendInt(nil, int64(n), 10))
	}
	if value == "used" && strings.Contains(at, "/instruments/") {
		kinds = append(kinds, []byte("{}"))
	}
	last := kinds[len(kinds)-1]
	switch {
	case len(was) > 0 && was[0] == '"':
		return word
	case len(was) > 0:
		return last
	}
	for _, kind := range kinds {
		if text, err := amend.AddWithParents(e.text, at, kind); err == nil {
			if _, _, err := schema.Read(e.path, text); err == nil {
				return kind
			}
		}
	}
	return last
}
