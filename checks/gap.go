package checks

import (
	"setline.example/checks/say"
	"setline.example/schema/length"
)

var jointGap = &Rule{
	ID:      "joint-gap",
	Name:    "joint gap",
	Family:  Joining,
	Asks:    "The gap between neighbouring units is no wider than the limit; and where its length was measured, it is over no more than 30 % of the joint's, which is as long as the lower cabinet body is high.",
	Why:     "A gap lets spills down between the cabinets, and shows that the units were not drawn up square.",
	Limit:   LengthOf(1_600_000), // 1.6 mm
	Formula: "the widest gap; 10 x length of the gap <= 3 x height of the lower body",
	Source:  "ANSI/AWI 0620-2024, 3.4.1.1: non-wood to non-wood, flat surfaces, Custom grade 1.6 mm (Premium 0.8 mm, Economy 2.4 mm), over no more than 30 % of the joint's length",
	Needs:   "Measure the widest gap of the joint with a feeler gauge or rule, and over how much of the joint it gapes; where there is none, write 0",
	Remedy:  "Loosen the joint, clamp the units together and join again; check level first, since a cabinet out of level opens its joint",
	At:      DrawnAtJoint,
	observe: askOwners((*asker).askGap),
	again:   faultedBy(againGap),
	judge:   eachJoint((*bench).gap),
}

// gapShare is over how much of a joint's length it may gape, in tenths.
const gapShare = 3

// length is how long a joint is: as high as its lower cabinet body. There is
// none between two fillers.
func (j *joint) length() (l length.Length, ok bool) {
	for _, u := range []*unit{j.left, j.right} {
		if u.cabinet != nil && (!ok || *u.body.Height < l) {
			l, ok = *u.body.Height, true
		}
	}
	return l, ok
}

// askGap asks how wide a joint gapes, and again over how much of it where
// somebody said so.
func (a *asker) askGap(w whose) {
	if w.j == nil {
		return
	}
	a.ask(theGapWidth.Thing, w, "", w.j.subject)
	if _, known := w.j.length(); known && theGapLength.latest(&w.j.seen, "").ok {
		a.ask(theGapLength.Thing, w, "", w.j.subject)
	}
}

// gapsOver is the fault of a gap that is too long.
var gapsOver = faultOf{"gap length", "", ""}

// gap judges how wide a joint gapes, and over how much of it. A record may say
// how wide alone: that is what there was to say before the length was asked.
func (b *bench) gap(j *joint) {
	wide := theGapWidth.latest(&j.seen, "")
	long := theGapLength.latest(&j.seen, "")
	if long.ok && long.value == 0 && long.when > wide.when {
		wide = long // the units touch all along, so that no gap is wide
	}
	gapes := long.ok && long.value > 0 && (!wide.ok || wide.value > 0 || long.when >= wide.when)
	if gapes && wide.value == 0 {
		wide.ok = false // a gap that is so long is somewhere wide: nobody said how wide
	}
	w := b.weigh()
	var unseen []say.Text
	if wide.ok {
		w.add(trial{
			of: faultOf{"gap", "", ""}, value: wide.value, limit: length.Length(b.limit.N),
			doubt: b.readingDoubt(wide.visit, "gaps"), visit: wide.visit, at: wide.at,
		})
	} else {
		unseen = append(unseen, say.That("width of the gap"))
	}
	all, known := j.length()
	measured := gapes && known
	if measured {
		w.add(trial{
			of:    gapsOver,
			value: long.value, limit: mulDiv(all, gapShare, 10),
			doubt: b.readingDoubt(long.visit, "offsets"), visit: long.visit, at: long.at,
		})
	}
	b.conclude(j.subject, j.at, say.That("gap of the joint"), w, unseen, func(t trial) say.Text {
		switch {
		case t.of == gapsOver:
			return say.That("Gapes over %[1]s of a joint %[2]s long", long.value, all)
		case measured:
			return say.That("Widest gap %[1]s, over %[2]s", wide.value, long.value)
		case wide.value > 0 && w.outcome == Pass:
			return say.That("Widest gap %[1]s, its length not measured", wide.value)
		}
		return say.That("Widest gap %[1]s", wide.value)
	})
}
