package intake

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/go-json-experiment/json"
	"setline.example/schema"
	"setline.example/schema/amend"
	"setline.example/schema/length"
	"setline.example/schema/plaintext"
	"setline.example/schema/table"
)

// Plan is a record as a table of units has it.
type Plan struct {
	Text    []byte             // the record with that plan
	Changes []Replan           // what is planned otherwise than in the base, in the order of the table
	Kept    []string           // rooms that the table does not name, which stay as they are
	Former  []Outlive          // what was observed or agreed of what the plan has no more, or has otherwise
	Before  []schema.PatchStep // makes of the record what base plans, and what visits saw
}

// Replan is one thing that is planned otherwise, and what is planned now.
type Replan struct {
	schema.Replanned
	Now string
}

// Outlive is a place of which something was observed or agreed before the plan
// changed.
type Outlive struct {
	Of     string // as the report names it
	Visits []int  // positions of the visits in the record; none for a concession
}

// Replanning is what a plan is to be.
type Replanning struct {
	// Units is the plan of the rooms that it names, and with Whole of the job.
	// What it says nothing of, an empty cell, stays as it is.
	Units *table.Table
	Whole bool
	// Tops are the pieces of the elevations that it names; others keep theirs.
	Tops *table.Table
	// Instruments and Screws are planned as their rows say; others stay.
	Instruments, Screws *table.Table
	// Facts are of the job, and of what all cabinets share.
	Facts []JobFact
}

// JobFact is a fact of the job: where it stands in the record, how messages
// call it, and its value in JSON, nil for one that is to be taken out.
type JobFact struct {
	Pointer, Field string
	Value          []byte
}

// Replanned holds what a plan is to be against what the record plans. What was
// observed of a unit that is gone, stands elsewhere or is another part goes
// into the history of its visit. The error is [schema.Problems], all of them
// at once.
func Replanned(base Base, in Replanning) (*Plan, error) {
	tables := Input{Units: in.Units, Tops: in.Tops, Instruments: in.Instruments, Screws: in.Screws}
	b := &build{base: base, text: base.Text, origin: map[string]table.Cell{}}
	for _, t := range tables.tables() {
		for _, p := range t.Bad {
			b.problems = append(b.problems, problem{p, nil})
		}
	}
	r := &replanner{build: b, drawn: &drawn{byName: map[string]*drawnRoom{}, byPart: map[string]*drawnPart{}}, now: clone(base.Record)}
	b.replan = r.named
	if in.Units != nil {
		for row := range b.rows(in.Units) {
			r.drawn.row(row)
		}
		b.once(r.drawn)
	}
	steps := []func() error{
		func() error { return r.jobFacts(in.Facts) },
		func() error { return r.tools(in) },
		r.catalog, r.rooms,
		func() error { return r.gone(in) },
		func() error { return r.replanTops(in.Tops) },
	}
	for _, step := range steps {
		if err := step(); err != nil {
			return nil, err
		}
		if len(b.problems) > 0 && in.Units != nil {
			return nil, byColumn(sorted(tables, b.problems))
		}
	}
	r.shifted()
	if len(r.changes) > 0 && len(b.problems) == 0 {
		if err := r.history(); err != nil {
			return nil, err
		}
		r.places()
		if err := b.check(tables); err != nil {
			return nil, err
		}
	}
	if len(b.problems) > 0 {
		return nil, byColumn(sorted(tables, b.problems))
	}
	before, err := FormerPlan(base.Text, b.text)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", base.Name, err)
	}
	return &Plan{b.text, r.changes, r.kept, r.former, append(before, r.before...)}, nil
}

// jobFacts changes facts of the job.
func (r *replanner) jobFacts(facts []JobFact) error {
	for _, f := range facts {
		was, had := amend.Get(r.text, f.Pointer)
		switch {
		case f.Value == nil && !had, f.Value != nil && sameWords(string(was), string(f.Value)):
			continue
		case f.Value == nil:
			if err := r.put(amend.Remove(r.text, f.Pointer)); err != nil {
				return err
			}
		default:
			if err := r.put(amend.AddWithParents(r.text, f.Pointer, f.Value)); err != nil {
				return err
			}
		}
		r.change("job", "otherwise", f.Field, plainWords(was), plainWords(f.Value))
	}
	return nil
}

// plainWords is a value of one line without its quotation marks.
func plainWords(value []byte) string {
	var s string
	if json.Unmarshal(value, &s) == nil {
		return s
	}
	return string(value)
}

