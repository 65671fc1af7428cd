package report

import (
	"slices"
	"strconv"
	"time"

	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/schema"
	"setline.example/schema/length"
)

// BringView is something to bring: how much of it, and for what. What has to be
// looked to first is Due.
type BringView struct {
	What, HowMuch, For Text
	Due                bool
}

// TakeoffView is one screw of the takeoff.
type TakeoffView struct{ Name, Size, Length, Point, Places, Count, Spare Text }

// PilotView is a drill bit of the takeoff, and how many holes it drills.
type PilotView struct{ Drill, Size, Sheet, Holes Text }

// notSaid is what is said of everything on which the record is silent.
const notSaid say.Words = "not said in the record"

// bring adds what to have along for the elevations that are wanted.
func (v *LayoutView) bring(b *viewer, want LayoutOptions) {
	bring := checks.BringFor(b.rec, schema.Date(want.On.UTC().Format(time.DateOnly)), want.Keep)
	v.Scope = b.own("For the whole job, from the plan.")
	if want.Keep != nil {
		v.Scope = b.own("For the elevations on this sheet, from the plan.")
	}
	v.takeoff(b, bring.Takeoffs)
	add := func(due bool, what, much, why say.Text) {
		v.Bring = append(v.Bring, BringView{b.text(say.Sentence(what)), b.text(much), b.text(why), due})
	}
	v.bringScrews(b, &bring, add)
	clamps := say.Count(bring.Joints, "%[1]s joint, held flush while it is screwed", "%[1]s joints, each held flush while it is screwed")
	if bring.Joints > 0 {
		add(false, say.That("clamps"), notSaid.Text(), clamps)
	}
	v.bringPacking(b, add)
	bringLevels(&bring, add)
	v.bringInstruments(&bring, add)
}

type adding func(due bool, what, much, why say.Text)

// bringScrews adds screws with spares, and drill bits.
func (v *LayoutView) bringScrews(b *viewer, bring *checks.Bring, add adding) {
	if len(bring.Takeoffs) == 0 {
		add(false, say.That("screws"), notSaid.Text(), say.That("joints and fillers"))
	}
	for _, t := range bring.Takeoffs {
		if t.Places == 0 {
			continue
		}
		much := notSaid.Text()
		if t.Count > 0 {
			much = say.That("%[1]s, with %[2]s spare", t.Count+t.Spare, t.Spare)
		}
		uses := make([]say.Text, len(t.Screw.Use))
		for i, use := range t.Screw.Use {
			uses[i] = checks.AnswerWords(use)
		}
		what := say.That("screws %[1]s, %[2]s × %[3]s", say.Name(t.Name), say.Name(t.Screw.Size), t.Screw.Length)
		if t.Screw.Point != "" {
			what = say.That("%[1]s, %[2]s", what, checks.AnswerWords(t.Screw.Point))
		}
		add(false, what, much, say.Count(t.Places, "%[2]s: %[1]s place", "%[2]s: %[1]s places", say.Commas(uses...)))
	}
	for _, p := range v.Pilots {
		add(false, say.That("drill bit %[1]s", say.Name(p.Drill)), say.That("for %[1]s holes", say.Name(p.Holes)),
			say.That("screws %[1]s in sheet of %[2]s; what their maker prints goes before", say.Name(p.Size), say.Name(p.Sheet)))
	}
}

// bringPacking adds what goes under levelers.
func (v *LayoutView) bringPacking(b *viewer, add adding) {
	known := false
	for _, e := range v.Elevations {
		for _, p := range e.packing {
			add(true, say.That("packing, %[1]s", p.thick), say.That("1"), say.That("%[1]s, under %[2]s", say.Name(e.Room), p.of.Words()))
		}
		known = known || len(e.packing) > 0
	}
	switch {
	case known:
	case slices.ContainsFunc(v.Elevations, func(e LayoutElevation) bool { return !e.Surveyed }):
		add(true, say.That("packing"), say.That("not known"), say.That("before the whole floor is read"))
	}
}

