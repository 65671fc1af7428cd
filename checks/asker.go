package checks

import (
	"encoding/json"
	"slices"

	"setline.example/checks/say"
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

	lists   []TurnList    // what to turn in the room
	widest  length.Length // gap between readings of the floor
	drawers *drawerPlan   // of the room, once it was asked for
}

// ask is an Ask and whose results rest on it.
type ask struct {
	Ask
	whose  whose // it is of; nothing for what is of the visit or the room
	judged []resultKey
	visit  int // position in the record of the visit that last saw it, -1 where none did

	// Of a line of the floor that is to be read again: where, whether a corner is out
	// of travel there, and whether all along it.
	places []length.Length
	packed bool
	whole  bool
}

// resultKey names a result.
type resultKey struct{ rule, subject string }

// ask asks for a thing, or the one of its kind that has the key; the results of
// the rule for the subjects judged rest on it.
func (a *asker) ask(t *Thing, w whose, key string, judged ...Subject) *ask {
	place := append(w.place(), t.Field)
	if key != "" {
		place = append(place, key)
	}
	x := a.want(t, key, w.subject(), judged, place)
	x.whose = w
	if t.boxes != nil && len(x.Blanks) == 1 {
		x.Blanks = t.boxes(a, w)
	}
	if t.over != nil {
		if over := t.over(w, key); over > 0 {
			x.Blanks[len(x.Blanks)-1].Usual = over.String()
		}
	}
	if t.limit != nil {
		if limit := t.limit(a, w, key); !limit.Empty() {
			x.held(limit)
		}
	}
	return x
}

// askEach asks for every one of a thing that its owner has.
func (a *asker) askEach(t *Thing, w whose, judged ...Subject) {
	for _, key := range t.keysOf(w) {
		a.ask(t, w, key, judged...)
	}
}

// keysOf are the keys of what there is of a thing: none where its owner has not
// got it, and "" where there is one.
func (t *Thing) keysOf(w whose) []string {
	switch {
	case t.there != nil && !t.there(w):
		return nil
	case t.keys == nil:
		return []string{t.only}
	}
	return t.keys(w)
}

