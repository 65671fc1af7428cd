package checks

import "setline.example/checks/say"

var levelersBearing = &Rule{
	ID:           "levelers-bearing",
	Name:         "levelers bearing",
	Family:       Setting,
	Asks:         "Every leveler of every cabinet bears on the floor.",
	Why:          "A floating leveler leaves its corner to hang on the joints. The load of the top and of what is put on it then racks the cabinet and opens the joint.",
	Limit:        CountOf(0),
	LimitWords:   "no leveler off the floor",
	Source:       CommonPractice,
	Needs:        "Look at all four levelers; one that bears carries load and cannot be turned by hand",
	Remedy:       "Run the leveler down until it carries load, without lifting the corner out of level, then check level and joints again",
	NoConcession: "a corner that hangs on its joints can drop when the top or a person loads it",
	At:           DrawnAtFoot,
	observe:      asks(theBearing.Thing),
	judge:        judgeLevelersBearing,
}

func judgeLevelersBearing(b *bench) {
	b.units(func(_ *room, u *unit) {
		if u.cabinet == nil {
			return
		}
		var floating, unseen []say.Text
		var faults []fault
		decides := observed[bool]{when: -1, visit: -1}
		for _, c := range corners {
			o := theBearing.latest(&u.asCab, c.key)
			switch {
			case !o.ok:
				unseen = append(unseen, c.word.Text())
				continue
			case !o.value:
				floating = append(floating, c.word.Text())
				faults = append(faults, not("bears", c.key))
			}
			decides = deciding(decides, o)
		}
		r := Result{Subject: u.subject, Visit: decides.visit, Pointer: decides.at.pointer(), Value: CountOf(len(floating)), faults: faults, unseen: len(unseen) > 0}
		switch {
		case len(floating) > 0:
			r.Outcome = Fail
			r.Finding = andUnseen(say.Count(len(floating), "%[2]s does not bear on the floor", "%[2]s do not bear on the floor", say.And(floating...)), unseen)
		case len(unseen) == len(corners):
			b.notObserved(u.subject, u.at, say.That("levelers"))
			return
		case len(unseen) > 0:
			r.Outcome, r.Value = NotObserved, Quantity{}
			r.Finding = say.Count(len(unseen), "%[2]s leveler not observed; the others bear", "%[2]s levelers not observed; the others bear", say.And(unseen...))
			r.Remedy = b.rule.Needs.Text()
		default:
			r.Outcome = Pass
			r.Finding = say.That("All four levelers bear")
		}
		b.add(r)
	})
}
