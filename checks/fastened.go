package checks

import (
	"slices"

	"setline.example/checks/say"
	"setline.example/schema"
	"setline.example/schema/length"
)

var jointFastened = &Rule{
	ID:           "joint-fastened",
	Name:         "joint fastened",
	Family:       Joining,
	Asks:         "Two cabinets side by side hold each other by self-tapping screws at two places, as many as planned: in front, and high at the back of their sides. Where one has doors, the front screws are 1 1/4 in long and go through a hole that a hinge has left free; where none has, they are 1/2 in long and sit just inside the front stile. At the back they are 1/2 in long. A filler is held from inside with the screws planned for fillers.",
	Why:          "A joint held at one place opens at the other when the run is loaded.",
	LimitWords:   "the right screw, as many as planned, through the right place, front and upper rear; a filler from inside",
	Source:       CommonPractice,
	Needs:        "Look which screws join the cabinets at the front and at the upper rear, how many, and through what",
	Remedy:       "Join the cabinets at the place named with the screw named, clamped flush",
	NoConcession: "a cabinet that is not joined can tip",
	At:           DrawnAtJoint,
	observe:      askFixings((*asker).askFastened),
	again:        againScrews,
	judge:        eachFixed((*bench).fastened),
}

// nominal is how far a screw may be from its nominal length and still be that
// screw: metric screws sold for 1/2 in and 1 1/4 in differ by less.
const nominal = length.Inch / 32

// fixing is a place at which screws hold two units together.
type fixing struct {
	words   say.Words     // what it is called
	key     string        // of a joint, of the place
	use     string        // for which screws are planned
	through string        // what they have to go through; "" for a filler, from inside
	length  length.Length // how long they have to be; 0 for a filler, as planned
	got     observed[schema.Fastening]
	path    func(through string) (path, steel length.Length, lacking say.Text)
}

// fixed is what screws hold: a joint of two cabinets, or a filler.
type fixed struct {
	subject Subject
	at      string
	whose   whose
	fixings []fixing
}

// eachFixed goes over all joints of cabinets, and all fillers whose screws are
// planned or were seen.
//
//go:noinline
func eachFixed(judge func(*bench, fixed)) func(*bench) {
	return eachElevation(func(b *bench, e *elevation) {
		for _, f := range b.fixed(e) {
			judge(b, f)
		}
	})
}

//go:noinline
func askFixings(observe func(*asker, fixed)) func(*asker) {
	return askElevations(func(a *asker, e *elevation) {
		for _, f := range a.fixed(e) {
			observe(a, f)
		}
	})
}

// filler reports whether it is one that screws hold.
func (f fixed) filler() bool { return f.whose.u != nil }

func (a *asker) askFastened(f fixed) {
	for _, p := range f.fixings {
		if f.filler() {
			a.ask(theFillerScrews.Thing, f.whose, "", f.subject).held(say.That("%[1]s from inside, no tip in sight", say.And(names(a.screws[p.use])...)))
		} else {
			a.ask(theJointScrews.Thing, f.whose, p.key, f.subject).held(say.That("%[1]s screws through %[2]s, no tip in sight", p.length, AnswerWords(p.through)))
		}
	}
}

func (f *facts) fixed(e *elevation) []fixed {
	var all []fixed
	for i, u := range e.units {
		if j := e.joints[i]; j != nil && j.cabinets() {
			all = append(all, fixed{j.subject, j.at, whose{e: e, j: j}, j.fixings()})
		}
		if u.filler == nil {
			continue
		}
		held := e.fillerFixing(i)
		if held.got.ok || len(f.screws[held.use]) > 0 {
			all = append(all, fixed{u.subject, u.at, whose{e: e, u: u}, []fixing{held}})
		}
	}
	return all
}

// fixings are the two places at which a joint of cabinets is fastened, and what
// was seen there.
func (j *joint) fixings() []fixing {
	all := j.places()
	for i := range all {
		all[i].got, all[i].path = theJointScrews.latest(&j.seen, all[i].key), j.path
	}
	return all
}

// places are the two places, and what belongs there.
func (j *joint) places() []fixing {
	front := fixing{words: "front", key: "front", use: "front of drawer cabinet", through: "behind front rail", length: length.Inch / 2}
	if j.left.cabinet.Doors()+j.right.cabinet.Doors() > 0 {
		front.use, front.through, front.length = "front of door cabinet", "vacated hinge hole", length.Inch*5/4
	}
	rear := fixing{words: "upper rear", key: "upper_rear", use: "upper rear", through: "side", length: length.Inch / 2}
	return []fixing{front, rear}
}

// fillerFixing is how the filler at a place in the elevation is held.
func (e *elevation) fillerFixing(i int) fixing {
	u := e.units[i]
	f := fixing{words: "filler", use: "filler"}
	f.got = theFillerScrews.latest(&u.asFill, "")
	f.path = func(through string) (path, steel length.Length, lacking say.Text) {
		lacking = say.That("no cabinet beside the filler to hold it")
		beside := []*joint{e.joints[i]}
		if i+1 < len(e.joints) {
			beside = append(beside, e.joints[i+1])
		}
		for _, j := range beside {
			if j == nil || j.left.cabinet == nil && j.right.cabinet == nil {
				continue
			}
			// Between two cabinets the one that asks more of the screw counts.
			p, s, why := j.path(through)
			path, steel, lacking = max(path, p), max(steel, s), why
			if !why.Empty() {
				return 0, 0, why
			}
		}
		return path, steel, lacking
	}
	return f
}