// want asks for what stands at a place of a visit.
func (a *asker) want(t *Thing, key string, where Subject, judged []Subject, place []string) *ask {
	name := PlaceName(place...)
	x, ok := a.at[name]
	if !ok {
		x = &ask{Ask: Ask{
			Thing: t, Key: key, Subject: where, Place: place, Words: say.Sentence(t.words(key)),
			Blanks: []Blank{{Kind: t.kind, Required: true}}, Optional: true,
		}, visit: -1}
		if t.short != nil {
			x.Short = t.short(key)
		}
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
func (x *ask) held(limit say.Text) *ask {
	x.Limit = limit
	return x
}

// of sets the blanks.
func (x *ask) of(blanks ...Blank) *ask {
	x.Blanks = blanks
	return x
}

// atMost writes the limit of the rule.
func (a *asker) atMost() say.Text {
	if !a.limit.contract {
		return a.rule.LimitIn(a.sys)
	}
	return limitText(a.limit.limit.Text(), a.limit.over, a.limit.least)
}

// subject is what is asked about.
func (w whose) subject() Subject {
	switch {
	case w.r != nil:
		return w.r.atItsEnd()
	case w.j != nil:
		return w.j.subject
	case w.u != nil:
		return w.u.subject
	}
	return w.e.subject
}

// place leads to it within a visit.
func (w whose) place() []string {
	if w.r != nil {
		return []string{"rooms", w.r.plan.Name}
	}
	room := []string{"rooms", w.e.subject.Room}
	switch {
	case w.j != nil:
		return append(room, "joints", w.j.name)
	case w.u == nil:
		return append(room, "elevations", w.e.plan.Name)
	case w.u.cabinet != nil:
		return append(room, "cabinets", w.u.plan.Tag)
	}
	return append(room, "fillers", w.u.plan.Tag)
}

// owner is what kind of a thing it has.
func (w whose) owner() Owner {
	switch {
	case w.r != nil:
		return OfRoom
	case w.j != nil:
		return OfJoint
	case w.u == nil:
		return OfElevation
	case w.u.cabinet != nil:
		return OfCabinet
	}
	return OfFiller
}

// asked is the ask of a thing, nil where nobody asks.
func (a *asker) asked(t *Thing, w whose, key string) *ask {
	place := append(w.place(), t.Field)
	if key != "" {
		place = append(place, key)
	}
	return a.at[PlaceName(place...)]
}

// asks asks for things of which the result of their owner rests on: most often
// what a rule judges is what it reads of.
//
//go:noinline
func asks(things ...*Thing) func(*asker) {
	return askOwners(func(a *asker, w whose) {
		for _, t := range things {
			if t.Of == w.owner() {
				a.askEach(t, w, w.subject())
			}
		}
	})
}

// askOwners goes over all that things are of, in walking order.
//
//go:noinline
func askOwners(ask func(*asker, whose)) func(*asker) {
	return func(a *asker) {
		for _, r := range a.rooms {
			for _, e := range r.elevations {
				ask(a, whose{e: e})
				for i, u := range e.units {
					if j := e.joints[i]; j != nil {
						ask(a, whose{e: e, j: j})
					}
					ask(a, whose{e: e, u: u})
				}
			}
			ask(a, whose{r: r})
		}
	}
}

//go:noinline
func askElevations(ask func(*asker, *elevation)) func(*asker) {
	return func(a *asker) {
		for _, r := range a.rooms {
			for _, e := range r.elevations {
				ask(a, e)
			}
		}
	}
}

// visitWorthRecording asks of the visit itself what no rule needs.
func (a *asker) visitWorthRecording() {
	a.ofSite(theSiteRemark, theSiteRemark.only, 9)
	for i, name := range sortedNames(a.rec.Planned.Instruments) {
		if a.rec.Planned.Instruments[name].Kind == "laser" {
			a.want(theTwoPeg, name, ofVisit(SubjectInstrument, name, i), nil, []string{"instruments", name, theTwoPeg.Field}).of(twoPegBlanks()...)
		}
	}
}

// worthRecording asks of rooms what no rule needs: what stands in for something
// else, what narrows an uncertainty, and remarks.
func (a *asker) worthRecording() {
	all := things()
	askOwners(func(a *asker, w whose) {
		for _, o := range all {
			t := o.what()
			for _, key := range t.keysFor(w) {
				if !t.late && a.asked(t, w, key) == nil {
					a.ask(t, w, key)
				}
			}
		}
	})(a)
}

// keysFor is [Thing.keysOf] of an owner of any kind.
func (t *Thing) keysFor(w whose) []string {
	if t.Of != w.owner() {
		return nil
	}
	return t.keysOf(w)
}

// ofVisit is the subject of what is of the visit itself.
func ofVisit(kind SubjectKind, item string, n int) Subject {
	return Subject{Kind: kind, Item: item, First: item, room: -1, elevation: -1, unit: n}
}

// ofSite asks for something of the site, which stands n-th.
func (a *asker) ofSite(t *Thing, key string, n int, judged ...Subject) {
	x := a.want(t, key, ofVisit(SubjectSite, "site", afterParts+n), judged, []string{t.Field, key})
	if t.limit != nil {
		x.held(t.limit(a, whose{}, key))
	}
}

// cabinets reports whether a joint is one of two cabinets.
func (j *joint) cabinets() bool { return j.left.cabinet != nil && j.right.cabinet != nil }

// tieRooms opens what else has to be looked at where something is open.
func (a *asker) tieRooms() {
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
		if u.filler == nil {
			continue
		}
		w := whose{e: e, u: u}
		on, off := a.asked(theTopOn.Thing, w, ""), a.asked(theComesOff.Thing, w, "")
		if on != nil && off != nil {
			off.Open = off.Open || on.Open
		}
	}
}

// tie opens what else has to be read so that the heights of an elevation that
// are read on one visit can be compared with those of earlier ones: the
// set-height mark, and every height of a visit that did not read it.
func (a *asker) tie(e *elevation) {
	w := whose{e: e}
	front, back := a.asked(theFloor.Thing, w, "front"), a.asked(theFloor.Thing, w, "back")
	mark := a.asked(theMark.Thing, w, "")
	if mark == nil || front == nil || back == nil {
		return // nothing stands on the floor here
	}
	var tops []*ask
	extensions := false
	for _, u := range cabinetsOf(e.units) {
		for _, c := range corners {
			w := whose{e: e, u: u}
			tops = append(tops, a.asked(theTops.Thing, w, c.key))
			x := a.asked(theExtension.Thing, w, c.key)
			extensions = extensions || x != nil && !x.Optional
			if top := tops[len(tops)-1]; x != nil && top != nil && x.Open {
				top.Open = true // an extension belongs to a top read with it or after it
			}
		}
	}
	isOpen := func(x *ask) bool { return x.Open }
	if !mark.Open && !front.Open && !back.Open && !slices.ContainsFunc(tops, isOpen) {
		return
	}
	mark.Open = true
	if mark.visit >= 0 {
		mark.held(say.That("the same mark as on %[1]s", mark.SeenOn))
	}
	for _, x := range tops {
		x.Open = x.Open || x.untied()
	}
	if extensions && front.untied() {
		front.all() // extensions are held against the floor and the tops together
	}
	// The mark ties a reading of the floor made now to those made before, unless
	// they had none.
	if (front.Open || back.Open) && (front.untied() || back.untied()) {
		for _, x := range []*ask{front, back} {
			if x.Open || x.untied() {
				x.all()
			}
		}
	}
}

// openVisit opens what is of the visit itself: its instruments, whenever
// anything is to be read, and all that is asked of the site where one of it
// is, since the last visit that says anything of the site counts.
func (a *asker) openVisit(anything bool) {
	site := false
	for _, x := range a.asks {
		anything = anything || x.Open
		site = site || x.Open && x.Thing.Of == OfSite
	}
	for _, x := range a.asks {
		switch x.Thing.Of {
		case OfSite:
			x.Open = x.Open || site && !x.Optional
		case OfInstrument:
			x.Open = anything && !x.Optional
		}
	}
}

// lookUp finds the visit that last observed each ask. of gives what of a visit
// they can be found in, nil where nothing is.
func (a *asker) lookUp(of func(*schema.Visit) *schema.Visit) {
	for _, v := range slices.Backward(a.visits) {
		part := of(&a.rec.Measured.Visits[v])
		if part == nil {
			continue
		}
		for _, x := range a.asks {
			if x.visit >= 0 || x.Thing.Of == OfInstrument {
				continue // an instrument is checked anew before every visit
			}
			if part.Says(x.Place) {
				x.visit, x.SeenOn = v, a.rec.Measured.Visits[v].Date
			}
		}
	}
}

// visitTree gives a visit as plain JSON values.
func visitTree(v *schema.Visit) any {
	data, err := json.Marshal(v)
	if err != nil {
		return nil // the types of a record all can be written
	}
	var tree any
	if json.Unmarshal(data, &tree) != nil {
		return nil
	}
	return tree
}
