package checks

import (
	"slices"

	"setline.example/checks/say"
	"setline.example/schema"
	"setline.example/schema/length"
)

// SetHeight is a set height that is tried in place of the record's: above the
// floor's high point along each elevation, or, as Reading says, where the tops
// stand down from the reference line of the survey.
type SetHeight struct {
	length.Length
	Reading bool
}

// Trial is what a layout is at a set height that is tried.
type Trial struct {
	Top    length.Length // reading of the tops in the record: the mark as read, else as computed
	Known  bool          // there is one
	Marked bool          // it is the mark
	Was    []Result      // what the rules say of it there
	Far    bool          // the tops would stand lower than half a cabinet's height: no such set height can be meant
}

// NewTrial is [NewDraft] for another set height: all that follows from it is
// computed anew, and the rules of floor and layout judge it. Concessions are
// for what is in the record, and lift nothing of it.
func NewTrial(rec *schema.Record, found *Findings, h SetHeight) *Draft {
	d := NewDraft(rec, found)
	d.trial = &h
	d.job.level = newLevelLimit(d.job.limits)
	return d
}

// above is the reading of the tops at a set height.
func (h SetHeight) top(e *elevation) (top length.Length, ok bool) {
	high, ok := e.floor.floor.High(0, e.width)
	if !ok || !e.hasCabinets() {
		return 0, false
	}
	if h.Reading {
		return h.Length, true
	}
	return less(high.Down, h.Length), true
}

// try puts all elevations of a room at the set height, as if it had been marked,
// and returns what they had.
func (h SetHeight) try(r *room) (was []*Trial) {
	for _, e := range r.elevations {
		s := &e.floor
		t := &Trial{Marked: s.marked}
		t.Top, t.Known = s.setTop(e, s.corners)
		top, ok := h.top(e)
		if !s.ok || !ok {
			was = append(was, nil)
			continue
		}
		high, _ := s.floor.High(0, e.width)
		for _, u := range cabinetsOf(e.units) {
			t.Far = t.Far || less(high.Down, top) < *u.body.Height/2
		}
		s.mark, s.marked, s.tried = top, true, true
		was = append(was, t)
	}
	return was
}

// ofFloor are the results of the rules of floor and layout, by elevation.
func ofFloor(results []Result) map[Subject][]Result {
	by := map[Subject][]Result{}
	for _, res := range results {
		if res.Rule.Family == Floor {
			by[res.Subject] = append(by[res.Subject], res)
		}
	}
	return by
}

// floorRules are the rules of floor and layout.
func floorRules() []*Rule {
	return slices.DeleteFunc(slices.Clone(rules()), func(r *Rule) bool { return r.Family != Floor })
}

// Fails are the rules that keep the layout from being ready at the trial, though
// they do not in the record.
func (l *Layout) Fails() (all []Result) {
	for _, r := range l.Results {
		was := slices.IndexFunc(l.Trial.Was, func(w Result) bool { return w.Rule == r.Rule })
		if !r.Outcome.Holds() && (was < 0 || l.Trial.Was[was].Outcome.Holds()) {
			all = append(all, r)
		}
	}
	return all
}

// Above is how high the tops stand above the floor's high point.
func (l *Layout) Above() length.Length { return less(l.High.Down, l.SetTop) }

// InRecord says what set height the record has.
func (t *Trial) InRecord() say.Text {
	switch {
	case !t.Known:
		return say.That("the record has none")
	case t.Marked:
		return say.That("the record has tops at %[1]s, the mark as read", t.Top)
	}
	return say.That("the record has tops at %[1]s, computed", t.Top)
}
