package checks

import (
	"cmp"
	"encoding/json"
	"slices"
	"strings"

	"setline.example/schema"
	"setline.example/schema/amend"
)

// The plan as it was: each of its changes may keep what undoes it. Where one does
// not, the plan before it is taken to have been as it was after it.

// era is a record between two changes of its plan: as it was entered, but for
// corrections and withdrawals, and for what was entered later, which it may lack.
type era struct {
	from   int // place in the order of entry of the change that began it, 0 of the first
	rec    *schema.Record
	limits map[string]limitChange
}

// erasOf are the eras of a record, in order. There is always one, that of the
// plan as it is.
func erasOf(rec *schema.Record, limits map[string]limitChange) []era {
	changes := replans(rec)
	all := []era{{0, rec, limits}}
	for i := len(changes) - 1; i >= 0; i-- {
		then, ok := all[0].before(changes[i])
		if !ok {
			break
		}
		all[0].from = changes[i].Entered
		all = slices.Insert(all, 0, then)
	}
	return all
}

// replans are the changes of the plan that can be undone, in the order of entry:
// those after the last that cannot.
func replans(rec *schema.Record) []schema.PlanChange {
	all := slices.DeleteFunc(slices.Clone(rec.Planned.Changes), func(c schema.PlanChange) bool { return c.Entered == 0 })
	slices.SortStableFunc(all, func(a, b schema.PlanChange) int { return cmp.Compare(a.Entered, b.Entered) })
	for i := len(all) - 1; i >= 0; i-- {
		if all[i].Before == nil {
			return all[i+1:]
		}
	}
	return all
}

// before is the era before a change. ok is false where the change does not give
// what it was.
func (e era) before(c schema.PlanChange) (then era, ok bool) {
	text, err := json.Marshal(e.asEntered(c.Entered))
	if err == nil {
		text, err = withPlaces(text, c.Before)
	}
	if err != nil {
		return era{}, false
	}
	steps := make([]amend.Step, len(c.Before))
	for i, s := range c.Before {
		steps[i] = amend.Step{Op: s.Op, From: s.From, Path: s.Path, Value: s.Value}
	}
	if text, err = amend.Patched(text, steps); err != nil {
		return era{}, false
	}
	text = ledBack(text, c.Before)
	rec, src, err := schema.Read("record", text)
	if err != nil {
		return era{}, false
	}
	limits, problems := contractLimits(rec, src)
	if len(problems) > 0 {
		return era{}, false
	}
	rec.Arrived, rec.Agreed, rec.Planned.Changes = e.rec.Arrived, e.rec.Agreed, e.rec.Planned.Changes
	return era{0, rec, limits}, true
}

// asEntered is the plan and the visits as they stood when a change was entered.
// Visits entered later are empty: they may speak of what was not planned then.
func (e era) asEntered(number int) *schema.Record {
	then := &schema.Record{Setline: e.rec.Setline, Planned: e.rec.Planned}
	then.Planned.Changes = nil
	then.Measured.Visits = make([]schema.Visit, len(e.rec.Measured.Visits))
	for i := range then.Measured.Visits {
		v := &e.rec.Measured.Visits[i]
		if v.Entered > number {
			then.Measured.Visits[i] = schema.Visit{Date: v.Date, People: v.People, Rooms: map[string]schema.RoomSeen{}, Entered: v.Entered}
			continue
		}
		was := visitAsEntered(v, number)
		was.Corrections = slices.DeleteFunc(slices.Clone(was.Corrections), func(c schema.Correction) bool { return c.Entered > number })
		was.Withdrawn, was.Undone = nil, nil
		then.Measured.Visits[i] = was
	}
	return then
}

// withPlaces makes the objects into which a patch puts back what visits saw: what
// holds nothing is not written.
func withPlaces(text []byte, steps []schema.PatchStep) (_ []byte, err error) {
	for _, s := range steps {
		above := s.Path[:strings.LastIndexByte(s.Path, '/')]
		if _, ok := amend.Get(text, above); ok || s.Op != "move" && s.Op != "add" || !strings.HasPrefix(s.Path, "/measured/") {
			continue
		}
		if text, err = amend.AddWithParents(text, above, []byte("{}")); err != nil {
			return nil, err
		}
	}
	return text, nil
}

// ledBack lets the corrections of what a patch moves lead to where that is then.
func ledBack(text []byte, steps []schema.PatchStep) []byte {
	rec := new(schema.Record)
	if json.Unmarshal(text, rec) != nil {
		return text
	}
	for i := range rec.Measured.Visits {
		at := schema.Pointer("/measured/visits", i)
		corrections := rec.Measured.Visits[i].Corrections
		for k := range corrections {
			corrections[k].At = movedTo(at+corrections[k].At, steps)[len(at):]
		}
	}
	back, err := json.Marshal(rec)
	if err != nil {
		return text
	}
	return back
}

// movedTo is where a place is after the moves of a patch.
func movedTo(at string, steps []schema.PatchStep) string {
	for _, s := range steps {
		if rest, ok := strings.CutPrefix(at, s.From); ok && s.Op == "move" && (rest == "" || rest[0] == '/') {
			at = s.Path + rest
		}
	}
	return at
}

// eraAt is that of a place in the order of entry.
func eraAt(eras []era, number int) era {
	k := len(eras) - 1
	for k > 0 && eras[k].from > number {
		k--
	}
	return eras[k]
}

// AssumedPlans are the changes of the plan, positions in the record, before which
// nobody knows what was planned: it is taken to have been as it was after them.
func AssumedPlans(rec *schema.Record) []int {
	known := map[int]bool{}
	limits, problems := contractLimits(rec, nil)
	if len(problems) == 0 {
		for _, e := range erasOf(rec, limits) {
			known[e.from] = true
		}
	}
	var all []int
	for i, c := range rec.Planned.Changes {
		if c.Entered == 0 || !known[c.Entered] {
			all = append(all, i)
		}
	}
	return all
}