// sameWords reports whether two values say the same, lengths however they are
// written.
func sameWords(a, b string) bool {
	x, errX := length.Parse(plainWords([]byte(a)))
	y, errY := length.Parse(plainWords([]byte(b)))
	return a == b || a != "" && errX == nil && errY == nil && x == y
}

// tools changes instruments and screws.
func (r *replanner) tools(in Replanning) error {
	if in.Instruments != nil {
		if err := r.instruments(in.Instruments); err != nil {
			return err
		}
	}
	if in.Screws != nil {
		if err := r.screws(in.Screws); err != nil {
			return err
		}
	}
	return r.put(r.text, nil)
}

// named changes an instrument or a screw.
func (r *replanner) named(what, at string, was, value []byte) error {
	if was == nil {
		r.change(what, "new", "", "", string(value))
		return nil
	}
	r.change(what, "otherwise", "", string(was), string(value))
	return r.put(amend.Replace(r.text, at, value))
}

// once refuses a tag that a room of the table has twice.
func (b *build) once(d *drawn) {
	for _, room := range d.rooms {
		first := map[string]table.Cell{}
		for _, e := range room.elevations {
			for _, u := range e.units {
				if old, twice := first[u.tag]; twice {
					b.wrong(schema.Twice, u.row.Cell("tag"), fmt.Sprintf("unit %q of %s a second time", u.tag, room.what), fmt.Sprintf("each tag once in a room; the first is on line %d", old.Line), "give it a tag of its own, or remove one of the two")
					continue
				}
				first[u.tag] = u.row.Cell("tag")
			}
		}
	}
}

// replanner changes a plan into the one of a table, step by step: the text, and
// beside it the record that the text says.
type replanner struct {
	*build
	drawn   *drawn
	now     *schema.Record
	changes []Replan
	kept    []string
	former  []Outlive
	before  []schema.PatchStep // undoes what became of what visits saw
}

// clone copies a record by its JSON.
func clone(rec *schema.Record) *schema.Record {
	out := new(schema.Record)
	if err := json.Unmarshal(jsonOf(rec), out); err != nil {
		panic("a record that cannot be read again: " + err.Error())
	}
	return out
}

func (r *replanner) change(of, change, field, was, now string) {
	r.changes = append(r.changes, Replan{schema.Replanned{Of: of, Change: change, Field: field, Was: was}, now})
}

// put makes an edit of the text and reads the record anew.
func (r *replanner) put(text []byte, err error) error {
	if err != nil {
		return fmt.Errorf("%s: %w", r.base.Name, err)
	}
	now := new(schema.Record)
	if err := json.Unmarshal(text, now); err != nil {
		return fmt.Errorf("%s: %w", r.base.Name, err)
	}
	r.text, r.now = text, now
	return nil
}

// facts replaces what the table says otherwise of a thing at pointer.
func (r *replanner) facts(of, at string, facts []fact, has map[string]string) error {
	for _, f := range facts {
		was := has[f.member]
		if was == f.same {
			continue
		}
		if err := r.put(amend.Add(r.text, schema.Pointer(at, f.member), f.value)); err != nil {
			return err
		}
		r.change(of, "otherwise", strings.ReplaceAll(f.member, "_", " "), words(f.member, was), words(f.member, f.same))
	}
	return nil
}

// words writes a value of the record as a table does.
func words(member, text string) string {
	if member == "front" && text != "" {
		return frontWords(frontOf(text))
	}
	return strings.Trim(text, `"`)
}