// screwsByUse names the screws planned for each use, in order.
func screwsByUse(rec *schema.Record) map[string][]string {
	all := map[string][]string{}
	for _, name := range sortedNames(rec.Planned.Fasteners) {
		for _, use := range rec.Planned.Fasteners[name].Use {
			if n := len(all[use]); n == 0 || all[use][n-1] != name { // who names it twice
				all[use] = append(all[use], name)
			}
		}
	}
	return all
}

// fewest is how many of a screw have to be at a place of a use: as many as are
// planned of it there; of another one, as many as of those that are.
func (b *bench) fewest(name, use string) int {
	planned := b.screws[use]
	if len(planned) == 0 || slices.Contains(planned, name) {
		return b.rec.Planned.Fasteners[name].Each
	}
	n := 0
	for _, p := range planned {
		if each := b.rec.Planned.Fasteners[p].Each; n == 0 || each > 0 && each < n {
			n = each
		}
	}
	return n
}

// asPlanned reports whether a screw is one that is planned for a use, or is like
// one in size, point and length.
func (b *bench) asPlanned(name, use string) bool {
	s := b.rec.Planned.Fasteners[name]
	return slices.ContainsFunc(b.screws[use], func(p string) bool {
		q := b.rec.Planned.Fasteners[p]
		return p == name || q.Size == s.Size && q.Point == s.Point && apart(q.Length, s.Length) <= nominal
	})
}

func (b *bench) fastened(f fixed) {
	var wrong, unseen []say.Text
	r := Result{Subject: f.subject, Visit: -1}
	when := -1
	for _, p := range f.fixings {
		if p.got.ok && p.got.when > when {
			when = p.got.when
			r.Visit, r.Pointer = p.got.visit, p.got.at.pointer()
		}
	}
	for _, p := range f.fixings {
		if !p.got.ok {
			unseen = append(unseen, p.words.Text())
			continue
		}
		words, faults := b.fasteningFaults(p)
		if len(words) > 0 {
			wrong, r.faults = append(wrong, words...), append(r.faults, faults...)
			r.Visit, r.Pointer = p.got.visit, p.got.at.pointer()
		} else if p.got.value.Count > 0 && p.got.value.Through == "" {
			unseen = append(unseen, p.words.Text())
		}
	}
	r.unseen = len(unseen) > 0
	switch {
	case len(wrong) > 0:
		r.Outcome, r.Finding = Fail, say.Semicolons(wrong...)
	case len(unseen) == len(f.fixings) && f.filler():
		b.notObserved(f.subject, f.at, say.That("screws of the filler, or what they go through,"))
		return
	case len(unseen) == len(f.fixings):
		b.notObserved(f.subject, f.at, say.That("how the joint is fastened"))
		return
	case len(unseen) > 0:
		b.unseen(f.subject, f.at, say.That("Fastening at the %[1]s not observed", unseen[0]))
		return
	case f.filler():
		r.Outcome, r.Finding = Pass, say.That("Fastened as planned")
	default:
		r.Outcome, r.Finding = Pass, say.That("Fastened at front and upper rear")
	}
	b.add(r)
}

// fasteningFaults are what is known to be wrong with how one place is fastened.
func (b *bench) fasteningFaults(p fixing) (words []say.Text, faults []fault) {
	got := p.got.value
	screw := b.rec.Planned.Fasteners[got.Fastener]
	add := func(what string, text say.Text, value, limit int64) {
		words, faults = append(words, text), append(faults, fault{faultOf{what, p.key, ""}, value, limit})
	}
	at := say.That("at the %[1]s", p.words)
	if p.through == "" {
		at = say.That("in the filler")
	}
	fewest := b.fewest(got.Fastener, p.use)
	if got.Count == 0 {
		if p.through != "" || fewest > 0 {
			add("count", say.That("no fastener %[1]s", at), 0, 0)
		}
		return words, faults
	}
	if got.Count < fewest {
		add("count", say.Count(got.Count, "%[1]s fastener %[2]s, %[3]s planned", "%[1]s fasteners %[2]s, %[3]s planned", at, fewest), int64(fewest-got.Count), 0)
	}
	switch {
	case got.Through == "":
	case p.through == "" && got.Through == "face":
		add("through", say.That("filler fastened through its face, not from inside"), 0, 0)
	case p.through != "" && got.Through != p.through:
		add("through", say.That("%[1]s fastened through %[2]s, not %[3]s", p.words, AnswerWords(got.Through), AnswerWords(p.through)), 0, 0)
	}
	switch planned := b.screws[p.use]; {
	case p.length > 0 && apart(screw.Length, p.length) > nominal:
		add("screw", say.That("%[1]s fastened with screws %[2]s long, not %[3]s", p.words, screw.Length, p.length),
			int64(apart(screw.Length, p.length)), int64(nominal))
	case p.length == 0 && len(planned) > 0 && !b.asPlanned(got.Fastener, p.use):
		add("screw", say.That("filler fastened with %[1]s (%[2]s, %[3]s), not %[4]s",
			say.Name(got.Fastener), say.Name(screw.Size), screw.Length, say.And(names(planned)...)), 0, 0)
	}
	return words, faults
}
