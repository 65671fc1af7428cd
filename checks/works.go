package checks

import (
	"strconv"
	"strings"

	"setline.example/checks/say"
	"setline.example/schema/length"
)

var frontsAligned = &Rule{
	ID:        "fronts-aligned",
	Name:      "fronts aligned",
	Family:    Fronts,
	Asks:      "Every door and drawer front is in line with its neighbours.",
	Why:       "Fronts out of line are what people see of a room, and the first sign of a cabinet out of level or of a floor that moved.",
	Limit:     LengthOf(length.Inch / 16),
	BothSides: true,
	Formula:   "the greatest |offset| of a front",
	Source:    "common practice, no source; as for fronts, by a published remodelling performance standard (attributed to NAHB, from memory)",
	Needs:     "Measure for every door and drawer how far its front is out of line with its neighbours",
	Remedy:    "Check level, then movement, and only then adjust hinge or slide",
	observe:   asks(theAlignment.Thing),
	judge:     eachCabinet((*bench).aligned),
}

func (b *bench) aligned(e *elevation, u *unit) {
	if len(u.fronts) == 0 {
		return
	}
	w := b.weigh()
	var unseen []say.Text
	said, rests := saidLast(&u.asCab, saidAlignment), false
	for _, front := range u.fronts {
		o := theAlignment.latest(&u.asCab, front)
		if said.when > o.when && b.rec.Planned.DecisionRule != Guarded {
			rests = true // a gauge that goes in or does not is enough where uncertainty does not count
			continue
		}
		if !o.ok {
			unseen = append(unseen, say.That("alignment of %[1]s", frontWords(front)))
			continue
		}
		w.add(b.offset(faultOf{"alignment", front, ""}, frontWords(front), o))
	}
	if rests && w.outcome == "" && len(unseen) == 0 {
		b.add(Result{
			Subject: u.subject, Visit: said.visit, Pointer: said.at.pointer(), Outcome: Pass,
			Finding: say.That("All fronts in line, as was said of all of the elevation"),
		})
		return
	}
	b.conclude(u.subject, u.at, say.That("alignment of doors and drawers"), w, unseen, func(t trial) say.Text {
		if t.value == 0 {
			return say.That("All fronts in line")
		}
		return say.That("%[1]s is %[2]s out of line", t.words, t.value)
	})
	b.diagnoseLast(e, u)
}

var frontsWork = &Rule{
	ID:         "doors-and-drawers-work",
	Name:       "doors and drawers work",
	Family:     Fronts,
	Asks:       "Every door and drawer works freely over its whole travel.",
	Why:        "A drawer that rubs or a door that springs open will be adjusted by the next person, who does not know that the cabinet under it is out of level.",
	LimitWords: "all work",
	Source:     CommonPractice,
	Needs:      "Open and close every door and drawer over its whole travel",
	Remedy:     "Check level, then movement, and only then adjust hinge or slide",
	observe:    asks(theWorking.Thing),
	judge:      eachCabinet((*bench).works),
}

func (b *bench) works(e *elevation, u *unit) {
	if len(u.fronts) == 0 {
		return
	}
	var bad, unseen []say.Text
	var faults []fault
	decides := observed[bool]{when: -1, visit: -1}
	for _, front := range u.fronts {
		o := theWorking.latest(&u.asCab, front)
		switch {
		case !o.ok:
			unseen = append(unseen, frontWords(front))
			continue
		case !o.value:
			bad = append(bad, frontWords(front))
			faults = append(faults, not("works", front))
		}
		decides = deciding(decides, o)
	}
	r := Result{Subject: u.subject, Visit: decides.visit, Pointer: decides.at.pointer(), faults: faults, unseen: len(unseen) > 0}
	switch {
	case len(bad) > 0:
		r.Outcome = Fail
		r.Finding = andUnseen(say.Count(len(bad), "%[2]s does not work freely", "%[2]s do not work freely", say.And(bad...)), unseen)
	case !decides.ok:
		b.notObserved(u.subject, u.at, say.That("doors and drawers"))
		return
	case len(unseen) > 0:
		b.notObserved(u.subject, u.at, say.And(unseen...))
		return
	default:
		r.Outcome, r.Finding = Pass, say.That("All doors and drawers work")
	}
	b.add(r)
	b.diagnoseLast(e, u)
}

// deciding returns which of two answers a result rests on: a no before a yes,
// then the newer one.
func deciding(a, o observed[bool]) observed[bool] {
	if !a.ok || a.value && !o.value || a.value == o.value && o.when > a.when {
		return o
	}
	return a
}

// frontWords says which front of a cabinet is meant by its key in the record,
// "drawer 2".
func frontWords(key string) say.Text {
	kind, number, _ := strings.Cut(key, " ")
	n, _ := strconv.Atoi(number) // the record has no other keys
	if kind == "door" {
		return say.That("door %[1]s", n)
	}
	return say.That("drawer %[1]s", n)
}
