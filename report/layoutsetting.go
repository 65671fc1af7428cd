package report

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/report/drawing"
	"setline.example/schema/length"
)

// PlanView is a cabinet in plan: what each of its levelers is turned to.
type PlanView struct{ Cabinet, BackLeft, BackRight, FrontLeft, FrontRight Text }

// ExactRow is a cabinet with what is known of each of its corners: the floor's
// reading, the extension and the turns.
type ExactRow struct{ Cabinet, BackLeft, BackRight, FrontLeft, FrontRight Text }

// stops sorts what the rules say of an elevation: what stops the work, and what
// is worth knowing.
func (b *viewer) stops(e *LayoutElevation, l *checks.Layout) {
	stops, notices := l.Stops()
	var rules []say.Text
	for _, r := range stops {
		switch {
		case l.Surveyed || !r.Finding.Equal(stops[0].Finding):
			rules = append(rules, r.Rule.Title().Text())
		case len(rules) == 0: // what is missing says more than all that waits for it
			rules = append(rules, say.That("NOT SURVEYED"))
		}
	}
	e.Stops, e.Notices = b.alike(stops), b.alike(notices)
	for _, r := range append(stops, notices...) {
		e.Open = append(e.Open, b.result(r))
	}
	if len(stops) > 0 {
		e.Stop = b.text(say.That("STOP: %[1]s", say.Commas(rules...)))
	}
}

// alike are results, those that find the same told together.
func (b *viewer) alike(results []checks.Result) (all []ResultView) {
	var first []checks.Result
	var rules [][]say.Text
next:
	for _, r := range results {
		for i := range first {
			if first[i].Outcome == r.Outcome && first[i].Finding.Equal(r.Finding) {
				rules[i] = append(rules[i], r.Rule.Title().Text())
				continue next
			}
		}
		first, rules = append(first, r), append(rules, []say.Text{r.Rule.Title().Text()})
	}
	for i, r := range first {
		v := b.result(r)
		v.Rule = b.text(say.Commas(rules[i]...))
		all = append(all, v)
	}
	return all
}

// setting tells how the cabinets of an elevation are set, in words and drawn.
func (b *viewer) setting(e *LayoutElevation, l *checks.Layout, n int) {
	height, how := heightWords(b, l)
	e.Height, e.How = b.text(height), b.text(how)
	e.Top, e.Above = b.own("not known"), none
	if l.Set {
		e.Top = b.text(say.That("%[1]s", l.SetTop))
		e.Above = b.text(say.That("%[1]s", l.Above()))
	}
	if l.Trial != nil {
		e.Trial = b.trial(l)
	}
	s := drawing.Setting{Legend: b.legend(l)}
	if l.Set || l.Surveyed {
		s.Height, s.How = height, how
	}
	e.Legend = b.text(s.Legend)
	if e.Stop != "" {
		s.Stop = say.Name(e.Stop).Text()
	}
	if len(l.Corners) == 0 {
		for _, u := range l.Units {
			if u.Cabinet != nil {
				s.Stands = append(s.Stands, drawing.Stand{Tag: u.Tag})
			}
		}
	}
	for i := 0; i+3 < len(l.Corners); i += 4 {
		fl, fr, bl, br := l.Corners[i], l.Corners[i+1], l.Corners[i+2], l.Corners[i+3]
		stand := drawing.Stand{Tag: fl.Unit}
		plan, exact := PlanView{Cabinet: Text(fl.Unit)}, ExactRow{Cabinet: Text(fl.Unit)}
		for k, at := range []struct {
			c     checks.LayoutCorner
			plan  *Text
			exact *Text
		}{{bl, &plan.BackLeft, &exact.BackLeft}, {br, &plan.BackRight, &exact.BackRight}, {fl, &plan.FrontLeft, &exact.FrontLeft}, {fr, &plan.FrontRight, &exact.FrontRight}} {
			stand.Feet[k] = b.foot(l, at.c)
			*at.plan, *at.exact = b.text(footWords(&stand.Feet[k], at.c)), b.text(exactWords(at.c, b.sys))
		}
		s.Stands = append(s.Stands, stand)
		e.Plans, e.Exact = append(e.Plans, plan), append(e.Exact, exact)
	}
	for i, d := range drawing.Settings(b.elevation(*l), s, b.sys, drawingWidth) {
		name := fmt.Sprintf("setting-%d-%d", n, i+1)
		b.pictures[name] = whole{d}
		e.Settings = append(e.Settings, DrawingView{Name: name, Alt: Text(d.Alt)})
	}
}

