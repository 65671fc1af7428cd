package fieldsheet

import (
	"cmp"
	"slices"
	"time"

	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/schema"
	"setline.example/schema/length"
)

// Options are what a sheet needs beside the record.
type Options struct {
	// All asks also for what was observed and holds, and for what no rule needs.
	All bool
	// Each asks for each thing by itself, also where all of them could be said at once.
	Each bool
	// Keep says which elevations to ask about; nil keeps all.
	Keep func(room, elevation string) bool
	// Date of the sheet. The PDF is dated with it.
	Date time.Time
	// Version of the program.
	Version string
	// Language is English where it is nil: the only one that there is, but for tests.
	Language say.Language
}

// Sheet is a field sheet ready to be written, by whatever writes it: what is
// asked, in order, and the words around it. It knows no page.
type Sheet struct {
	// Say writes its words and lengths.
	Say say.Writer
	// Visit is asked of the visit itself: who, when, what for; instruments; site.
	Visit []checks.Ask
	// Pages are asked of the rooms, an elevation each.
	Pages []Elevation

	rec     *schema.Record
	options Options
	open    int // how many asks
	numbers map[faultOf]int
	// anyOpen says that anything is to be looked at in the rooms, on this sheet or not.
	anyOpen bool
}

// Elevation is what is asked along one elevation.
type Elevation struct {
	Room, Name string
	Layout     checks.Layout
	// Notes say what to turn before it is looked at again, and what is to come.
	Notes  []Note
	Groups []Group
}

// Note is a sentence or two on an elevation.
type Note struct {
	Text string
	// Beside is what of it [report.TurnDrawing] does not show.
	Beside string
}

// Group is what is asked of one subject: the elevation itself, a unit, a joint.
type Group struct {
	Subject checks.Subject
	Title   string
	About   string   // what it is, in words
	Again   []string // what did not hold and is to be looked at again
	Asks    []*checks.Ask
}

// New makes the field sheet of a record. The error is that of [checks.Run], or
// says that the plan cannot be written.
func New(rec *schema.Record, src *schema.Source, o Options) (*Sheet, error) {
	m, err := newMaker(rec, src, o)
	if err != nil {
		return nil, err
	}
	s := m.sheet()
	for i := range rec.Planned.Rooms {
		one := m.room(i)
		s.Pages = append(s.Pages, one.Pages...)
		s.open += one.open
		s.anyOpen = s.anyOpen || one.anyOpen
	}
	m.finish(s)
	return s, nil
}

// maker makes sheets, each of one room or of several. It can be used from several goroutines.
type maker struct {
	rec     *schema.Record
	options Options
	found   *checks.Findings
	walk    *checks.Walk
	draft   *checks.Draft
	numbers map[faultOf]int // of the faults that are open
}

// faultOf is what a fault is of, by rule and subject.
type faultOf struct{ rule, subject string }

func newMaker(rec *schema.Record, src *schema.Source, o Options) (*maker, error) {
	found, err := checks.Run(rec, src)
	if err != nil {
		return nil, err
	}
	if o.Keep == nil {
		o.Keep = func(string, string) bool { return true }
	}
	faults, err := checks.History(rec, src)
	if err != nil {
		return nil, err
	}
	numbers := map[faultOf]int{}
	for _, f := range faults {
		if !f.PutRight && !f.Empty() {
			numbers[faultOf{f.Rule.Name, f.Subject.String()}] = f.Number
		}
	}
	return &maker{rec, o, found, checks.NewWalk(rec, src, found), checks.NewDraft(rec, found), numbers}, nil
}

// sheet is a sheet that asks nothing yet.
func (m *maker) sheet() *Sheet {
	sys := cmp.Or(m.rec.Planned.LengthsIn, length.InchSystem)
	return &Sheet{rec: m.rec, numbers: m.numbers, Say: say.Writer{Language: m.options.Language, Lengths: sys}, options: m.options}
}

