package report

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"setline.example/checks"
	"setline.example/checks/floor"
	"setline.example/checks/say"
	"setline.example/report/pdf"
	"setline.example/schema/length"
	"setline.example/templates"
)

// LayoutView is everything the template of a layout sheet can show.
type LayoutView struct {
	Project, Number Text
	Answer, Summary Text
	Elevations      []LayoutElevation
	Takeoff         []TakeoffView
	Pilots          []PilotView
	Ready           bool // nothing is left to settle before setting
}

// LayoutElevation is the layout of one elevation.
type LayoutElevation struct {
	Room, Name Text
	Surveyed   bool
	Facts      []NamedText
	Drawings   []DrawingView
	Still      Text
	Corners    []CornerView
	Open       []ResultView
	Cuts       []CutsView     // of its fillers, none or one
	OneHeight  *OneHeightView // of the room, with its first elevation; nil where there is nothing to compare
	Turns      []TurnsView    // what to turn where it does not pass as it stands
	Turning    []DrawingView  // the same, drawn
	begun      bool           // something stands already
}

// CornerView is one leveler at the set height.
type CornerView struct {
	Cabinet, Corner, Along, Floor, Extension, Turns, Left Text
	Say                                                   Text // "", or what is to be known of it
}

// TakeoffView is one screw of the takeoff.
type TakeoffView struct{ Name, Size, Length, Point, Places, Count, Spare Text }

// PilotView is a drill bit of the takeoff, and how many holes it drills.
type PilotView struct{ Drill, Size, Sheet, Holes Text }

// NewLayoutView makes the view of the layout of the elevations that keep
// wants, nil for all.
func NewLayoutView(found *checks.Findings, keep func(room, elevation string) bool) LayoutView {
	v, _ := newLayoutView(found, keep, nil)
	return v
}

func newLayoutView(found *checks.Findings, keep func(room, elevation string) bool, language say.Language) (LayoutView, map[string]pdf.Picture) {
	b := newViewer(found, nil)
	b.words.Language = language
	v := LayoutView{
		Project: Text(b.rec.Planned.Project.Name),
		Number:  Text(b.rec.Planned.Project.Number),
		Ready:   true,
	}
	b.rules() // numbers them for results
	for n, l := range checks.Layouts(b.rec, found) {
		if keep != nil && !keep(l.Room, l.Elevation) {
			continue
		}
		e := b.layout(l)
		e.Turns, e.Turning = b.turnsOf(l, n+1)
		e.Cuts = b.cuts(l.Cuts, false)
		if l.OneHeight != nil && keepsAll(keep, l.OneHeight) {
			e.OneHeight = b.oneHeight(l.OneHeight)
		}
		e.Drawings, e.Still = b.drawings(l, n+1, drawingWidth, b.pictures)
		for _, r := range l.Results {
			v.Ready = v.Ready && r.Outcome.Holds()
		}
		v.Ready = v.Ready && !l.Tight()
		v.Elevations = append(v.Elevations, e)
	}
	v.Answer, v.Summary = b.own("Ready to set."), b.own("Every leveler is within its travel and every rule of floor and layout holds.")
	if !v.Ready {
		v.Answer, v.Summary = b.own("Not ready to set."), b.own("What is left to settle stands with each elevation.")
	}
	if v.Turning() {
		v.Summary += " " + b.own("Bolts are to be turned: the list stands with each elevation.")
	}
	v.takeoff(b)
	return v, b.pictures
}

// keepsAll reports whether all elevations of a room are wanted.
func keepsAll(keep func(room, elevation string) bool, o *checks.OneHeight) bool {
	return keep == nil || !slices.ContainsFunc(o.All, func(e string) bool { return !keep(o.Room, e) })
}

// takeoff adds the screws of the whole job, and the drill bits for those that
// need a hole.
func (v *LayoutView) takeoff(b *viewer) {
	number := func(n int) Text {
		if n == 0 {
			return b.own("not planned")
		}
		return Text(strconv.Itoa(n))
	}
	holes := map[PilotView]int{} // place in Pilots of a bit, which several screws share
	total := []int{}
	for _, t := range checks.Takeoffs(b.rec) {
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
		return b.own("gauge not planned")
	case p.Drill == 0:
		return b.own("ask the screw's maker")
	case b.sys == length.InchSystem:
		return Text(fmt.Sprintf("%s (%s)", p.Drill.In(length.InchSystem), p.Drill.In(length.Metric)))
	}
	return Text(p.Drill.In(b.sys))
}

