package schema

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
)

// What a record says of how it was written: what was taken back, what was
// corrected, and what was entered after what.

// trail checks it.
func (m *meaningCheck) trail() {
	places := map[int]string{}
	arrived, measured, planned := way{field: "arrived"}, way{field: "measured"}, way{field: "planned"}
	for i := range m.rec.Planned.Changes {
		at := planned.at("changes", i)
		m.entered(places, &at, m.rec.Planned.Changes[i].Entered)
	}
	for _, list := range sortedKeys(m.rec.Arrived.PackingLists) {
		at := arrived.member("packing_lists", list)
		m.entered(places, &at, m.rec.Arrived.PackingLists[list].Entered)
	}
	for i := range m.rec.Arrived.Receipts {
		at := arrived.at("receipts", i)
		m.entered(places, &at, m.rec.Arrived.Receipts[i].Entered)
	}
	for i := range m.rec.Measured.Visits {
		v := &m.rec.Measured.Visits[i]
		at := measured.at("visits", i)
		m.entered(places, &at, v.Entered)
		if w := v.Withdrawn; w != nil {
			at := way{from: &at, field: "withdrawn"}
			m.entered(places, &at, w.Entered)
		}
		if w := v.Withdrawn; w != nil && w.Date < v.Date {
			m.wrong(Contradiction, at.pointer("withdrawn/date"), string(w.Date), "a day on or after the visit, "+string(v.Date), "correct one of the two dates")
		}
		for k := range v.Undone {
			at := at.at("undone", k)
			m.entered(places, &at, v.Undone[k].Entered)
			was := way{from: &at, field: "withdrawn"}
			m.entered(places, &was, v.Undone[k].Withdrawn.Entered)
		}
		values, last := v.Values(), v.lastCorrections()
		for k := range v.Corrections {
			at := at.at("corrections", k)
			m.entered(places, &at, v.Corrections[k].Entered)
			m.correction(&at, v, k, values, last[v.Corrections[k].At] == k)
		}
	}
}

// standing refuses a withdrawal of what is agreed where it still stands.
func (m *meaningCheck) standing() {
	agreed := way{field: "agreed"}
	for i, c := range m.rec.Agreed.Concessions {
		at := agreed.at("concessions", i)
		m.withdrawn(&at, c.Withdrawn, "former_concessions")
	}
	for i, r := range m.rec.Agreed.Reinspections {
		at := agreed.at("reinspections", i)
		m.withdrawn(&at, r.Withdrawn, "former_reinspections")
	}
}

func (m *meaningCheck) withdrawn(at *way, w *Withdrawn, former string) {
	if w != nil {
		m.wrong(Impossible, at.pointer("withdrawn"), "a withdrawal of what still stands", "it among "+former, "move it there")
	}
}

// entered refuses a place in the order of entry that another entry has.
func (m *meaningCheck) entered(places map[int]string, at *way, n int) {
	if n == 0 {
		return
	}
	if first, twice := places[n]; twice {
		m.wrong(Twice, at.pointer("entered"), fmt.Sprintf("place %d, which %s has", n, first), "a place of its own for each entry", "give the later one the next free number")
		return
	}
	places[n] = at.pointer()
}

// correction refuses one that changes nothing. last says that it is the last of
// its value.
func (m *meaningCheck) correction(at *way, v *Visit, k int, values *Values, last bool) {
	c := &v.Corrections[k]
	if c.Date < v.Date {
		m.wrong(Contradiction, at.pointer("date"), string(c.Date), "a day on or after the visit, "+string(v.Date), "correct one of the two dates")
	}
	switch {
	case !observation(c.At):
		m.wrong(WrongForm, at.pointer("at"), c.At, `the way to something that was observed, such as "/rooms/S-104/cabinets/A3/tops/FL"`, "write the JSON Pointer to it within the visit")
	case !last: // what was added may have been taken out since
	case c.Was == nil && !values.Stands(c.At):
		m.wrong(Impossible, at.pointer("at"), c.At+", where nothing stands, and nothing stood before", "the way to a value that was corrected", `correct the way, or write under "was" what stood there`)
	case c.Was != nil:
		if is, here := values.At(c.At); here && sameJSON(is, c.Was) {
			m.wrong(Contradiction, at.pointer("was"), string(c.Was)+", which stands there now", "what stood there before it was corrected", "remove the correction, or correct the value")
		}
	}
}

// lastCorrections are the positions of the corrections of a visit that were
// entered last, by the place they are of.
func (v *Visit) lastCorrections() map[string]int {
	last := make(map[string]int, len(v.Corrections))
	for k := range v.Corrections {
		c := &v.Corrections[k]
		if before, ok := last[c.At]; !ok || c.Entered >= v.Corrections[before].Entered {
			last[c.At] = k
		}
	}
	return last
}

// observation reports whether a pointer within a visit leads to what was seen.
func observation(pointer string) bool {
	first := strings.SplitN(pointer+"//", "/", 3)[1]
	return slices.Contains([]string{"date", "purpose", "people", "instruments", "site", "rooms", "former"}, first)
}