// catalog changes the catalog of parts.
func (r *replanner) catalog() error {
	for _, p := range r.drawn.parts {
		kind, ok := r.kindOf(p)
		if !ok {
			continue
		}
		at := schema.Pointer("/planned", kind+"s", p.name)
		facts := r.catalogFacts(p, kind, at)
		var has map[string]string
		c, isCabinet := r.base.Record.Planned.Cabinets[p.name]
		f, isFiller := r.base.Record.Planned.Fillers[p.name]
		var err error
		switch {
		case isCabinet:
			has = canonical(r.base.Record.Planned.Usual)
			maps.Copy(has, canonical(c))
			err = r.facts("part "+p.name, at, facts, has)
		case isFiller:
			err = r.facts("part "+p.name, at, facts, canonical(f))
		default:
			value := r.newPart(p, kind, at, facts)
			if len(r.problems) == 0 {
				err = r.put(amend.AddWithParents(r.text, at, value))
			}
			r.change("part "+p.name, "new", "", "", kind)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// rooms changes rooms, elevations and units.
func (r *replanner) rooms() error {
	after := -1 // position of the room that the table has before
	for _, room := range r.drawn.rooms {
		i, ok := indexOf(r.now.Planned.Rooms, func(x *schema.Room) bool { return x.Name == room.name })
		if !ok {
			i = next(after, len(r.now.Planned.Rooms))
			at := schema.Pointer("/planned/rooms", i)
			if err := r.put(amend.Add(r.text, at, r.newRoom(at, room))); err != nil {
				return err
			}
			r.change(room.name, "new", "", "", fmt.Sprintf("a room of %s", plaintext.Count(room.count(), "unit")))
			after = i
			continue
		}
		after = i
		at := schema.Pointer("/planned/rooms", i)
		if err := r.facts(room.name, at, room.facts, canonical(r.now.Planned.Rooms[i])); err != nil {
			return err
		}
		if err := r.elevations(room, i, at); err != nil {
			return err
		}
	}
	return nil
}

// next is the position behind the one before, at the end where none was before.
func next(after, n int) int {
	if after < 0 {
		return n
	}
	return after + 1
}

func (d *drawnRoom) count() (units int) {
	for _, e := range d.elevations {
		units += len(e.units)
	}
	return units
}

func (r *replanner) elevations(room *drawnRoom, i int, at string) error {
	after := -1
	for _, e := range room.elevations {
		of := room.name + "/" + e.name
		now := r.now.Planned.Rooms[i].Elevations
		j, ok := indexOf(now, func(x *schema.Elevation) bool { return x.Name == e.name })
		if !ok {
			j = next(after, len(now))
			here := schema.Pointer(at, "elevations", j)
			if err := r.put(amend.Add(r.text, here, r.newElevation(here, e))); err != nil {
				return err
			}
			r.change(of, "new", "", "", fmt.Sprintf("an elevation of %s", plaintext.Count(len(e.units), "unit")))
			after = j
			continue
		}
		after = j
		here := schema.Pointer(at, "elevations", j)
		if err := r.facts(of, here, e.facts, canonical(now[j])); err != nil {
			return err
		}
		if err := r.units(room, e, here, now[j].Units); err != nil {
			return err
		}
	}
	return nil
}

// mostEdits is how many units of an elevation are moved one by one; where there
// are more, the whole list is written anew.
const mostEdits = 100

// units brings the units of an elevation into the order of the table: what does
// not stand there in it is taken out, and what the table has comes where its
// row is.
func (r *replanner) units(room *drawnRoom, e *drawnElevation, at string, was []schema.Unit) error {
	old := map[string]schema.Unit{}
	var tags, drawn []string
	for _, u := range was {
		old[u.Tag] = u
		tags = append(tags, u.Tag)
	}
	for _, u := range e.units {
		drawn = append(drawn, u.tag)
	}
	stays := inOrder(tags, drawn)
	if len(tags)+len(drawn)-2*len(stays) > mostEdits {
		clear(stays)
		values := make([][]byte, len(e.units))
		for i, u := range e.units {
			values[i] = r.unit("", u)
		}
		if err := r.put(amend.Replace(r.text, at+"/units", rowsOf(values))); err != nil {
			return err
		}
	} else if err := r.reorder(e, at, tags, stays); err != nil {
		return err
	}
	for i, u := range e.units {
		of := room.name + "/" + u.tag
		if _, stood := find(&r.base.Record.Planned, room.name, u.tag); !stood {
			r.change(of, "new", "", "", fmt.Sprintf("part %s, %s", u.part, place(e, i)))
			continue
		}
		if err := r.oldUnit(of, schema.Pointer(at, "units", i), u, room.name, stays[u.tag]); err != nil {
			return err
		}
	}
	return nil
}

// reorder takes out what does not stay and puts in what is not there.
func (r *replanner) reorder(e *drawnElevation, at string, tags []string, stays map[string]bool) (err error) {
	text := r.text
	for i := len(tags) - 1; i >= 0 && err == nil; i-- {
		if !stays[tags[i]] {
			text, err = amend.Remove(text, schema.Pointer(at, "units", i))
		}
	}
	for i, u := range e.units {
		if err == nil && !stays[u.tag] {
			text, err = amend.Add(text, schema.Pointer(at, "units", i), r.unit("", u))
		}
	}
	return r.put(text, err)
}

// oldUnit holds what a row says of a unit against what the record says of it.
// One that stays where it was is changed there; another was written anew.
func (r *replanner) oldUnit(of, at string, u drawnUnit, room string, stays bool) error {
	old, _ := find(&r.base.Record.Planned, room, u.tag)
	has := canonical(old)
	facts := []fact{{member: "part", value: quote(u.part), same: string(quote(u.part))}}
	if u.space != nil {
		facts = append(facts, fact{member: "space_before", value: u.space, same: u.sameSpace})
	} else if old.SpaceBefore != nil {
		// A space is a place between two units, and an empty cell says that there is none.
		if stays {
			if err := r.put(amend.Remove(r.text, at+"/space_before")); err != nil {
				return err
			}
		}
		r.change(of, "otherwise", "space before", old.SpaceBefore.String(), "none")
	}
	if stays {
		return r.facts(of, at, facts, has)
	}
	for _, f := range facts {
		if has[f.member] != f.same {
			r.change(of, "otherwise", strings.ReplaceAll(f.member, "_", " "), words(f.member, has[f.member]), words(f.member, f.same))
		}
	}
	return nil
}

// place says where a unit stands.
func place(e *drawnElevation, i int) string {
	switch {
	case len(e.units) == 1:
		return fmt.Sprintf("alone in elevation %s", e.name)
	case i == 0:
		return fmt.Sprintf("first in elevation %s, before %s", e.name, e.units[1].tag)
	case i == len(e.units)-1:
		return fmt.Sprintf("last in elevation %s, after %s", e.name, e.units[i-1].tag)
	}
	return fmt.Sprintf("in elevation %s between %s and %s", e.name, e.units[i-1].tag, e.units[i+1].tag)
}

// inOrder gives a longest list of names that stand in both lists in the same
// order; each list has a name once.
func inOrder(a, b []string) map[string]bool {
	at := map[string]int{}
	for i, name := range b {
		at[name] = i
	}
	var ends []int // ends[n] is what the best list of n+1 names so far ends with, as positions in a
	before := make([]int, len(a))
	for i, name := range a {
		to, ok := at[name]
		if !ok {
			continue
		}
		n, _ := slices.BinarySearchFunc(ends, to, func(e, to int) int { return at[a[e]] - to })
		before[i] = -1
		if n > 0 {
			before[i] = ends[n-1]
		}
		ends = append(ends[:n], append([]int{i}, ends[min(n+1, len(ends)):]...)...)
	}
	both := map[string]bool{}
	if len(ends) > 0 {
		for i := ends[len(ends)-1]; i >= 0; i = before[i] {
			both[a[i]] = true
		}
	}
	return both
}

// gone takes out what the table does not have: elevations of its rooms, and
// other rooms where it is of the whole job. Units are out already.
func (r *replanner) gone(in Replanning) error {
	if in.Units == nil {
		return nil
	}
	was := r.base.Record.Planned.Rooms
	for _, room := range was {
		drawn, ok := r.drawn.byName[room.Name]
		if !ok {
			if !in.Whole {
				r.kept = append(r.kept, room.Name)
				continue
			}
			i := slices.IndexFunc(r.now.Planned.Rooms, func(x schema.Room) bool { return x.Name == room.Name })
			if err := r.put(amend.Remove(r.text, schema.Pointer("/planned/rooms", i))); err != nil {
				return err
			}
			r.change(room.Name, "gone", "", "room", "")
			continue
		}
		i := slices.IndexFunc(r.now.Planned.Rooms, func(x schema.Room) bool { return x.Name == room.Name })
		for _, e := range room.Elevations {
			if drawn.byName[e.Name] == nil {
				j := slices.IndexFunc(r.now.Planned.Rooms[i].Elevations, func(x schema.Elevation) bool { return x.Name == e.Name })
				if err := r.put(amend.Remove(r.text, schema.Pointer("/planned/rooms", i, "elevations", j))); err != nil {
					return err
				}
				r.change(room.Name+"/"+e.Name, "gone", "", "elevation", "")
			}
		}
	}
	return nil
}

// places notes from which rows the units of the new plan come.
func (r *replanner) places() {
	for i, room := range r.now.Planned.Rooms {
		drawn := r.drawn.byName[room.Name]
		if drawn == nil {
			continue
		}
		at := schema.Pointer("/planned/rooms", i)
		r.origin[at] = drawn.first
		for j, e := range room.Elevations {
			here := schema.Pointer(at, "elevations", j)
			r.origin[here] = drawn.byName[e.Name].first
			for k, u := range drawn.byName[e.Name].units {
				r.unit(schema.Pointer(here, "units", k), u)
			}
		}
	}
}
