package intake

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"
	"setline.example/schema"
	"setline.example/schema/amend"
)

// What was observed of what the plan has no more, or has otherwise, goes into
// the history of its visit ("former"), and what was said of all of an elevation
// is not said of what is new there.

// ended is what has no observations that count any more.
type ended struct {
	was, now map[string]stand // as planned before and now, by "ROOM/TAG"
	plan     *schema.Planned  // as it is now
}

// unit reports whether a unit is gone, or is not what or where it was. What only
// rules read of it makes no other unit of it where the plan says it for the first time.
func (e *ended) unit(room, tag string) bool {
	name := room + "/" + tag
	was, stood := e.was[name]
	now, stands := e.now[name]
	return stood && (!stands || !now.completes(was))
}

// thing is unit for a unit or a joint.
func (e *ended) thing(room, name string) bool {
	left, right, joint := strings.Cut(name, "+")
	return e.unit(room, left) || joint && e.unit(room, right)
}

// elevation is the elevation as planned now, nil where it is gone.
func (e *ended) elevation(room, name string) *schema.Elevation {
	for i := range e.plan.Rooms {
		for j := range e.plan.Rooms[i].Elevations {
			if x := &e.plan.Rooms[i].Elevations[j]; e.plan.Rooms[i].Name == room && x.Name == name {
				return x
			}
		}
	}
	return nil
}

func (e *ended) room(name string) bool {
	return !slices.ContainsFunc(e.plan.Rooms, func(r schema.Room) bool { return r.Name == name })
}

// history moves what counts no more.
func (r *replanner) history() error {
	e := &ended{plan: &r.now.Planned}
	e.was, _ = stands(&r.base.Record.Planned)
	e.now, _ = stands(e.plan)
	for i := range r.base.Record.Measured.Visits {
		v := &r.base.Record.Measured.Visits[i]
		for _, room := range slices.Sorted(maps.Keys(v.Rooms)) {
			if err := r.roomHistory(e, i, room, v.Rooms[room]); err != nil {
				return err
			}
		}
	}
	return r.concessions(e)
}

// roomHistory moves what one visit saw in one room.
func (r *replanner) roomHistory(e *ended, visit int, room string, seen schema.RoomSeen) error {
	if e.room(room) {
		return r.move(visit, room, room)
	}
	for _, name := range slices.Sorted(maps.Keys(seen.Elevations)) {
		var err error
		if x := e.elevation(room, name); x == nil {
			err = r.move(visit, room+"/"+name, room, "elevations", name)
		} else {
			err = r.said(e, visit, room, x, seen.Elevations[name].All)
		}
		if err != nil {
			return err
		}
	}
	for _, kind := range []struct {
		name string
		tags []string
	}{
		{"cabinets", slices.Sorted(maps.Keys(seen.Cabinets))},
		{"joints", slices.Sorted(maps.Keys(seen.Joints))},
		{"fillers", slices.Sorted(maps.Keys(seen.Fillers))},
	} {
		for _, tag := range kind.tags {
			var err error
			switch {
			case e.thing(room, tag):
				err = r.move(visit, room+"/"+tag, room, kind.name, tag)
			case kind.name == "cabinets" && e.drawers(room, seen.Cabinets[tag].Drawers):
				err = r.move(visit, room+"/"+tag, room, kind.name, tag, "drawers")
			}
			if err != nil {
				return err
			}
		}
	}
	for i := len(seen.Photos) - 1; i >= 0; i-- {
		if of := seen.Photos[i].Of; of != "" && e.thing(room, of) {
			if err := r.moveTo(visit, room+"/"+of, []any{room, "photos", i}, []any{room, "photos", "-"}); err != nil {
				return err
			}
		}
	}
	return nil
}

// drawers reports whether drawers of what has ended were found in a cabinet.
func (e *ended) drawers(room string, found map[string]string) bool {
	for _, slot := range slices.Sorted(maps.Keys(found)) {
		if tag, _, other := strings.Cut(found[slot], "/"); other && e.unit(room, tag) {
			return true
		}
	}
	return false
}

