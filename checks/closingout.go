package checks

import (
	"setline.example/checks/say"
	"setline.example/schema"
)

// What closes a room out, all by looking, where the contract asks for it. An
// elevation is judged as a whole; what is not so, and where, stands in a remark.

var instructionsOnSite = &Rule{
	ID: "instructions-on-site", Name: "instructions on site", Family: ClosingOut,
	Asks:       "The cabinet maker's instructions were on site and followed, in a revision that is named.",
	Why:        "A maker's instructions go before everybody's habits, and change. Who comes back to a fault has to know which were followed.",
	LimitWords: "a revision named",
	Source:     "common practice, no source",
	Needs:      "Write down which revision of the maker's instructions was on site and followed",
	Remedy:     "Get the maker's instructions, and see that the work follows them",
	observe:    asks(theInstructions.Thing),
	judge: eachElevation(func(b *bench, e *elevation) {
		if !e.closing {
			return
		}
		o := theInstructions.latest(&e.seen, theInstructions.only)
		if !o.ok {
			b.notObserved(e.subject, e.at, say.That("instructions"))
			return
		}
		b.add(Result{Subject: e.subject, Outcome: Pass, Visit: o.visit, Pointer: o.at.pointer(), Finding: say.That("By the maker's instructions, %[1]s", say.Name(o.value))})
	}),
}

var servicesClear = closingRule(theServices, Rule{
	ID: "services-clear", Name: "services clear",
	Asks:   "The rough-in behind a run is complete and clear before the run closes it off.",
	Why:    "What is behind a run is reached through its fillers from then on, if at all.",
	Needs:  "Look behind the run before it is closed off",
	Remedy: "Have the rough-in completed or cleared by its trade before the run is closed off",
	Source: "common practice, no source",
}, "Services behind the run complete and clear", "Services behind the run not complete and clear", "services behind the run")

var anchoredAsDrawn = &Rule{
	ID: "anchored-as-drawn", Name: "anchored as drawn", Family: ClosingOut,
	Asks:         "Blocking was confirmed and the anchors were seen, as a drawing that is named has them. Whether the drawing is enough is for the engineer and the code.",
	Why:          "An unanchored cabinet can tip, and what holds it cannot be seen once the run is closed.",
	LimitWords:   "seen as drawn, and the drawing named",
	Source:       "ANSI/AWI 0620-2018, 3.1 c (blocking); seeing the anchors is common practice, no source",
	Needs:        "See blocking and anchors before they are hidden, and write down by which drawing",
	Remedy:       "Anchor the cabinets as drawn, and have the drawing's author settle what cannot be",
	NoConcession: "what is not anchored can tip over; only the engineer and the authority can say that it need not be",
	observe:      asks(theAnchored.Thing, theAnchorDrawing.Thing),
	judge: eachElevation(func(b *bench, e *elevation) {
		if e.closing {
			b.anchored(e)
		}
	}),
}

func (b *bench) anchored(e *elevation) {
	seen, drawing := theAnchored.latest(&e.seen, theAnchored.only), theAnchorDrawing.latest(&e.seen, theAnchorDrawing.only)
	r := Result{Subject: e.subject, Visit: seen.visit, Pointer: seen.at.pointer()}
	switch {
	case seen.ok && !seen.value:
		r.Outcome, r.Finding, r.faults = Fail, say.That("Not anchored as drawn"), []fault{not("anchored", "")}
	case !seen.ok:
		b.notObserved(e.subject, e.at, say.That("anchors"))
		return
	case !drawing.ok:
		b.unseen(e.subject, e.at, say.That("Anchored, and the drawing it was held against is not named"))
		return
	default:
		r.Outcome, r.Finding = Pass, say.That("Anchored as drawing %[1]s has it", say.Name(drawing.value))
	}
	b.add(r)
}

var noDamage = closingRule(theUndamaged, Rule{
	ID: "no-damage", Name: "no damage",
	Asks:   "No nick, scratch or dent is left; what was touched up is said, with a photograph.",
	Why:    "Damage found after turnover is everybody's and nobody's.",
	Needs:  "Look at every face in good light",
	Remedy: "Touch up or replace what is damaged, and photograph it",
	Source: "ANSI/AWI 0620-2018, 3.1 k",
}, "No damage left", "Damage is left", "damage")

var loosePartsThere = closingRule(theLooseParts, Rule{
	ID: "loose-parts-there", Name: "loose parts there",
	Asks:   "Shelves, locks and keys, pulls, bumpers, base or toe closure and exposed backs are there.",
	Why:    "They come in boxes of their own and go missing in them.",
	Needs:  "Count shelves, locks, keys, pulls and bumpers, and see base closure and exposed backs",
	Remedy: "Find or order what is missing",
	Source: "common practice, no source",
}, "All loose parts there", "Loose parts are missing", "loose parts")

var clean = closingRule(theClean, Rule{
	ID: "clean", Name: "clean",
	Asks:   "Chips and filings are out of the cabinets, films and residue off.",
	Why:    "Filings rust and scratch, and go into what is stored there.",
	Needs:  "Open every cabinet and look",
	Remedy: "Vacuum the cabinets, take films off, and wipe residue away",
	Source: "ANSI/AWI 0620-2018, 3.1 l and m",
}, "Clean", "Not clean", "whether it is clean")

// closingRule is a rule that asks one yes of every elevation that is closed out.
func closingRule(t thing[schema.ElevationSeen, bool], r Rule, yes, no, unseen string) *Rule {
	r.Family, r.LimitWords = ClosingOut, "yes"
	r.observe = asks(t.Thing)
	r.judge = eachElevation(func(b *bench, e *elevation) {
		if !e.closing {
			return
		}
		o := t.latest(&e.seen, t.only)
		switch {
		case !o.ok:
			b.notObserved(e.subject, e.at, say.That(unseen))
		case o.value:
			b.add(Result{Subject: e.subject, Outcome: Pass, Visit: o.visit, Pointer: o.at.pointer(), Finding: say.That(yes)})
		default:
			b.add(Result{Subject: e.subject, Outcome: Fail, Visit: o.visit, Pointer: o.at.pointer(), Finding: say.That(no), faults: []fault{not(t.only, "")}})
		}
	})
	return &r
}
