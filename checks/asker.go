package checks

import (
	"slices"

	"setline.example/schema"
	"setline.example/schema/length"
)

// asker is where rules say what they need to be observed: the other half of
// [bench]. What two rules need is asked once.
type asker struct {
	*facts
	rule  *Rule       // that asks; nil for what no rule needs
	limit limitChange // the default or what the contract sets
	asks  []*ask
	at    map[string]*ask // by name
}

// ask is an Ask and whose results rest on it.
type ask struct {
	Ask
	judged []resultKey
	visit  int // position in the record of the visit that last saw it, -1 where none did
}

// resultKey names a result.
type resultKey struct{ rule, subject string }

// want asks for the value at a place, which is of the subject where; the
// results of the rule for the subjects judged rest on it.
func (a *asker) want(where Subject, judged []Subject, words string, kind Kind, place []string) *ask {
	name := PlaceName(place...)
	x, ok := a.at[name]
	if !ok {
		x = &ask{Ask: Ask{Subject: where, Place: place, Words: words, Blanks: []Blank{{Kind: kind, Required: true}}, Optional: true}, visit: -1}
		a.at[name] = x
		a.asks = append(a.asks, x)
	}
	if a.rule == nil {
		return x
	}
	x.Optional = false
	if !slices.Contains(x.Rules, a.rule) {
		x.Rules = append(x.Rules, a.rule)
	}
	for _, s := range judged {
		x.judged = append(x.judged, resultKey{a.rule.Name, s.String()})
	}
	return x
}

// held sets what the value is held against.
func (x *ask) held(limit string) *ask {
	x.Limit = limit
	return x
}

// of sets the blanks.
func (x *ask) of(blanks ...Blank) *ask {
	x.Blanks = blanks
	return x
}

// atMost writes the limit of the rule.
func (a *asker) atMost() string {
	if !a.limit.contract {
		return a.rule.LimitIn(a.sys)
	}
	return limitText(a.limit.limit.In(a.sys), a.limit.over, a.limit.least, func(l length.Length) string { return l.In(a.sys) })
}

// Places within a visit.

func (e *elevation) place(steps ...string) []string {
	return append([]string{"rooms", e.subject.Room, "elevations", e.plan.Name}, steps...)
}

func (u *unit) placeSeen(steps ...string) []string {
	kind := "cabinets"
	if u.cabinet == nil {
		kind = "fillers"
	}
	return append([]string{"rooms", u.subject.Room, kind, u.plan.Tag}, steps...)
}

func (j *joint) place(steps ...string) []string {
	return append([]string{"rooms", j.subject.Room, "joints", j.name}, steps...)
}

// The other half of what most rules go over.

func askElevations(observe func(*asker, *elevation)) func(*asker) {
	return func(a *asker) {
		for _, r := range a.rooms {
			for _, e := range r.elevations {
				observe(a, e)
			}
		}
	}
}

func askUnits(observe func(*asker, *unit)) func(*asker) {
	return askElevations(func(a *asker, e *elevation) {
		for _, u := range e.units {
			observe(a, u)
		}
	})
}

func askCabinets(observe func(*asker, *unit)) func(*asker) {
	return askUnits(func(a *asker, u *unit) {
		if u.cabinet != nil {
			observe(a, u)
		}
	})
}

func askJoints(observe func(*asker, *joint)) func(*asker) {
	return askElevations(func(a *asker, e *elevation) {
		for _, j := range e.joints {
			if j != nil {
				observe(a, j)
			}
		}
	})
}

// cabinets reports whether a joint is one of two cabinets.
func (j *joint) cabinets() bool { return j.left.cabinet != nil && j.right.cabinet != nil }

