package report

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

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
	v, _ := newLayoutView(found, keep)
	return v
}

func newLayoutView(found *checks.Findings, keep func(room, elevation string) bool) (LayoutView, map[string]pdf.Picture) {
	b := newViewer(found, nil)
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
		if l.OneHeight != nil && keepsAll(keep, l.OneHeight) {
			e.OneHeight = b.oneHeight(l.OneHeight)
		}
		e.Drawings, e.Still = b.drawings(l, n+1, nil, b.pictures)
		for _, r := range l.Results {
			v.Ready = v.Ready && r.Outcome.Holds()
		}
		v.Ready = v.Ready && !l.Tight()
		v.Elevations = append(v.Elevations, e)
	}
	v.Answer, v.Summary = "Ready to set.", "Every leveler is within its travel and every rule of floor and layout holds."
	if !v.Ready {
		v.Answer, v.Summary = "Not ready to set.", "What is left to settle stands with each elevation."
	}
	if v.Turning() {
		v.Summary += " Bolts are to be turned: the list stands with each elevation."
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
			return "not planned"
		}
		return Text(strconv.Itoa(n))
	}
	holes := map[PilotView]int{} // place in Pilots of a bit, which several screws share
	total := []int{}
	for _, t := range checks.Takeoffs(b.rec) {
		v.Takeoff = append(v.Takeoff, TakeoffView{
			Text(t.Name), Text(t.Screw.Size), Text(t.Screw.Length.In(b.sys)), Text(t.Screw.Point),
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
		return "gauge not planned"
	case p.Drill == 0:
		return "ask the screw's maker"
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
	write := func(x length.Length) string { return x.In(b.sys) }
	add := func(name, value string) { e.Facts = append(e.Facts, NamedText{Text(name), Text(value)}) }
	for _, r := range l.Results {
		if r.Outcome != checks.Pass && r.Outcome != checks.NotApplicable {
			e.Open = append(e.Open, b.result(r))
		}
	}
	if !l.Surveyed {
		return e
	}
	add("Survey", fmt.Sprintf("%s; %d front and %d back readings over %s", b.ofVisits(l.Visits), len(l.Floor.Front), len(l.Floor.Back), write(l.Width)))
	if len(l.Apart) > 0 {
		add("Left out", b.ofVisits(l.Apart)+": no mark ties their floor readings to those of "+b.ofVisits([]int{l.Visit}))
	}
	if l.High.Line != "" {
		high := fmt.Sprintf("%s line at %s, reading %s", l.High.Line, write(l.High.At), write(l.High.Down))
		if l.Between {
			high += ", where no leveler stands"
		}
		add("High point", high)
		add("Low point", fmt.Sprintf("%s line at %s, reading %s", l.Low.Line, write(l.Low.At), write(l.Low.Down)))
		add("Fall", write(l.Fall))
	}
	for _, line := range []struct {
		name string
		line floor.Line
	}{{floor.Front, l.Floor.Front}, {floor.Back, l.Floor.Back}} {
		if slope, ok := line.line.Slope(); ok {
			add("Slope, "+line.name+" line", slopeWords(slope, b.sys))
		}
		if f := l.F[line.name]; f.HasFF || f.HasFL {
			add("F-numbers, "+line.name+" line", fNumbers(f)+"; indicative only, an ASTM E1155 test has its own sampling and timing")
		}
	}
	if l.GapLine != "" && l.Gap.Size > 0 {
		add("Greatest gap under a 10 ft straightedge", fmt.Sprintf("%s, %s line at %s", write(l.Gap.Size), l.GapLine, write(l.Gap.At.At)))
	}
	if l.Set {
		how := "the mark on the wall, as read"
		if !l.Marked {
			how = "computed, with the reserve left at " + b.words.Text(l.Highest) + "; mark it on the wall"
		}
		add("Set height", fmt.Sprintf("cabinet tops at reading %s, %s above the high point (%s)", write(l.SetTop), write(l.High.Down-l.SetTop), how))
		switch {
		case l.Travel.Serves:
			add("Set heights that serve", fmt.Sprintf("readings from %s to %s, with the reserve left everywhere", write(l.Travel.Highest), write(l.Travel.Lowest)))
		case l.Bare.Serves:
			add("Set heights that serve", fmt.Sprintf("none with the reserve left everywhere; without it readings from %s to %s", write(l.Bare.Highest), write(l.Bare.Lowest)))
		}
	}
	for _, r := range l.Results {
		if r.Outcome == checks.Pass && r.Rule.OnLayout {
			add(capital(r.Rule.Name), b.words.Text(r.Finding))
		}
	}
	for _, c := range l.Corners {
		there, packed := l.Packed[c.Name]
		switch _, needed := l.Packing[c.Name]; {
		case needed:
			add("Packing", b.words.Text(say.That("under %[1]s %[2]s", c.Words(), checks.PackingWords(l.Packing[c.Name], l.Packed[c.Name], b.sys))))
		case packed:
			add("Packing in place", b.words.Text(say.That("under %[1]s %[2]s", c.Words(), there)))
		}
		e.Corners = append(e.Corners, b.corner(l, c))
	}
	return e
}

// ofVisits names visits by number and date.
func (b *viewer) ofVisits(of []int) string {
	words := make([]string, len(of))
	for i, v := range of {
		words[i] = fmt.Sprintf("visit %d, %s", b.number[v], b.rec.Measured.Visits[v].Date)
	}
	return strings.Join(words, "; ")
}

func (b *viewer) corner(l checks.Layout, c checks.LayoutCorner) CornerView {
	v := CornerView{Cabinet: Text(c.Unit), Corner: Text(c.Place), Along: Text(c.Along.In(b.sys)), Floor: none, Extension: none, Turns: none, Left: none}
	if !c.Known {
		v.Say = "floor not observed here"
		return v
	}
	v.Floor, v.Extension = Text(c.Floor.In(b.sys)), Text(c.Extension.In(b.sys))
	if c.HasTurns && c.Within {
		v.Turns = Text(turns(c.Turns))
	}
	if c.Within {
		v.Left = Text(c.Left.In(b.sys))
	}
	v.Say = Text(b.remarkOn(l, c))
	return v
}

// remarkOn says what is to be known of a corner: turns that a bolt has not are
// nothing to do.
func (b *viewer) remarkOn(l checks.Layout, c checks.LayoutCorner) string {
	switch {
	case c.Extension < c.Least:
		return "too little by " + (c.Least - c.Extension).In(b.sys)
	case c.Extension > c.Greatest:
		text := "too much by " + (c.Extension - c.Greatest).In(b.sys)
		if c.HasTurns {
			text += "; its bolt has " + turns(c.Has) + " turns"
		}
		return text + "; pack " + b.words.Text(checks.PackingWords(l.Packing[c.Name], l.Packed[c.Name], b.sys))
	case c.Left < c.Reserve:
		return "less left than its reserve of " + c.Reserve.In(b.sys)
	}
	return ""
}

func turns(n float64) string { return strconv.FormatFloat(n, 'f', 1, 64) }

func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// slopeWords writes a slope as a fall over 10 ft, or over 1 m.
func slopeWords(slope float64, sys length.System) string {
	over, unit := 10*length.Foot, "10 ft"
	if sys == length.Metric {
		over, unit = length.Metre, "1 m"
	}
	fall := length.Length(math.Round(float64(slope * float64(over))))
	way := "to the right"
	if fall < 0 {
		fall, way = -fall, "to the left"
	}
	text := fall.In(sys)
	if sys == length.Metric {
		text = strconv.FormatFloat(float64(fall)/float64(length.Millimetre), 'f', 2, 64) + " mm"
	}
	return fmt.Sprintf("falls %s over %s %s", text, unit, way)
}

func fNumbers(f floor.FNumbers) string {
	var parts []string
	for _, n := range []struct {
		name  string
		value float64
		has   bool
	}{{"FF", f.FF, f.HasFF}, {"FL", f.FL, f.HasFL}} {
		switch {
		case !n.has:
		case math.IsInf(n.value, 1):
			parts = append(parts, n.name+" without bound")
		default:
			parts = append(parts, n.name+" "+strconv.FormatFloat(n.value, 'f', 0, 64))
		}
	}
	return strings.Join(parts, ", ")
}

// NewLayout makes the layout sheet of the elevations that keep wants, nil for all.
func NewLayout(found *checks.Findings, record []byte, o Options, keep func(room, elevation string) bool) (*Report, error) {
	v, pictures := newLayoutView(found, keep)
	r := &Report{
		ready: v.Ready, pictures: pictures, record: record, options: o,
		title: "Layout sheet: " + string(v.Project), subject: string(v.Answer),
		running: "Layout sheet", project: string(v.Project),
	}
	err := r.assemble(templates.Layout, v, []part{{"fixed/layout.md", v}}, part{"fixed/codes.md", nil})
	return r, err
}
