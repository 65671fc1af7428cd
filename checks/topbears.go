package checks

import (
	"math/big"

	"setline.example/checks/rest"
	"setline.example/checks/say"
	"setline.example/schema/length"
)

var topBears = &Rule{
	ID: "top-bears", Name: "top bears", Family: Setting,
	Asks:         "Every piece of top planned will rest on three places at least with its centre of gravity between them, and in one way only, taken as stiff.",
	Why:          "A top whose middle lies beyond what carries it falls off; one that can rest two ways rocks, and breaks where somebody leans on it. A run in one plane within its limit can still let a top rock.",
	LimitWords:   "the centre of gravity between three supports at least; one that rocks is a notice",
	Formula:      "the plane that lies lowest at the centre of gravity above all supports, which are the top corners read and the rails under an end; as if stiff: a thin top bends",
	Source:       "common practice, no source; where it falls is statics",
	Needs:        "Read the four top corners of every cabinet under the top from one reference line",
	Remedy:       "Carry the top by something in front of its centre of gravity, or have its overhang or its joints changed, before it is carried in",
	NoConcession: "a top that tips can fall on whoever stands before it",
	At:           DrawnAtTop,
	observe:      askElevations((*asker).askTops),
	again:        againUntied,
	judge:        eachElevation((*bench).topBears),
}

func (a *asker) askTops(e *elevation) {
	for _, t := range e.tops() {
		for _, u := range t.cabinets {
			a.askEach(theTops.Thing, whose{e: e, u: u}, e.subject)
		}
	}
}

func (b *bench) topBears(e *elevation) {
	tops := e.tops()
	if len(tops) == 0 {
		return
	}
	if b.falls(e, tops) {
		return
	}
	h, unseen := e.topHeights(tops)
	if h == nil {
		b.notObserved(e.subject, e.at, say.And(unseen...))
		return
	}
	var rock []say.Text
	widest, where := new(big.Rat), say.Text{}
	for _, t := range tops {
		r := restOn(centre(t), t.bearings, h)
		if r.State == rest.Rocking {
			rock = append(rock, t.rocks(r))
		}
		if gap, i := r.Ways[0].Widest(); gap.Cmp(widest) > 0 {
			widest, where = gap, t.bearings[i].words()
		}
	}
	visit, at := newest(h.all...)
	res := Result{Subject: e.subject, Visit: visit, Pointer: at.pointer(), Outcome: Pass, Finding: say.Count(len(tops), "%[1]s top rests steadily", "%[1]s tops rest steadily")}
	if widest.Sign() > 0 {
		res.Finding = say.That("%[1]s; widest gap %[2]s, at %[3]s", res.Finding, nearestOf(widest), where)
	}
	if len(rock) > 0 {
		res.Outcome, res.Finding = Notice, say.Few(rock...)
		res.Remedy = say.That("Shim the top before it is laid, or turn the bolts while they can be reached, as the release page says")
	}
	b.add(res)
}

// falls tells of pieces that fall off whatever the heights are.
func (b *bench) falls(e *elevation, tops []*top) bool {
	var told []say.Text
	var faults []fault
	for _, t := range tops {
		s := t.stands()
		if s != rest.Tipping && s != rest.OnEdge {
			continue
		}
		told = append(told, t.fallen(s))
		faults = append(faults, not("top", t.plan.From))
	}
	if len(told) > 0 {
		b.add(Result{Subject: e.subject, Visit: -1, Pointer: e.at, Outcome: Fail, Finding: say.Few(told...), faults: faults})
	}
	return len(told) > 0
}

// fallen says how a piece tips: where its middle lies, and what carries it.
func (t *top) fallen(s rest.State) say.Text {
	c := centre(t)
	x, y := nearestOf(c.X), nearestOf(c.Y.Sub(c.Y, exactly(t.back)))
	switch {
	case len(t.bearings) == 0:
		return say.That("%[1]s lies on no cabinet", t.words())
	case s == rest.OnEdge:
		return say.That("%[1]s stands on an edge: its middle, %[2]s from the left end and %[3]s from the back, lies on the outline of what carries it, and a touch tips it", t.words(), x, y)
	}
	return say.That("%[1]s tips: its middle, %[2]s from the left end and %[3]s from the back, lies beyond all that carries it", t.words(), x, y)
}

// rocks says how far a piece rocks, and on what.
func (t *top) rocks(r rest.Rest) say.Text {
	by, at := r.Rock()
	return say.That("%[1]s rocks by %[2]s at %[3]s, on %[4]s", t.words(), nearestOf(by), t.bearings[at].words(), t.axis(r))
}

// axis names what a piece rests on whichever way it rocks.
func (t *top) axis(r rest.Rest) say.Text {
	var on []say.Text
	for _, i := range r.Axis() {
		on = append(on, t.bearings[i].words())
	}
	return say.Few(on...)
}

// nearestOf rounds to whole nanometres, away from nothing where it is in the
// middle.
func nearestOf(r *big.Rat) length.Length {
	n := new(big.Int).Mul(r.Num(), big.NewInt(2))
	if r.Sign() < 0 {
		n.Sub(n, r.Denom())
	} else {
		n.Add(n, r.Denom())
	}
	n.Quo(n, new(big.Int).Mul(r.Denom(), big.NewInt(2)))
	switch {
	case n.IsInt64():
		return length.Length(n.Int64())
	case n.Sign() < 0:
		return -1 << 63
	}
	return 1<<63 - 1
}