// heightWords say where the tops are set, and what that rests on.
func heightWords(b *viewer, l *checks.Layout) (height, how say.Text) {
	if !l.Set {
		return say.That("Set height not known"), say.That("the floor was not observed where the levelers stand")
	}
	line := say.That("the line of %[1]s", b.visit(l.Visit))
	if l.Reference != "" {
		line = say.That("reference line %[1]s, as on %[2]s", say.Name(l.Reference), b.visit(l.Visit))
	}
	how = say.That("down from %[1]s; %[2]s above the high point", line, l.Above())
	switch {
	case l.Trial != nil:
		return say.That("Trial: tops at %[1]s", l.SetTop), say.That("%[1]s; %[2]s", how, l.Trial.InRecord())
	case l.Marked:
		return say.That("Tops at %[1]s", l.SetTop), say.That("%[1]s; the mark, as read", how)
	}
	return say.That("Tops at %[1]s", l.SetTop), say.That("%[1]s; computed: mark it on the wall", how)
}

// legend says how the figures are read.
func (b *viewer) legend(l *checks.Layout) say.Text {
	byLength := false
	for _, c := range l.Corners {
		byLength = byLength || c.Known && !c.HasTurns
	}
	figures := say.That("Large: turns of the bolt from fully in, to the nearest fraction that keeps the corner right")
	if byLength {
		figures = say.That("Large: how far the leveler stands out of the cabinet, since the record does not say how its bolt is threaded")
	}
	return say.That("%[1]s. Below: how far it can then still come down, rounded down. The thick line is the front of the cabinet. Exact figures stand in the annex.", figures)
}

// foot is a leveler as it is to be set.
func (b *viewer) foot(l *checks.Layout, c checks.LayoutCorner) drawing.Foot {
	switch {
	case !c.Known:
		return drawing.Foot{Figure: say.That("?"), Wrong: say.That("floor not observed"), Says: say.That("%[1]s: floor not observed here", c.Words())}
	case !c.Within:
		wrong := b.remarkOn(l, c)
		return drawing.Foot{Figure: say.That("STOP"), Wrong: b.beyond(l, c), Says: say.That("%[1]s: stop, %[2]s", c.Words(), wrong)}
	}
	figure, told := turnsWords(c), say.Text{}
	switch {
	case !c.HasTurns:
		figure = say.That("%[1]s", c.Least+c.Rounded)
		told = say.That("%[1]s out", figure)
	case c.Hand.Of > 0 && c.Hand.Parts <= c.Hand.Of && c.Hand.Parts > 0:
		told = say.That("%[1]s turn", figure)
	default:
		told = say.That("%[1]s turns", figure)
	}
	left := say.That("%[1]s left", downTo(c.Left, b.sys))
	return drawing.Foot{
		Figure: figure, Left: left, Low: c.Left < c.Reserve,
		Says: say.That("%[1]s: %[2]s, %[3]s", c.Words(), told, left),
	}
}

// turns2 are turns to a hundredth.
func turns2(n float64) string { return strconv.FormatFloat(n, 'f', 2, 64) }

// beyond says in a few words why a corner cannot be set.
func (b *viewer) beyond(l *checks.Layout, c checks.LayoutCorner) say.Text {
	if c.Extension < c.Least {
		return say.That("too high by %[1]s", checks.RoundedUp(c.Least-c.Extension, b.sys))
	}
	more, there := l.Packing[c.Name], l.Packed[c.Name]
	return say.That("too low: pack %[1]s", checks.RoundedUp(more+there, b.sys))
}

// footWords are a leveler as a cell of a table says it.
func footWords(f *drawing.Foot, c checks.LayoutCorner) say.Text {
	switch {
	case !f.Wrong.Empty() && c.Known:
		return say.That("STOP: %[1]s", f.Wrong)
	case !f.Wrong.Empty():
		return f.Wrong
	case !c.HasTurns:
		return say.That("%[1]s out, %[2]s", f.Figure, f.Left)
	}
	return say.That("%[1]s turns, %[2]s", f.Figure, f.Left)
}

// exactWords are the floor under a leveler, its extension and its turns.
func exactWords(c checks.LayoutCorner, sys length.System) say.Text {
	switch {
	case !c.Known:
		return say.Words(none).Text()
	case !c.HasTurns || !c.Within:
		return say.That("%[1]s; %[2]s", bare(c.Floor, sys), bare(c.Extension, sys))
	}
	return say.That("%[1]s; %[2]s; %[3]s", bare(c.Floor, sys), bare(c.Extension, sys), say.Name(turns2(c.Turns)))
}

// bare is a length without its unit, where that is told beside it.
func bare(l length.Length, sys length.System) say.Name {
	number := l.In(sys)
	return say.Name(number[:strings.LastIndexByte(number, ' ')])
}