// room is a sheet of one room, by its position in the plan, that asks nothing of the visit.
func (m *maker) room(i int) *Sheet {
	asks := m.walk.Room(i)
	s := m.sheet()
	s.anyOpen = checks.AnyOpen(asks)
	by := map[place][]*checks.Ask{}
	for i := range asks {
		at := placeOf(asks[i].Subject)
		by[at] = append(by[at], &asks[i])
	}
	wrong := map[place][]checks.Result{}
	for _, r := range m.found.Rooms[i].Results {
		_, found := m.numbers[faultOf{r.Rule.Name, r.Subject.String()}]
		if r.Outcome == checks.Fail || r.Outcome == checks.Undecided || r.Outcome == checks.NotObserved && found {
			wrong[placeOf(r.Subject)] = append(wrong[placeOf(r.Subject)], r)
		}
	}
	kept := slices.DeleteFunc(slices.Clone(m.draft.Room(i)), func(l checks.Layout) bool { return !s.options.Keep(l.Room, l.Elevation) })
	for k, l := range kept {
		at, whole := place{l.Room, l.Elevation}, place{l.Room, ""}
		e := s.elevation(l, by[at], wrong[at])
		e.Notes = s.notes(l, m.found.Rooms[i].Results)
		var room *Group
		if k == len(kept)-1 {
			room = s.ofRoom(l.Room, by[whole], wrong[whole])
		}
		s.page(e, room, by[whole])
	}
	return s
}

// ofRoom is what is asked of a room as a whole, nil where nothing is.
func (s *Sheet) ofRoom(room string, asks []*checks.Ask, wrong []checks.Result) *Group {
	var g *Group
	for _, a := range asks {
		if isRemark(a) || !s.wants(a) {
			continue
		}
		if g == nil {
			g = &Group{Subject: a.Subject, Title: s.Words(say.That("Room %[1]s", say.Name(room)))}
		}
		s.open++
		g.Asks = append(g.Asks, s.short(a))
	}
	for i := range wrong {
		if g != nil && wrong[i].Subject.Kind == checks.SubjectRoom {
			g.Again = append(g.Again, s.again(&wrong[i], wrong[i].Rule.Title().Text()))
		}
	}
	return g
}

// finish asks of the visit what the rooms of a sheet need.
func (m *maker) finish(s *Sheet) { s.ofVisit(m.walk.Visit(s.anyOpen)) }

// place is an elevation of a room, or a room as a whole.
type place struct{ room, elevation string }

func placeOf(s checks.Subject) place { return place{s.Room, s.Elevation} }

// Open counts what the sheet asks of the rooms.
func (s *Sheet) Open() int { return s.open }

// isRemark reports whether an ask is a line to write on, which is there
// wherever anything else is asked.
func isRemark(a *checks.Ask) bool { return a.Thing.Stands == checks.AsRemark }

// wants reports whether a sheet asks: what is open, once, unless each is to be
// asked for by itself.
func (s *Sheet) wants(a *checks.Ask) bool {
	switch {
	case a.Past:
		return false
	case a.Covers > 0:
		return !s.options.All && !s.options.Each
	case a.Covered && !s.options.Each:
		return s.options.All
	}
	return a.Open || s.options.All
}

// elevation is what is asked of one elevation: its asks, and what of it does not
// hold.
func (s *Sheet) elevation(l checks.Layout, asks []*checks.Ask, wrong []checks.Result) Elevation {
	e := Elevation{Room: l.Room, Name: l.Elevation, Layout: l}
	var remarks []*checks.Ask
	for _, a := range asks {
		switch {
		case isRemark(a):
			remarks = append(remarks, a)
			continue
		case !s.wants(a):
			continue
		}
		s.open++
		if n := len(e.Groups); n == 0 || e.Groups[n-1].Subject != a.Subject {
			e.Groups = append(e.Groups, s.group(a.Subject, l, wrong))
		}
		g := &e.Groups[len(e.Groups)-1]
		g.Asks = append(g.Asks, s.short(a))
	}
	for _, a := range remarks {
		// On a short sheet the remark on the room is enough, but where something did
		// not hold.
		if i := slices.IndexFunc(e.Groups, func(g Group) bool {
			return g.Subject == a.Subject && (s.options.All || s.options.Each || len(g.Again) > 0)
		}); i >= 0 {
			e.Groups[i].Asks = append(e.Groups[i].Asks, a)
		}
	}
	return e
}

