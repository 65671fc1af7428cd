package report

import (
	"math"
	"slices"
	"strconv"
	"time"

	"setline.example/checks"
	"setline.example/checks/floor"
	"setline.example/checks/say"
	"setline.example/report/drawing"
	"setline.example/schema/length"
	"setline.example/templates"
)

// LayoutView is everything the template of a layout sheet can show.
type LayoutView struct {
	Project, Number Text
	Answer, Summary Text
	TrialOf         Text // what set height is tried; "" where it is that of the record
	Elevations      []LayoutElevation
	Bring           []BringView
	Scope           Text // what the screws are counted for
	Takeoff         []TakeoffView
	Pilots          []PilotView
	Ready           bool // nothing is left to settle before setting
	Trial           bool // the set height is one that is tried
	TemplateBy      Text // whose template the body is of; "" where it is Setline's own
}

// LayoutElevation is the layout of one elevation.
type LayoutElevation struct {
	Room, Name Text
	Surveyed   bool
	Stop       Text         // in a few words that and why the work stops; "" where nothing stops it
	Stops      []ResultView // what stops it
	Notices    []ResultView // what is worth knowing, and what is conceded
	Height     Text         // where the tops are set, in words
	Top        Text         // their reading
	Above      Text         // how high that is above the high point; "" where it is not known
	How        Text         // what it rests on
	Trial      []Text       // of a set height that is tried, what the record has and what would fail
	Settings   []DrawingView
	Plans      []PlanView
	Legend     Text
	Screws     []ScrewRow
	CutRows    []CutRow
	CutSays    []Text // why one cannot be cut, and what the cuts rest on
	CutExact   []Text // each with its uncertainty
	Unit       Text   // of the exact figures
	Exact      []ExactRow

	Facts     []NamedText
	Drawings  []DrawingView // from the front, the floor, and how tops have moved
	Front     []DrawingView // those from the front
	Floor     []DrawingView // the others, small
	Still     Text
	Corners   []CornerView
	Open      []ResultView   // Stops and Notices
	Cuts      []CutsView     // of its fillers, none or one
	OneHeight *OneHeightView // of the room, with its first elevation; nil where there is nothing to compare
	Turns     []TurnsView    // what to turn where it does not pass as it stands
	Turning   []DrawingView  // the same, drawn
	begun     bool           // something stands already
	packing   []packed
}

// CornerView is one leveler at the set height: exact, but for Turns, which are
// as a hand counts them.
type CornerView struct {
	Cabinet, Corner, Along, Floor, Extension, Turns, Left Text
	Say                                                   Text // "", or what is to be known of it
}

// LayoutOptions say which layout is wanted.
type LayoutOptions struct {
	Keep  func(room, elevation string) bool // which elevations, nil for all
	Trial *checks.SetHeight                 // in place of the record's, nil for that
	On    time.Time                         // the day on which instruments have to be good
}

// keeps reports whether an elevation is wanted.
func (o LayoutOptions) keeps(room, elevation string) bool {
	return o.Keep == nil || o.Keep(room, elevation)
}

// NewLayoutView makes the view of a layout.
func NewLayoutView(found *checks.Findings, want LayoutOptions) LayoutView {
	v, _ := newLayoutView(found, want, Options{})
	return v
}

func newLayoutView(found *checks.Findings, want LayoutOptions, o Options) (LayoutView, *viewer) {
	b := newViewer(found, nil)
	b.words.Language = o.language
	v := LayoutView{
		Project: Text(b.rec.Planned.Project.Name),
		Number:  Text(b.rec.Planned.Project.Number),
		Ready:   true, Trial: want.Trial != nil,
		TemplateBy: b.text(templateBy(b.rec, o.Letterhead, templates.Layout)),
	}
	b.rules() // numbers them for results
	draft := b.draft
	if want.Trial != nil {
		draft = checks.NewTrial(b.rec, found, *want.Trial)
		v.TrialOf = b.text(trialWords(*want.Trial))
	}
	for n, l := range draft.All() {
		if want.keeps(l.Room, l.Elevation) {
			e := b.layout(l, n+1, want)
			v.Ready = v.Ready && e.Stop == ""
			v.Elevations = append(v.Elevations, e)
		}
	}
	v.answer(b)
	v.bring(b, want)
	return v, b
}

