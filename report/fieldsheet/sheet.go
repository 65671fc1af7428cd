package fieldsheet

import (
	"cmp"
	"slices"
	"time"

	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/report/pdf"
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
	// Paper is pdf.Letter or pdf.A4.
	Paper pdf.Paper
	// Language is English where it is nil: the only one that there is, but for tests.
	Language say.Language
}

// Sheet is a field sheet ready to be written.
type Sheet struct {
	rec     *schema.Record
	sys     length.System
	say     say.Writer
	options Options

	visit []checks.Ask // who, when, what for; instruments; site
	pages []elevation
	open  int // how many asks
	// anyOpen says that anything is to be looked at in the rooms, on this sheet or not.
	anyOpen bool
}

// elevation is what is asked along one elevation.
type elevation struct {
	room, name string
	layout     checks.Layout
	groups     []group
}

// group is what is asked of one subject: the elevation itself, a unit, a joint.
type group struct {
	subject checks.Subject
	title   string
	joint   bool
	about   string   // what it is, in words
	again   []string // what did not hold and is to be looked at again
	asks    []*checks.Ask
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
		s.pages = append(s.pages, one.pages...)
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
}

func newMaker(rec *schema.Record, src *schema.Source, o Options) (*maker, error) {
	found, err := checks.Run(rec, src)
	if err != nil {
		return nil, err
	}
	if o.Keep == nil {
		o.Keep = func(string, string) bool { return true }
	}
	return &maker{rec, o, found, checks.NewWalk(rec, src, found), checks.NewDraft(rec, found)}, nil
}

// sheet is a sheet that asks nothing yet.
func (m *maker) sheet() *Sheet {
	sys := cmp.Or(m.rec.Planned.LengthsIn, length.InchSystem)
	return &Sheet{rec: m.rec, sys: sys, say: say.Writer{Language: m.options.Language, Lengths: sys}, options: m.options}
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
		if r.Outcome == checks.Fail || r.Outcome == checks.Undecided {
			wrong[placeOf(r.Subject)] = append(wrong[placeOf(r.Subject)], r)
		}
	}
	for _, l := range m.draft.Room(i) {
		if at := (place{l.Room, l.Elevation}); s.options.Keep(l.Room, l.Elevation) {
			s.elevation(l, by[at], by[place{l.Room, ""}], wrong[at])
		}
	}
	return s
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
	case a.Covers > 0:
		return !s.options.All && !s.options.Each
	case a.Covered && !s.options.Each:
		return s.options.All
	}
	return a.Open || s.options.All
}

// elevation adds the pages of one elevation, if anything is asked there: its
// asks, the remark on its room, and what of it does not hold.
func (s *Sheet) elevation(l checks.Layout, asks, room []*checks.Ask, wrong []checks.Result) {
	e := elevation{room: l.Room, name: l.Elevation, layout: l}
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
		if n := len(e.groups); n == 0 || e.groups[n-1].subject != a.Subject {
			e.groups = append(e.groups, s.group(a.Subject, l, wrong))
		}
		g := &e.groups[len(e.groups)-1]
		g.asks = append(g.asks, a)
	}
	if len(e.groups) == 0 {
		return
	}
	for _, a := range remarks {
		if i := slices.IndexFunc(e.groups, func(g group) bool { return g.subject == a.Subject }); i >= 0 {
			e.groups[i].asks = append(e.groups[i].asks, a)
		}
	}
	// One remark on the room is enough, on its last page.
	if n := len(s.pages); n > 0 && s.pages[n-1].room == e.room {
		before := &s.pages[n-1]
		before.groups = slices.DeleteFunc(before.groups, func(g group) bool { return g.subject.Elevation == "" })
	}
	for _, a := range room {
		if isRemark(a) {
			e.groups = append(e.groups, group{subject: a.Subject, title: s.words(say.That("Room %[1]s", say.Name(e.room))), asks: []*checks.Ask{a}})
		}
	}
	s.pages = append(s.pages, e)
}

func (s *Sheet) group(subject checks.Subject, l checks.Layout, wrong []checks.Result) group {
	g := group{subject: subject, title: s.words(subject.ItemWords()), joint: subject.Kind == checks.SubjectJoint}
	for _, u := range l.Plan.Units {
		if subject.Kind == checks.SubjectUnit && u.Tag == subject.First {
			g.about = u.Part
			if d := cmp.Or(s.rec.Planned.Cabinets[u.Part].Description, s.rec.Planned.Fillers[u.Part].Description); d != "" {
				g.about += ", " + d
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
		again := say.That("Look again (%[1]s): %[2]s, %[3]s", what, r.Outcome.Words(), r.Finding)
		if r.Visit >= 0 {
			again = say.That("%[1]s (%[2]s)", again, s.rec.Measured.Visits[r.Visit].Date)
		}
		g.again = append(g.again, s.words(again))
	}
	return g
}

// words writes what is said.
func (s *Sheet) words(t say.Text) string { return s.say.Text(t) }

// ofVisit gathers what is asked of the visit: nothing where nothing else is
// asked.
func (s *Sheet) ofVisit(asks []checks.Ask) {
	if len(s.pages) == 0 {
		return
	}
	s.visit = HeadAsks()
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
			s.visit = append(s.visit, *a)
			site = site || a.Thing.Of == checks.OfSite
		}
	}
}

// asks gives everything that is asked, in order.
func (s *Sheet) asks() []*checks.Ask {
	var all []*checks.Ask
	for i := range s.visit {
		all = append(all, &s.visit[i])
	}
	for _, e := range s.pages {
		for _, g := range e.groups {
			all = append(all, g.asks...)
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

// unit is what a length without one is taken to be in.
func (s *Sheet) unit() string { return string(s.sys) }

// Plan returns the plan as it travels with the sheet.
func (s *Sheet) Plan() (string, error) {
	asked := map[place]bool{}
	for _, e := range s.pages {
		asked[place{e.room, e.name}] = true
	}
	return encodePlan(carried(&s.rec.Planned, func(room, elevation string) bool { return asked[place{room, elevation}] }))
}