// Values finds what stands at places within a visit. The visit is taken apart
// once, when it is first asked: one with thousands of corrections, each of which
// took it apart anew, kept whoever read its record busy for minutes.
type Values struct {
	visit   *Visit
	tree    any
	apart   bool
	written map[string][]byte // what was asked for, by pointer
}

// Values are those of a visit as it is now.
func (v *Visit) Values() *Values { return &Values{visit: v, written: map[string][]byte{}} }

// Stands reports whether anything stands at a JSON Pointer within the visit.
func (s *Values) Stands(pointer string) bool {
	_, ok := s.find(pointer)
	return ok
}

// At is what stands at a JSON Pointer within the visit, as JSON; nil and false
// where nothing does.
func (s *Values) At(pointer string) (value []byte, ok bool) {
	if value, ok := s.written[pointer]; ok {
		return value, true
	}
	found, ok := s.find(pointer)
	if !ok {
		return nil, false
	}
	value, err := json.Marshal(found)
	if err != nil {
		return nil, false
	}
	s.written[pointer] = value
	return value, true
}

func (s *Values) find(pointer string) (found any, ok bool) {
	if !s.apart {
		s.apart = true
		text, err := json.Marshal(s.visit)
		if err != nil || json.Unmarshal(text, &s.tree) != nil {
			s.tree = nil
		}
	}
	return Lookup(s.tree, Steps(pointer))
}

// sameJSON reports whether two values are the same, however they are written.
func sameJSON(a, b []byte) bool {
	var plain [2]bytes.Buffer
	for i, text := range [][]byte{a, b} {
		var v any
		if json.Unmarshal(text, &v) != nil {
			return false
		}
		if json.NewEncoder(&plain[i]).Encode(v) != nil {
			return false
		}
	}
	return bytes.Equal(plain[0].Bytes(), plain[1].Bytes())
}

// saidOfAll checks what a visit says of all of an elevation.
func (m *meaningCheck) saidOfAll(at *way, plan *plannedRoom, elevation string, all []SaidOfAll) {
	said := map[string]bool{}
	for i, s := range all {
		at := at.at("all", i)
		if said[s.Of] {
			m.wrong(Twice, at.pointer("of"), fmt.Sprintf("%q a second time", s.Of), "each once for an elevation", "put the exceptions of both into one")
		}
		said[s.Of] = true
		if !s.Answer {
			m.wrong(Impossible, at.pointer("answer"), "false", "true, since only what is so can be said of all", "say what is not so of each by itself")
		}
		if s.Of == SaidOfClosing {
			m.closing(&at, s.Except)
			continue
		}
		for k, name := range s.Except {
			if plan.along[name] != elevation {
				at := at.at("except", k)
				known := plan.namesAlong(elevation)
				mend := "correct the name"
				if near := cmp.Or(plan.reversed[name], Nearest(name, known)); near != "" {
					mend = fmt.Sprintf("write %q if that is meant", near)
				}
				m.wrong(Unknown, at.pointer(), fmt.Sprintf("%q, which is no unit or joint of elevation %s", name, elevation), oneOf("unit or joint", known), mend)
			}
		}
	}
}

// closing checks what is excepted from what closes an elevation out.
func (m *meaningCheck) closing(said *way, except []string) {
	known := ClosesOut()
	for k, name := range except {
		if !slices.Contains(known, name) {
			at := said.at("except", k)
			m.wrong(Unknown, at.pointer(), fmt.Sprintf("%q, which closes no elevation out", name), oneOf("one", known), "write what is not so, or its number on the sheet")
		}
	}
}

// namesAlong are the units and joints of an elevation, in order of their names.
func (p *plannedRoom) namesAlong(elevation string) []string {
	return slices.DeleteFunc(sortedKeys(p.along), func(name string) bool { return p.along[name] != elevation })
}

// NextEntry is the place in the order of entry that is free for what is entered
// next.
func (r *Record) NextEntry() int {
	last := 0
	for _, c := range r.Planned.Changes {
		last = max(last, c.Entered)
	}
	for _, list := range r.Arrived.PackingLists {
		last = max(last, list.Entered)
	}
	for i := range r.Arrived.Receipts {
		last = max(last, r.Arrived.Receipts[i].Entered)
	}
	for i := range r.Measured.Visits {
		last = max(last, r.Measured.Visits[i].Entered)
		if w := r.Measured.Visits[i].Withdrawn; w != nil {
			last = max(last, w.Entered)
		}
		for _, u := range r.Measured.Visits[i].Undone {
			last = max(last, u.Entered, u.Withdrawn.Entered)
		}
		for _, c := range r.Measured.Visits[i].Corrections {
			last = max(last, c.Entered)
		}
	}
	return last + 1
}

// UnderWay reports whether anything was entered into the record but its plan.
func (r *Record) UnderWay() bool {
	return len(r.Arrived.PackingLists)+len(r.Arrived.Receipts)+len(r.Measured.Visits) > 0 || r.NextEntry() > 1
}
