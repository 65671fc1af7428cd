package checks

import "setline.example/checks/say"

// phase is how far the work on an elevation or a room is. A remedy that is to
// be done before setting begins helps nobody after that.
type phase int

const (
	layingOut phase = iota // no cabinet stands yet, as far as anybody read
	setting                // a top corner was read
)

// remedy is what to do in each phase.
type remedy [2]say.Words

// in is what to do in a phase.
func (r remedy) in(p phase) say.Text { return r[p].Text() }

// phase of an elevation: setting has begun once a top corner was read.
func (e *elevation) phase() phase {
	for _, u := range e.units {
		if len(u.tops.points) > 0 {
			return setting
		}
	}
	return layingOut
}

// phaseOf is the phase of what a subject is of: of a room as a whole that of
// the elevation which is furthest.
func (b *bench) phaseOf(s Subject) phase {
	p := layingOut
	for _, r := range b.rooms {
		for i, e := range r.elevations {
			if r.index == s.room && (s.elevation < 0 || s.elevation == i) {
				p = max(p, e.phase())
			}
		}
	}
	return p
}

// remedyIn is what a rule says to do in a phase.
func (r *Rule) remedyIn(p phase) say.Text {
	if p == setting && r.RemedyOnceSetting != "" {
		return r.RemedyOnceSetting.Text()
	}
	return r.Remedy.Text()
}