// downTo is a length rounded down to what a person reads: a 16th of an inch or
// half a millimetre, where it is short a 64th or a tenth.
func downTo(l length.Length, sys length.System) length.Length {
	step, fine, short := length.Inch/16, length.Inch/64, length.Inch/8
	if sys == length.Metric {
		step, fine, short = length.Millimetre/2, length.Millimetre/10, 3*length.Millimetre
	}
	if l < short {
		step = fine
	}
	return l - l%step
}

// trial says of a set height that is tried what would fail, and what is not told
// of it.
func (b *viewer) trial(l *checks.Layout) (all []Text) {
	add := func(t say.Text) { all = append(all, b.text(t)) }
	add(say.That("This is a trial: nothing of it is in the record; %[1]s.", l.Trial.InRecord()))
	var fails []say.Text
	for _, r := range l.Fails() {
		fails = append(fails, r.Rule.Title().Text())
	}
	if len(fails) > 0 {
		add(say.That("At this height would not hold, and does in the record: %[1]s.", say.Commas(fails...)))
	} else {
		add(say.That("Nothing fails at this height that holds in the record."))
	}
	if l.Begun {
		add(say.That("Something stands in this elevation already; what stands was set to the height in the record, and what to turn is told for that."))
	}
	return all
}

// screws tells how joints are screwed, those that are alike together.
func (b *viewer) screws(l *checks.Layout) (rows []ScrewRow) {
	for i := range l.Screwed {
		s := &l.Screwed[i]
		row := ScrewRow{Front: none, Rear: none}
		var said []say.Text
		for k := range s.Places {
			words := b.screwed(&s.Places[k])
			said = append(said, say.That("%[1]s %[2]s", s.Places[k].Words, words))
			if k == 0 {
				row.Front = b.text(words)
			} else {
				row.Rear = b.text(words)
			}
		}
		row.said = b.text(say.Semicolons(said...))
		if n := slices.IndexFunc(rows, func(r ScrewRow) bool { return r.said == row.said }); n >= 0 {
			rows[n].Of += Text(", " + s.Of)
			continue
		}
		row.Of, row.Filler = Text(s.Of), s.Filler
		rows = append(rows, row)
	}
	return rows
}

// ScrewsPlanned are sentences that say how the joints and fillers of an elevation
// are to be screwed, those that are alike in one.
func ScrewsPlanned(l checks.Layout, w say.Writer) (all []string) {
	b := &viewer{words: w, sys: w.Lengths}
	for _, row := range b.screws(&l) {
		all = append(all, w.Text(say.That("%[1]s: %[2]s.", say.Name(row.Of), say.Name(row.said))))
	}
	return all
}

// ScrewRow is how joints, or fillers, are screwed: at the front, which of a
// filler is all there is, and at the upper rear.
type ScrewRow struct {
	Of          Text
	Filler      bool
	Front, Rear Text
	said        Text
}

// Said is the row in a sentence.
func (r ScrewRow) Said() Text { return r.said }

// screwed says which screws go into a place, and through what.
func (b *viewer) screwed(p *checks.ScrewPlace) say.Text {
	through := say.That("from inside")
	if !p.Through.Empty() {
		through = say.That("through %[1]s", p.Through)
	}
	if len(p.Screws) == 0 {
		if p.Length == 0 {
			return say.That("%[1]s; with which screws is not said in the record", through)
		}
		return say.That("%[1]s screws, %[2]s; which is not said in the record", p.Length, through)
	}
	var all []say.Text
	for i := range p.Screws {
		s := &p.Screws[i]
		each := say.That("number not said in the record")
		if s.Each > 0 {
			each = say.That("%[1]s", s.Each)
		}
		t := say.That("%[1]s × %[2]s (%[3]s, %[4]s)", each, say.Name(s.Name), say.Name(s.Size), s.Fastener.Length)
		if s.Drill > 0 {
			t = say.That("%[1]s, drill %[2]s", t, b.drillWords(s.Drill))
		}
		if p.Needs(s) {
			t = say.That("%[1]s; not as asked, which is %[2]s", t, p.Length)
		}
		all = append(all, t)
	}
	return say.That("%[1]s; %[2]s", say.Or(all...), through)
}

// cutRows are the cuts of fillers in short, and what they rest on.
func (b *viewer) cutRows(e *LayoutElevation, c *checks.Cuts) {
	if c == nil {
		return
	}
	for i := range c.Fillers {
		f := &c.Fillers[i]
		for _, t := range f.Words()[:min(len(f.Words()), 2)] { // the diagonals stand in the row
			e.CutExact = append(e.CutExact, b.text(t)+".")
		}
		if f.Problem.Empty() {
			e.CutRows = append(e.CutRows, b.cutRow(c, f))
			continue
		}
		e.CutSays = append(e.CutSays, b.text(f.Words()[0])+".")
	}
	for _, t := range c.Says {
		e.CutSays = append(e.CutSays, b.text(t)+".")
	}
}