// move moves what stands in a visit into its history.
func (r *replanner) move(visit int, of string, steps ...any) error {
	return r.moveTo(visit, of, steps, steps)
}

func (r *replanner) moveTo(visit int, of string, from, to []any) error {
	at := schema.Pointer("/measured/visits", visit)
	here, there := schema.Pointer(at+"/rooms", from...), schema.Pointer(at+"/former", to...)
	value, ok := amend.Get(r.text, here)
	if !ok {
		return nil
	}
	r.outlives(of, visit)
	old, had := amend.Get(r.text, there)
	if had && value[0] == '{' && old[0] == '{' {
		return r.moveInto(visit, of, value, from, to)
	}
	text, err := amend.AddWithParents(r.text, there, value)
	if err == nil {
		text, err = amend.Remove(text, here)
	}
	if err == nil {
		text, err = r.corrected(text, visit, schema.Pointer("/rooms", from...), schema.Pointer("/former", from...))
	}
	if last := to[len(to)-1]; last != "-" { // photographs are judged by nothing
		if had {
			r.undoneBy(schema.PatchStep{Op: "add", Path: there, Value: old})
		}
		r.undoneBy(schema.PatchStep{Op: "move", From: there, Path: here})
	}
	return r.put(text, err)
}

// moveInto moves the members of a value to where some have been moved before.
func (r *replanner) moveInto(visit int, of string, value []byte, from, to []any) error {
	var members map[string]jsontext.Value
	if err := json.Unmarshal(value, &members); err != nil {
		return fmt.Errorf("%s: %w", r.base.Name, err)
	}
	for _, name := range slices.Sorted(maps.Keys(members)) {
		if err := r.moveTo(visit, of, append(slices.Clone(from), name), append(slices.Clone(to), name)); err != nil {
			return err
		}
	}
	here := schema.Pointer(schema.Pointer("/measured/visits", visit, "rooms"), from...)
	r.undoneBy(schema.PatchStep{Op: "add", Path: here, Value: []byte("{}")})
	return r.put(amend.Remove(r.text, here))
}

// undoneBy notes what undoes an edit of what a visit saw. Edits are undone from
// the last to the first.
func (r *replanner) undoneBy(step schema.PatchStep) {
	r.before = slices.Insert(r.before, 0, step)
}

// corrected lets the corrections of what moved lead to where it is.
func (r *replanner) corrected(text []byte, visit int, from, to string) ([]byte, error) {
	for i, c := range r.now.Measured.Visits[visit].Corrections {
		if rest, ok := strings.CutPrefix(c.At, from); ok && (rest == "" || rest[0] == '/') {
			var err error
			if text, err = amend.Replace(text, schema.Pointer("/measured/visits", visit, "corrections", i, "at"), quote(to+rest)); err != nil {
				return nil, err
			}
		}
	}
	return text, nil
}

// outlives notes that something was observed of a place, or agreed.
func (r *replanner) outlives(of string, visit int) {
	i, ok := indexOf(r.former, func(o *Outlive) bool { return o.Of == of })
	if !ok {
		i = len(r.former)
		r.former = append(r.former, Outlive{Of: of})
	}
	if o := &r.former[i]; visit >= 0 && !slices.Contains(o.Visits, visit) {
		o.Visits = append(o.Visits, visit)
	}
}

// fresh are the units and joints of an elevation that were not there, or were not
// what they are, and known are all that it has.
func (e *ended) fresh(room string, x *schema.Elevation) (fresh []string, known map[string]bool) {
	known = map[string]bool{}
	for i, u := range x.Units {
		names := []string{u.Tag}
		if i > 0 && u.SpaceBefore == nil {
			names = append(names, schema.JointName(x.Units[i-1].Tag, u.Tag))
		}
		for _, name := range names {
			known[name] = true
			left, right, joint := strings.Cut(name, "+")
			_, stood := e.was[room+"/"+left]
			_, both := e.was[room+"/"+right]
			if !stood || joint && !both || e.thing(room, name) {
				fresh = append(fresh, name)
			}
		}
	}
	return fresh, known
}