func (b *viewer) sheet(l length.Length) Text {
	if l == 0 {
		return none
	}
	return Text(b.decimal(float64(l)) + map[length.System]string{length.InchSystem: " in", length.Metric: " mm"}[b.sys])
}

func (b *viewer) layout(l checks.Layout) LayoutElevation {
	e := LayoutElevation{Room: Text(l.Room), Name: Text(l.Elevation), Surveyed: l.Surveyed, begun: l.Begun}
	add := func(name say.Words, value say.Text) {
		e.Facts = append(e.Facts, NamedText{b.own(name), b.text(value)})
	}
	for _, r := range l.Results {
		if r.Outcome != checks.Pass && r.Outcome != checks.NotApplicable {
			e.Open = append(e.Open, b.result(r))
		}
	}
	if !l.Surveyed {
		return e
	}
	add("Survey", say.That("%[1]s; %[2]s front and %[3]s back readings over %[4]s", b.ofVisits(l.Visits), len(l.Floor.Front), len(l.Floor.Back), l.Width))
	if len(l.Apart) > 0 {
		add("Left out", say.That("%[1]s: no mark ties their floor readings to those of %[2]s", b.ofVisits(l.Apart), b.visit(l.Visit)))
	}
	if l.High.Line != "" {
		high := say.That("%[1]s at %[2]s, reading %[3]s", checks.LineWords(l.High.Line), l.High.At, l.High.Down)
		if l.Between {
			high = say.That("%[1]s, where no leveler stands", high)
		}
		add("High point", high)
		add("Low point", say.That("%[1]s at %[2]s, reading %[3]s", checks.LineWords(l.Low.Line), l.Low.At, l.Low.Down))
		add("Fall", say.That("%[1]s", l.Fall))
	}
	for _, line := range []struct {
		name        string
		line        floor.Line
		slope, flat say.Words
	}{
		{floor.Front, l.Floor.Front, "Slope, front line", "F-numbers, front line"},
		{floor.Back, l.Floor.Back, "Slope, back line", "F-numbers, back line"},
	} {
		if slope, ok := line.line.Slope(); ok {
			add(line.slope, slopeWords(slope, b.sys))
		}
		if f := l.F[line.name]; f.HasFF || f.HasFL {
			add(line.flat, say.That("%[1]s; indicative only, an ASTM E1155 test has its own sampling and timing", fNumbers(f)))
		}
	}
	if l.GapLine != "" && l.Gap.Size > 0 {
		add("Greatest gap under a 10 ft straightedge", say.That("%[1]s, %[2]s at %[3]s", l.Gap.Size, checks.LineWords(l.GapLine), l.Gap.At.At))
	}
	if l.Set {
		how := say.That("the mark on the wall, as read")
		if !l.Marked {
			how = say.That("computed, with the reserve left at %[1]s; mark it on the wall", l.Highest)
		}
		add("Set height", say.That("cabinet tops at reading %[1]s, %[2]s above the high point (%[3]s)", l.SetTop, l.High.Down-l.SetTop, how))
		switch {
		case l.Travel.Serves:
			add("Set heights that serve", say.That("readings from %[1]s to %[2]s, with the reserve left everywhere", l.Travel.Highest, l.Travel.Lowest))
		case l.Bare.Serves:
			add("Set heights that serve", say.That("none with the reserve left everywhere; without it readings from %[1]s to %[2]s", l.Bare.Highest, l.Bare.Lowest))
		}
	}
	for _, r := range l.Results {
		if r.Outcome == checks.Pass && r.Rule.OnLayout {
			e.Facts = append(e.Facts, NamedText{b.text(say.Sentence(r.Rule.Title().Text())), b.text(r.Finding)})
		}
	}
	for _, c := range l.Corners {
		there, packed := l.Packed[c.Name]
		switch _, needed := l.Packing[c.Name]; {
		case needed:
			add("Packing", say.That("under %[1]s %[2]s", c.Words(), checks.PackingWords(l.Packing[c.Name], l.Packed[c.Name], b.sys)))
		case packed:
			add("Packing in place", say.That("under %[1]s %[2]s", c.Words(), there))
		}
		e.Corners = append(e.Corners, b.corner(l, c))
	}
	return e
}