// answer says whether all is ready to be set, and where it is not.
func (v *LayoutView) answer(b *viewer) {
	answer, trial := say.Words("Ready to set."), say.Words("Trial: ready to set.")
	summary := say.That("Every leveler is within its travel and every rule of floor and layout holds.")
	if !v.Ready {
		answer, trial = "Not ready to set.", "Trial: not ready to set."
		var stopped []say.Text
		for _, e := range v.Elevations {
			if e.Stop != "" {
				stopped = append(stopped, say.That("%[1]s, elevation %[2]s", say.Name(e.Room), say.Name(e.Name)))
			}
		}
		summary = say.That("Stop at %[1]s. What is left to settle stands with each elevation.", say.Semicolons(stopped...))
	}
	if v.Trial {
		answer = trial
	}
	v.Answer, v.Summary = b.own(answer), b.text(summary)
	if v.Turning() {
		v.Summary += " " + b.own("Bolts are to be turned: the list stands with each elevation.")
	}
}

// trialWords say which set height is tried.
func trialWords(h checks.SetHeight) say.Text {
	if h.Reading {
		return say.That("tops at reading %[1]s", h.Length)
	}
	return say.That("tops %[1]s above the high point of each floor", h.Length)
}

// keepsAll reports whether all elevations of a room are wanted.
func (o LayoutOptions) keepsAll(h *checks.OneHeight) bool {
	return !slices.ContainsFunc(h.All, func(e string) bool { return !o.keeps(h.Room, e) })
}

func (b *viewer) layout(l checks.Layout, n int, want LayoutOptions) LayoutElevation {
	e := LayoutElevation{Room: Text(l.Room), Name: Text(l.Elevation), Surveyed: l.Surveyed, begun: l.Begun, Unit: Text(b.sys)}
	b.stops(&e, &l)
	e.Turns, e.Turning = b.turnsOf(l, n)
	e.Cuts = b.cuts(l.Cuts, false)
	if l.OneHeight != nil && want.keepsAll(l.OneHeight) {
		e.OneHeight = b.oneHeight(l.OneHeight)
	}
	e.Drawings, e.Still = b.drawings(l, n, drawingWidth, b.pictures)
	e.Front = e.Drawings[:len(drawing.Fronts(b.elevation(l), b.sys, drawingWidth))]
	sketches, _ := b.drawings(l, -n, abreastWidth, b.pictures)
	e.Floor = sketches[len(drawing.Fronts(b.elevation(l), b.sys, abreastWidth)):]
	e.Screws = b.screws(&l)
	b.cutRows(&e, l.Cuts)
	b.settingFacts(&e, &l)
	b.setting(&e, &l, n)
	return e
}

// settingFacts adds what is known of floor and set height, exactly.
func (b *viewer) settingFacts(e *LayoutElevation, l *checks.Layout) {
	add := func(name say.Words, value say.Text) {
		e.Facts = append(e.Facts, NamedText{b.own(name), b.text(value)})
	}
	if !l.Surveyed {
		return
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
			numbers := fNumbers(f)
			if f.Of < len(line.line) {
				numbers = say.That("%[1]s, of the first %[2]s of %[3]s readings, as far as they are 12 in apart", numbers, f.Of, len(line.line))
			}
			add(line.flat, say.That("%[1]s; indicative only, an ASTM E1155 test has its own sampling and timing", numbers))
		}
	}
	if l.GapLine != "" && l.Gap.Size > 0 {
		add("Greatest gap under a 10 ft straightedge", say.That("%[1]s, %[2]s at %[3]s", l.Gap.Size, checks.LineWords(l.GapLine), l.Gap.At.At))
	}
	if l.Set {
		how := say.That("the mark on the wall, as read")
		switch {
		case l.Trial != nil:
			how = say.That("a trial; %[1]s", l.Trial.InRecord())
		case !l.Marked:
			how = say.That("computed, with the reserve left at %[1]s; mark it on the wall", l.Highest)
		}
		add("Set height", say.That("cabinet tops at reading %[1]s, %[2]s above the high point (%[3]s)", l.SetTop, l.Above(), how))
		unread := slices.ContainsFunc(l.Corners, func(c checks.LayoutCorner) bool { return !c.Known })
		switch {
		case l.Travel.Serves && unread:
			add("Set heights that serve", say.That("readings from %[1]s to %[2]s, with the reserve left at every corner where the floor was read", l.Travel.Highest, l.Travel.Lowest))
		case l.Bare.Serves && unread && !l.Travel.Serves:
			add("Set heights that serve", say.That("none with the reserve left at every corner where the floor was read; without it readings from %[1]s to %[2]s", l.Bare.Highest, l.Bare.Lowest))
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
		there, already := l.Packed[c.Name]
		switch more, needed := l.Packing[c.Name]; {
		case needed:
			e.packing = append(e.packing, packed{c, checks.RoundedUp(more+there, b.sys)})
			add("Packing", say.That("under %[1]s %[2]s", c.Words(), checks.PackingWords(more, there, b.sys)))
		case already:
			add("Packing in place", say.That("under %[1]s %[2]s", c.Words(), there))
		}
		e.Corners = append(e.Corners, b.corner(l, c))
	}
}