// said excepts from what a visit said of all of an elevation what was not there
// then, or was not what it is.
func (r *replanner) said(e *ended, visit int, room string, x *schema.Elevation, all []schema.SaidOfAll) error {
	fresh, known := e.fresh(room, x)
	for i, s := range all {
		fresh, except := fresh, slices.Clone(s.Except)
		if s.Of != schema.SaidOfClosing {
			except = slices.DeleteFunc(except, func(name string) bool { return !known[name] })
		} else if len(fresh) > 0 {
			fresh = schema.ClosesOut() // it was said of an elevation without what is new there
		}
		for _, name := range fresh {
			if !slices.Contains(except, name) {
				except = append(except, name)
			}
		}
		if slices.Equal(except, s.Except) {
			continue
		}
		if s.Of == schema.SaidOfClosing {
			r.outlives(room+"/"+x.Name, visit)
		}
		at := schema.Pointer("/measured/visits", visit, "rooms", room, "elevations", x.Name, "all", i, "except")
		if s.Except == nil {
			r.undoneBy(schema.PatchStep{Op: "remove", Path: at})
		} else {
			r.undoneBy(schema.PatchStep{Op: "replace", Path: at, Value: jsonOf(s.Except)})
		}
		if err := r.put(amend.Add(r.text, at, jsonOf(except))); err != nil {
			return err
		}
	}
	if len(fresh) == 0 {
		return nil
	}
	return r.closed(visit, room, x.Name)
}

// closed moves what was seen to be so of an elevation, and closes it out, into the
// history of its visit: it was seen without what is new there. What was not so stays.
func (r *replanner) closed(visit int, room, elevation string) error {
	at := schema.Pointer("/measured/visits", visit, "rooms", room, "elevations", elevation, "closing")
	for _, name := range schema.ClosesOut() {
		if so, _ := amend.Get(r.text, at+"/"+name); string(so) != "true" {
			continue
		}
		if err := r.move(visit, room+"/"+elevation, room, "elevations", elevation, "closing", name); err != nil {
			return err
		}
	}
	return nil
}

// PlannedAlike reports whether two plans have alike what a place in a visit is of:
// steps lead from the visit to it.
func PlannedAlike(a, b *schema.Planned, steps []string) bool {
	e := &ended{plan: b}
	e.was, _ = stands(a)
	e.now, _ = stands(b)
	if len(steps) < 2 || e.room(steps[1]) {
		return false
	}
	if len(steps) < 4 {
		return true
	}
	if steps[2] == "elevations" {
		return e.elevation(steps[1], steps[3]) != nil
	}
	return !e.thing(steps[1], steps[3])
}

// Outdated moves into history what counts no more where base has become text,
// with another plan: what was observed or conceded of what that has no more, or
// has otherwise. before undoes that for what visits saw.
func Outdated(base Base, text []byte) (now []byte, former []Outlive, before []schema.PatchStep, err error) {
	r := &replanner{build: &build{base: base}}
	if err := r.put(text, nil); err != nil {
		return nil, nil, nil, err
	}
	err = r.history()
	return r.text, r.former, r.before, err
}

// concessions moves those for units and joints that are gone or changed.
func (r *replanner) concessions(e *ended) error {
	all := r.base.Record.Agreed.Concessions
	for i := len(all) - 1; i >= 0; i-- {
		room, of, _ := strings.Cut(all[i].Subject, "/")
		if !e.room(room) && !e.thing(room, of) {
			continue
		}
		r.outlives(all[i].Subject, -1)
		if err := r.put(Retire(r.text, i)); err != nil {
			return err
		}
	}
	return nil
}

// Retire makes history of concession i of a record's text.
func Retire(text []byte, i int) ([]byte, error) {
	here := schema.Pointer("/agreed/concessions", i)
	value, _ := amend.Get(text, here)
	text, err := amend.AddWithParents(text, "/agreed/former_concessions/-", value)
	if err != nil {
		return nil, err
	}
	return amend.Remove(text, here)
}