// packed is a corner to be packed, and how thick.
type packed struct {
	of    checks.LayoutCorner
	thick length.Length
}

// bringLevels says how long levels have to be to lie where they are read.
func bringLevels(bring *checks.Bring, add adding) {
	if bring.Narrowest.Of.First == "" {
		return
	}
	run := bring.Longest
	add(false, say.That("level"), say.That("at most %[1]s long", min(bring.Narrowest.Length, bring.Shallowest.Length)),
		say.That("within each cabinet (narrowest: %[1]s in %[2]s); a long one or a laser for runs, up to %[3]s",
			say.Name(bring.Narrowest.Of.First), say.Name(bring.Narrowest.Room), run.Length))
}

// bringInstruments adds the job's instruments, and when each has to be checked.
func (v *LayoutView) bringInstruments(bring *checks.Bring, add adding) {
	if len(bring.Instruments) == 0 {
		add(true, say.That("instruments"), notSaid.Text(), say.That("to read floor, tops, level and offsets"))
	}
	for i := range bring.Instruments {
		in := &bring.Instruments[i]
		what := say.That("%[1]s (%[2]s)", say.Name(in.Name), checks.AnswerWords(in.Kind))
		switch {
		case !in.Asked:
			add(false, what, say.That("1"), say.That("no check is asked for"))
		case in.Checked == "":
			add(true, what, say.That("check it first"), say.That("when it was checked is not said in the record"))
		case in.Dropped:
			add(true, what, say.That("check it first"), say.That("dropped since its check of %[1]s", in.Checked))
		case in.Failed:
			add(true, what, say.That("check it first"), say.That("out by more than stated on %[1]s", in.Checked))
		case in.Due:
			add(true, what, say.That("check it first"), say.That("its check of %[1]s was good until %[2]s", in.Checked, in.Until))
		default:
			add(false, what, say.That("1"), say.That("checked %[1]s, good until %[2]s", in.Checked, in.Until))
		}
	}
}

// takeoff adds screws, and the drill bits for those that
// need a hole.
func (v *LayoutView) takeoff(b *viewer, takeoffs []checks.Takeoff) {
	number := func(n int) Text {
		if n == 0 {
			return b.own("not planned")
		}
		return Text(strconv.Itoa(n))
	}
	holes := map[PilotView]int{} // place in Pilots of a bit, which several screws share
	total := []int{}
	for _, t := range takeoffs {
		v.Takeoff = append(v.Takeoff, TakeoffView{
			Text(t.Name), Text(t.Screw.Size), Text(t.Screw.Length.In(b.sys)), b.text(checks.AnswerWords(t.Screw.Point)),
			Text(strconv.Itoa(t.Places)), number(t.Count), number(t.Spare),
		})
		for _, p := range t.Pilots {
			bit := PilotView{Drill: b.drill(p), Size: Text(t.Screw.Size), Sheet: b.sheet(p.Sheet)}
			i, known := holes[bit]
			if !known {
				i = len(v.Pilots)
				holes[bit] = i
				v.Pilots, total = append(v.Pilots, bit), append(total, 0)
			}
			total[i] += p.Holes
			v.Pilots[i].Holes = number(total[i])
		}
	}
}

// drill names a drill bit as it is sold: in millimetres, and where the record
// has inches by the nearest 64th too.
func (b *viewer) drill(p checks.Pilot) Text {
	switch {
	case p.Sheet == 0:
		return b.own("of a size that is known once the sheet's gauge is planned")
	case p.Drill == 0:
		return b.own("of the size that the screw's maker prints")
	}
	return b.text(b.drillWords(p.Drill))
}

// drillWords are the size of a drill bit.
func (b *viewer) drillWords(drill length.Length) say.Text {
	if b.sys == length.InchSystem {
		return say.That("%[1]s (%[2]s)", say.Name(drill.Near(b.sys)), say.Name(drill.In(length.Metric)))
	}
	return say.That("%[1]s", drill)
}

func (b *viewer) sheet(l length.Length) Text {
	if l == 0 {
		return none
	}
	return Text(b.decimal(float64(l)))
}