// ofVisits names visits by number and date.
func (b *viewer) ofVisits(of []int) say.Text {
	words := make([]say.Text, len(of))
	for i, v := range of {
		words[i] = b.visit(v)
	}
	return say.Semicolons(words...)
}

func (b *viewer) corner(l checks.Layout, c checks.LayoutCorner) CornerView {
	v := CornerView{Cabinet: Text(c.Unit), Corner: b.own(c.Place), Along: Text(c.Along.In(b.sys)), Floor: none, Extension: none, Turns: none, Left: none}
	if !c.Known {
		v.Say = b.own("floor not observed here")
		return v
	}
	v.Floor, v.Extension = Text(c.Floor.In(b.sys)), Text(c.Extension.In(b.sys))
	if c.HasTurns && c.Within {
		v.Turns = Text(turns(c.Turns))
	}
	if c.Within {
		v.Left = Text(c.Left.In(b.sys))
	}
	v.Say = b.text(b.remarkOn(l, c))
	return v
}

// remarkOn says what is to be known of a corner: turns that a bolt has not are
// nothing to do.
func (b *viewer) remarkOn(l checks.Layout, c checks.LayoutCorner) say.Text {
	switch {
	case c.Extension < c.Least:
		return say.That("too little by %[1]s", c.Least-c.Extension)
	case c.Extension > c.Greatest:
		text := say.That("too much by %[1]s", c.Extension-c.Greatest)
		if c.HasTurns {
			text = say.That("%[1]s; its bolt has %[2]s turns", text, say.Name(turns(c.Has)))
		}
		return say.That("%[1]s; pack %[2]s", text, checks.PackingWords(l.Packing[c.Name], l.Packed[c.Name], b.sys))
	case c.Left < c.Reserve:
		return say.That("less left than its reserve of %[1]s", c.Reserve)
	}
	return say.Text{}
}

func turns(n float64) string { return strconv.FormatFloat(n, 'f', 1, 64) }

// slopeWords writes a slope as a fall over 10 ft, or over 1 m.
func slopeWords(slope float64, sys length.System) say.Text {
	over := 10 * length.Foot
	if sys == length.Metric {
		over = length.Metre
	}
	fall := length.Length(math.Round(float64(slope * float64(over))))
	way := say.Words("to the right")
	if fall < 0 {
		fall, way = -fall, "to the left"
	}
	if sys == length.Metric {
		return say.That("falls %[1]s mm over 1 m %[2]s", say.Name(strconv.FormatFloat(float64(fall)/float64(length.Millimetre), 'f', 2, 64)), way)
	}
	return say.That("falls %[1]s over 10 ft %[2]s", fall, way)
}

func fNumbers(f floor.FNumbers) say.Text {
	var parts []say.Text
	for _, n := range []struct {
		name  say.Words
		value float64
		has   bool
	}{{"FF", f.FF, f.HasFF}, {"FL", f.FL, f.HasFL}} {
		switch {
		case !n.has:
		case math.IsInf(n.value, 1):
			parts = append(parts, say.That("%[1]s without bound", n.name))
		default:
			parts = append(parts, say.That("%[1]s %[2]s", n.name, say.Name(strconv.FormatFloat(n.value, 'f', 0, 64))))
		}
	}
	return say.Commas(parts...)
}

// NewLayout makes the layout sheet of the elevations that keep wants, nil for all.
func NewLayout(found *checks.Findings, record []byte, o Options, keep func(room, elevation string) bool) (*Report, error) {
	v, pictures := newLayoutView(found, keep, o.language)
	b := &viewer{words: say.Writer{Language: o.language}}
	r := &Report{
		ready: v.Ready, pictures: pictures, record: record, options: o,
		title: b.words.Text(say.That("Layout sheet: %[1]s", say.Name(v.Project))), subject: string(v.Answer),
		running: b.words.Words("Layout sheet"), project: string(v.Project),
	}
	err := r.assemble(templates.Layout, v, []part{{"fixed/layout.md", v}}, cautions)
	return r, err
}