// open decides which asks are to be looked at, by the results that rest on them.
func (a *asker) open(found *Findings) {
	outcome := map[resultKey]Outcome{}
	for _, r := range found.Results {
		outcome[resultKey{r.Rule.Name, r.Subject.String()}] = r.Outcome
	}
	// What nobody observed may be all that a result lacks, or there may be more
	// to it: readings that nothing ties together.
	lacking := map[resultKey]bool{}
	for _, x := range a.asks {
		for _, key := range x.judged {
			lacking[key] = lacking[key] || x.visit < 0
		}
	}
	for _, x := range a.asks {
		for _, key := range x.judged {
			switch o, judged := outcome[key]; {
			case !judged || o.Holds():
			case o == NotObserved && lacking[key]:
				x.Open = x.Open || x.visit < 0
			default:
				x.Open = true
			}
		}
	}
	a.openVisit()
	for _, r := range a.rooms {
		for _, e := range r.elevations {
			a.tie(e)
			a.underTop(e)
		}
	}
}

// underTop opens for every filler of which it is asked whether the top is on
// also whether it comes off: seen before, that says nothing once the top is on.
func (a *asker) underTop(e *elevation) {
	for _, u := range e.units {
		on, off := a.at[PlaceName(u.placeSeen("top_on")...)], a.at[PlaceName(u.placeSeen("comes_off")...)]
		if u.filler != nil && on != nil && off != nil {
			off.Open = off.Open || on.Open
		}
	}
}

// tie opens what else has to be read so that the heights of an elevation that
// are read on one visit can be compared with those of earlier ones: the
// set-height mark, and every height of a visit that did not read it.
func (a *asker) tie(e *elevation) {
	front, back := a.at[PlaceName(e.place("floor", "front")...)], a.at[PlaceName(e.place("floor", "back")...)]
	mark := a.at[PlaceName(e.place("mark")...)]
	if mark == nil || front == nil || back == nil {
		return // nothing stands on the floor here
	}
	var tops []*ask
	extensions := false
	for _, u := range cabinetsOf(e.units) {
		for _, c := range corners {
			tops = append(tops, a.at[PlaceName(u.placeSeen("tops", c.key)...)])
			x := a.at[PlaceName(u.placeSeen("extension", c.key)...)]
			extensions = extensions || x != nil && !x.Optional
		}
	}
	isOpen := func(x *ask) bool { return x.Open }
	if !mark.Open && !front.Open && !back.Open && !slices.ContainsFunc(tops, isOpen) {
		return
	}
	mark.Open = true
	untied := func(x *ask) bool {
		_, marked := e.mark(x.visit)
		return x.visit >= 0 && !marked
	}
	for _, x := range tops {
		x.Open = x.Open || untied(x)
	}
	if extensions && untied(front) {
		front.Open = true // extensions are held against the floor and the tops together
	}
	// The mark ties a line read now to one read before, unless that had none.
	if front.Open && untied(back) || back.Open && untied(front) {
		front.Open, back.Open = true, true
	}
}

// openVisit opens what is of the visit itself: its instruments, whenever
// anything is to be read, and all that is asked of the site where one of it
// is, since the last visit that says anything of the site counts.
func (a *asker) openVisit() {
	anything, site := false, false
	for _, x := range a.asks {
		anything = anything || x.Open
		site = site || x.Open && x.Place[0] == "site"
	}
	for _, x := range a.asks {
		switch x.Place[0] {
		case "site":
			x.Open = x.Open || site && !x.Optional
		case "instruments":
			x.Open = anything && !x.Optional
		}
	}
}

// lookUp finds the last that was observed of every ask.
func (a *asker) lookUp() {
	for _, v := range slices.Backward(a.visits) {
		tree := visitTree(&a.rec.Measured.Visits[v])
		for _, x := range a.asks {
			if x.visit >= 0 || x.Place[0] == "instruments" {
				continue // an instrument is checked anew before every visit
			}
			if value, ok := schema.Lookup(tree, x.Place); ok {
				x.visit = v
				x.Seen, x.SeenOn = x.words(value, a.sys), a.rec.Measured.Visits[v].Date
			}
		}
	}
}