// notes say what to turn in the runs of an elevation, and when it leaves level if it
// goes on moving.
func (s *Sheet) notes(l checks.Layout, results []checks.Result) (all []Note) {
	for i := range l.Turns {
		list := &l.Turns[i]
		n := Note{Text: s.Words(say.That("What to turn, %[1]s: %[2]s.", list.Of.ItemWords(), list.Text(s.Say.Lengths)))}
		if n.Beside = n.Text; !list.Nothing() {
			n.Beside = s.Words(say.That("%[1]s.", say.Sentences(list.Notes()...)))
		}
		all = append(all, n)
	}
	for i := range results {
		r := &results[i]
		if r.Forecast == nil || r.Subject.Elevation != l.Elevation || r.Forecast.Words().Empty() {
			continue
		}
		said := s.Words(say.That("%[1]s.", r.Forecast.Words()))
		all = append(all, Note{said, said})
	}
	return all
}

// page adds the pages of an elevation, if anything is asked there, with the
// remark on its room, and on the last one what is asked of the room as a whole.
func (s *Sheet) page(e Elevation, whole *Group, room []*checks.Ask) {
	if len(e.Groups) == 0 && whole == nil {
		return
	}
	if whole != nil {
		e.Groups = append(e.Groups, *whole)
	}
	// One remark on the room is enough, on its last page.
	if n := len(s.Pages); n > 0 && s.Pages[n-1].Room == e.Room {
		before := &s.Pages[n-1]
		before.Groups = slices.DeleteFunc(before.Groups, func(g Group) bool { return g.Subject.Elevation == "" })
	}
	for _, a := range room {
		if isRemark(a) && whole != nil {
			g := &e.Groups[len(e.Groups)-1]
			g.Asks = append(g.Asks, a)
		} else if isRemark(a) {
			e.Groups = append(e.Groups, Group{Subject: a.Subject, Title: s.Words(say.That("Room %[1]s", say.Name(e.Room))), Asks: []*checks.Ask{a}})
		}
	}
	s.Pages = append(s.Pages, e)
}

func (s *Sheet) group(subject checks.Subject, l checks.Layout, wrong []checks.Result) Group {
	g := Group{Subject: subject, Title: s.Words(subject.ItemWords())}
	for _, u := range l.Plan.Units {
		if subject.Kind == checks.SubjectUnit && u.Tag == subject.First {
			g.About = u.Part
			if d := cmp.Or(s.rec.Planned.Cabinets[u.Part].Description, s.rec.Planned.Fillers[u.Part].Description); d != "" {
				g.About += ", " + d
			}
		}
	}
	for _, r := range wrong {
		what := r.Rule.Title().Text()
		if r.Subject.Kind == checks.SubjectRun && subject.Kind == checks.SubjectElevation {
			what = say.Commas(r.Subject.ItemWords(), what)
		} else if r.Subject != subject {
			continue
		}
		g.Again = append(g.Again, s.again(&r, what))
	}
	return g
}

// again says what is to be looked at again, under which number of the punch list,
// and since when.
func (s *Sheet) again(r *checks.Result, what say.Text) string {
	if n, ok := s.numbers[faultOf{r.Rule.Name, r.Subject.String()}]; ok {
		what = say.That("No. %[1]s, %[2]s", n, what)
	}
	again := say.That("Look again (%[1]s): %[2]s, %[3]s", what, r.Outcome.Words(), r.Finding)
	if r.Visit >= 0 {
		again = say.That("%[1]s (%[2]s)", again, s.rec.Measured.Visits[r.Visit].Date)
	}
	return s.Words(again)
}

// Words writes what is said.
func (s *Sheet) Words(t say.Text) string { return s.Say.Text(t) }

