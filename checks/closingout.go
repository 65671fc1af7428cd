package checks

import (
	"cmp"
	"slices"

	"setline.example/checks/say"
	"setline.example/schema"
)

// What closes a room out, all by looking, where the contract asks for it. An
// elevation is judged as a whole; what is not so, and where, stands in a remark.

var instructionsOnSite = closingRule(closed{named: theInstructions, nameless: say.That("Instructions not observed"), holds: func(name say.Name) say.Text { return say.That("By the maker's instructions, %[1]s", name) }}, Rule{
	ID: "instructions-on-site", Name: "instructions on site",
	Asks:       "The cabinet maker's instructions were on site and followed, in a revision that is named.",
	Why:        "A maker's instructions go before everybody's habits, and change. Who comes back to a fault has to know which were followed.",
	LimitWords: "a revision named",
	Source:     CommonPractice,
	Needs:      "Write down which revision of the maker's instructions was on site and followed",
	Remedy:     "Get the maker's instructions, and see that the work follows them",
})

var servicesClear = closingRule(closed{is: theServices, unseen: say.That("services behind the run"), fails: say.That("Services behind the run not complete and clear"), holds: always(say.That("Services behind the run complete and clear"))}, Rule{
	ID: "services-clear", Name: "services clear",
	Asks:   "The rough-in behind a run is complete and clear before the run closes it off.",
	Why:    "What is behind a run is reached through its fillers from then on, if at all.",
	Needs:  "Look behind the run before it is closed off",
	Remedy: "Have the rough-in completed or cleared by its trade before the run is closed off",
	Source: CommonPractice,
})

var anchoredAsDrawn = closingRule(closed{
	is: theAnchored, unseen: say.That("anchors"), fails: say.That("Not anchored as drawn"),
	named: theAnchorDrawing, nameless: say.That("Anchored, and the drawing it was held against is not named"), holds: func(name say.Name) say.Text { return say.That("Anchored as drawing %[1]s has it", name) },
}, Rule{
	ID: "anchored-as-drawn", Name: "anchored as drawn",
	Asks:         "Blocking was confirmed and the anchors were seen, as a drawing that is named has them. Whether the drawing is enough is for the engineer and the code.",
	Why:          "An unanchored cabinet can tip, and what holds it cannot be seen once the run is closed.",
	LimitWords:   "seen as drawn, and the drawing named",
	Source:       "ANSI/AWI 0620-2018, 3.1 c (blocking); seeing the anchors is common practice, no source",
	Needs:        "See blocking and anchors before they are hidden, and write down by which drawing",
	Remedy:       "Anchor the cabinets as drawn, and have the drawing's author settle what cannot be",
	NoConcession: "what is not anchored can tip over; only the engineer and the authority can say that it need not be",
})

var noDamage = closingRule(closed{is: theUndamaged, unseen: say.That("damage"), fails: say.That("Damage is left"), holds: always(say.That("No damage left"))}, Rule{
	ID: "no-damage", Name: "no damage",
	Asks:   "No nick, scratch or dent is left; what was touched up is said, with a photograph.",
	Why:    "Damage found after turnover is everybody's and nobody's.",
	Needs:  "Look at every face in good light",
	Remedy: "Touch up or replace what is damaged, and photograph it",
	Source: "ANSI/AWI 0620-2018, 3.1 k",
})

var loosePartsThere = closingRule(closed{is: theLooseParts, unseen: say.That("loose parts"), fails: say.That("Loose parts are missing"), holds: always(say.That("All loose parts there"))}, Rule{
	ID: "loose-parts-there", Name: "loose parts there",
	Asks:   "Shelves, locks and keys, pulls, bumpers, base or toe closure and exposed backs are there.",
	Why:    "They come in boxes of their own and go missing in them.",
	Needs:  "Count shelves, locks, keys, pulls and bumpers, and see base closure and exposed backs",
	Remedy: "Find or order what is missing",
	Source: CommonPractice,
})

var clean = closingRule(closed{is: theClean, unseen: say.That("whether it is clean"), fails: say.That("Not clean"), holds: always(say.That("Clean"))}, Rule{
	ID: "clean", Name: "clean",
	Asks:   "Chips and filings are out of the cabinets, films and residue off.",
	Why:    "Filings rust and scratch, and go into what is stored there.",
	Needs:  "Open every cabinet and look",
	Remedy: "Vacuum the cabinets, take films off, and wipe residue away",
	Source: "ANSI/AWI 0620-2018, 3.1 l and m",
})

var protected = closingRule(closed{is: theProtected, unseen: say.That("protection"), fails: say.That("Not protected"), holds: always(say.That("Protected"))}, Rule{
	ID: "protected", Name: "protected",
	Asks:   "What is finished is protected until it is handed over.",
	Why:    "Others go on working around it, and a scratch has no date.",
	Needs:  "See that finished work is covered, and that nobody uses it as a bench",
	Remedy: "Cover what is finished, and keep others off it",
	Source: CommonPractice,
})

// closed is what a rule asks of every elevation that is closed out: that
// something is so, that something is named, or both.
type closed struct {
	is                      thing[schema.ElevationSeen, bool]
	named                   thing[schema.ElevationSeen, string]
	unseen, fails, nameless say.Text                // what nobody saw; what is said where it is not so, and where nothing is named
	holds                   func(say.Name) say.Text // where all is right: of the name, if one is asked for
}

// always is what is said where no name is asked for.
func always(text say.Text) func(say.Name) say.Text { return func(say.Name) say.Text { return text } }

func closingRule(c closed, r Rule) *Rule {
	r.Family, r.LimitWords = ClosingOut, cmp.Or(r.LimitWords, "yes")
	r.observe = asks(slices.DeleteFunc([]*Thing{c.is.Thing, c.named.Thing}, func(t *Thing) bool { return t == nil })...)
	r.again = faultedBy(byOnly)
	r.judge = eachElevation(func(b *bench, e *elevation) {
		if e.closing {
			c.judge(b, e)
		}
	})
	return &r
}

func (c closed) judge(b *bench, e *elevation) {
	is, named := observed[bool]{ok: true, value: true}, observed[string]{ok: true}
	if c.named.Thing != nil {
		named = c.named.latest(&e.seen, c.named.only)
	}
	r := Result{Subject: e.subject, Outcome: Pass, Visit: named.visit, Pointer: named.at.pointer(), Finding: c.holds(say.Name(named.value))}
	if c.is.Thing != nil {
		is = c.is.latest(&e.seen, c.is.only)
		r.Visit, r.Pointer = is.visit, is.at.pointer()
	}
	switch {
	case !is.ok:
		b.notObserved(e.subject, e.at, c.unseen)
		return
	case !is.value:
		r.Outcome, r.Finding, r.faults = Fail, c.fails, []fault{not(c.is.only, "")}
	case !named.ok:
		b.unseen(e.subject, e.at, c.nameless)
		return
	}
	b.add(r)
}