// ofVisits names visits by number and date.
func (b *viewer) ofVisits(of []int) say.Text {
	words := make([]say.Text, len(of))
	for i, v := range of {
		words[i] = b.visit(v)
	}
	return say.Semicolons(words...)
}

func (b *viewer) corner(l *checks.Layout, c checks.LayoutCorner) CornerView {
	v := CornerView{Cabinet: Text(c.Unit), Corner: b.own(c.Place), Along: Text(c.Along.In(b.sys)), Floor: none, Extension: none, Turns: none, Left: none}
	if !c.Known {
		v.Say = b.own("floor not observed here")
		return v
	}
	v.Floor, v.Extension = Text(c.Floor.In(b.sys)), Text(c.Extension.In(b.sys))
	if c.HasTurns && c.Within {
		v.Turns = b.text(turnsWords(c))
	}
	if c.Within {
		v.Left = Text(c.Left.In(b.sys))
	}
	v.Say = b.text(b.remarkOn(l, c))
	return v
}

// remarkOn says what is to be known of a corner: turns that a bolt has not are
// nothing to do.
func (b *viewer) remarkOn(l *checks.Layout, c checks.LayoutCorner) say.Text {
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

// turnsWords are the turns of a corner as a hand counts them, in hundredths
// where none of its fractions keeps the corner right.
func turnsWords(c checks.LayoutCorner) say.Text {
	if c.Hand.Of == 0 {
		return say.Name(turns2(c.Turns)).Text()
	}
	return c.Hand.Text()
}

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
		return say.That("falls %[1]s over 1 m %[2]s", fall, way)
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

// NewLayout makes the layout sheet that is wanted. With a firm's template its
// body begins on a new page: what it says must not stand under the answer.
func NewLayout(found *checks.Findings, record []byte, o Options, want LayoutOptions) (*Report, error) {
	want.On = o.Date
	v, b := newLayoutView(found, want, o)
	r := &Report{
		ready: v.Ready, pictures: b.pictures, instead: map[string][]byte{}, record: record, options: o,
		title: b.words.Text(say.That("Layout sheet: %[1]s", say.Name(v.Project))), subject: string(v.Answer),
		running: b.words.Words("Layout sheet"), project: string(v.Project),
	}
	source, err := fixed.ReadFile("fixed/plan.md")
	if err != nil {
		return nil, err
	}
	for i := range v.Elevations {
		if e := &v.Elevations[i]; len(e.Settings) > 0 {
			if r.instead[e.Settings[0].Name], err = execute("fixed/plan.md", b.words.Page(string(source)), e); err != nil {
				return nil, err
			}
		}
	}
	first := []part{{"fixed/layout.md", v}, cautions, {"fixed/layouts.md", v}}
	if v.TemplateBy != "" {
		first = append(first, part{wordsOf, v})
		r.others = true
	}
	return r, r.assemble(templates.Layout, v, first)
}