// ofVisit gathers what is asked of the visit: nothing where nothing else is
// asked.
func (s *Sheet) ofVisit(asks []checks.Ask) {
	if len(s.Pages) == 0 {
		return
	}
	s.Visit = HeadAsks()
	site := false
	for i := range asks {
		a := &asks[i]
		if a.Subject.Room != "" {
			continue
		}
		// Instruments are named on every visit that measures.
		used := a.Thing.Of == checks.OfInstrument && !a.Optional
		remark := isRemark(a) && site
		if used || s.wants(a) || remark {
			s.Visit = append(s.Visit, *s.short(a))
			site = site || a.Thing.Of == checks.OfSite
		}
	}
}

// asks gives everything that is asked, in order.
func (s *Sheet) asks() []*checks.Ask {
	var all []*checks.Ask
	for i := range s.Visit {
		all = append(all, &s.Visit[i])
	}
	for _, e := range s.Pages {
		for _, g := range e.Groups {
			all = append(all, g.Asks...)
		}
	}
	return all
}

// Fields returns every box of the sheet, in order.
func (s *Sheet) Fields() []Field {
	var all []Field
	for _, a := range s.asks() {
		all = append(all, FieldsOf(a)...)
	}
	return all
}

// Made says what made the sheet, and on what day.
func (s *Sheet) Made() (program string, on time.Time) {
	return "Setline " + s.options.Version, s.options.Date
}

// Record is the record that the sheet is of.
func (s *Sheet) Record() *schema.Record { return s.rec }

// Project is the name of the job.
func (s *Sheet) Project() string { return s.rec.Planned.Project.Name }

// Job names the job, with its number.
func (s *Sheet) Job() string {
	p := s.rec.Planned.Project
	if p.Number == "" {
		return p.Name
	}
	return s.Words(say.That("%[1]s, job %[2]s", say.Name(p.Name), say.Name(p.Number)))
}

// Asked says in a sentence what is asked.
func (s *Sheet) Asked() string {
	switch {
	case s.open == 0:
		return s.Words(say.That("Nothing is left to observe."))
	case s.options.All:
		return s.Words(say.That("%[1]s things to observe: all that the rules need, and what else is worth recording.", s.open))
	}
	return s.Words(say.That("%[1]s things to observe: what the rules need and nobody has observed, and what did not hold.", s.open))
}

// Advice says how to fill the sheet in, the weightiest last; nothing where
// nothing is asked.
func (s *Sheet) Advice() []string {
	if len(s.Pages) == 0 {
		return nil
	}
	example, other := say.Words("3/32, 34 1/2, 0.5"), say.Words("2.5 mm")
	if s.Say.Lengths == length.Metric {
		example, other = "2.5, 876", "3/32 in"
	}
	advice := []string{
		s.Words(say.That("Lengths are in %[1]s where you write a number alone (%[2]s); another unit is written with it (%[3]s).", UnitWord(s.Say.Lengths), example, other)),
		s.Words(say.That("Readings are down from the level reference line: larger is lower. An offset is plus where the right-hand unit stands proud or high, minus where the left one does.")),
	}
	if len(s.printed()) > 0 {
		advice = append(advice, s.Words(say.That("Where a length is printed beside a box, read over that length, or write behind the value over which: %[1]s.", overExample(s.Say.Lengths))))
	}
	return append(advice,
		s.Words(say.That("Leave blank what you did not look at: blank stays not observed.")))
}

// overExample shows how a value is written that was read over another length.
func overExample(sys length.System) say.Words {
	if sys == length.Metric {
		return "0.5 over 600"
	}
	return "1/64 over 24"
}

// Plan returns the plan as it travels with the sheet.
func (s *Sheet) Plan() (string, error) {
	asked := map[place]bool{}
	for _, e := range s.Pages {
		asked[place{e.Room, e.Name}] = true
	}
	return encodePlan(carried(&s.rec.Planned, func(room, elevation string) bool { return asked[place{room, elevation}] }), s.printed())
}
