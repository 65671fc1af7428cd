package report

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"time"

	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/report/pdf"
	"setline.example/schema"
	"setline.example/schema/length"
	"setline.example/templates"
)

const none = "–"

// The answers, as every version of Setline words them.
const (
	readyWords    = "READY"
	notReadyWords = "NOT READY"
)

// shortList is how many reasons of a room the first page shows.
const shortList = 6

// viewer builds a View.
type viewer struct {
	found  *checks.Findings
	rec    *schema.Record
	sys    length.System
	order  []int // visits in time order, positions in the record
	told   []int // those of them that the report tells of
	words  say.Writer
	number map[int]int // of a visit in time order, by its position in the record
	rule   map[string]int
	faults []checks.Fault
	open   map[[2]string]checks.Fault // that are not put right, by rule and subject

	draft     *checks.Draft
	photos    Photos
	covers    *Coverage
	shown     int                    // photographs shown so far
	drawn     int                    // elevations drawn so far
	placed    int                    // elevations drawn on the pages of rooms
	compared  int                    // drawings of heights so far
	drawnCuts int                    // drawings of fillers so far
	pictures  map[string]pdf.Picture // made so far, by the name under which Markdown shows them
}

func newViewer(found *checks.Findings, faults []checks.Fault) *viewer {
	rec := found.Record
	b := &viewer{found: found, rec: rec, sys: rec.Planned.LengthsIn,
		order: rec.Measured.VisitsInTime(), number: map[int]int{}, rule: map[string]int{}, faults: faults, open: map[[2]string]checks.Fault{},
		draft: checks.NewDraft(rec, found), pictures: map[string]pdf.Picture{},
	}
	if b.sys == "" {
		b.sys = length.InchSystem
	}
	b.words.Lengths = b.sys
	for n, i := range b.order {
		b.number[i] = n + 1
	}
	for _, f := range b.faults {
		if !f.PutRight && !f.Empty() {
			b.open[[2]string{f.Rule.Name, f.Subject.String()}] = f
		}
	}
	return b
}

// text writes what is said, and own words of ours.
func (b *viewer) text(t say.Text) Text { return Text(b.words.Text(t)) }
func (b *viewer) own(w say.Words) Text { return Text(b.words.Words(w)) }

// visit names a visit by its number and date.
func (b *viewer) visit(i int) say.Text {
	return say.That("visit %[1]s, %[2]s", b.number[i], b.rec.Measured.Visits[i].Date)
}

func newView(found *checks.Findings, faults []checks.Fault, record []byte, o Options) (View, map[string]pdf.Picture) {
	b := newViewer(found, faults)
	b.words.Language = o.language
	rec := b.rec
	v := View{
		Project: Text(rec.Planned.Project.Name),
		Number:  Text(rec.Planned.Project.Number),
		Ready:   o.Covers.ready(found),
		Covers:  b.text(o.Covers.says()),
	}
	b.photos, b.covers = o.Photos, o.Covers
	rules, idle := b.rules()
	v.Rules, v.IdleRules = rules, b.text(say.And(idle...))
	b.told = b.toldVisits()
	for i, room := range found.Rooms {
		if !b.covers.has(room.Room.Name) {
			continue
		}
		r := b.room(room, b.draft.Room(i), b.draft.Releases(i))
		for i := range r.Groups {
			for _, p := range r.Groups[i].Photos {
				if p.Problem != "" {
					v.PhotoProblems++
				}
			}
			if r.Visited {
				r.Groups[i].Photos = nil // the page of the room shows them, before any template of a firm
			}
		}
		v.Rooms = append(v.Rooms, r)
		for _, result := range room.Notices() {
			v.Notices = append(v.Notices, NoticeView{r.Name, b.result(result)})
		}
		if room.Ready {
			continue
		}
		items := b.results(room.Reasons())
		unseen := 0
		if !r.Visited {
			items, unseen = looked(items)
		}
		v.Punch = append(v.Punch, PunchRoom{r.Name, items, unseen})
		first := items[:min(len(items), shortList)]
		v.Open = append(v.Open, OpenRoom{r.Name, first, len(items) - len(first), unseen})
	}
	v.Answer, v.Summary = b.answer()
	v.Loosened = b.loosened()
	v.Facts = b.facts(o)
	v.OpenItems, v.ClosedItems = b.openItems()
	v.Concessions = b.concessions()
	v.PlanChanges, v.AssumedPlans = b.planChanges(), b.assumedPlans()
	v.PutRight = b.putRight()
	v.Empty, v.Replanned, v.Trail = b.empty(), b.replanned(), b.trail()
	v.Visits = b.visits()
	v.Instruments = b.instruments(record)
	v.DecisionRule = b.decisionWords()
	v.Signers = b.signers(rec.Agreed.SignOff)
	v.TemplateBy = b.text(templateBy(rec, o.Letterhead, templates.Turnover))
	return v, b.pictures
}

// toldVisits are the visits that the report tells of: those that looked at a room
// handed over, and those by which a result or a fault there was judged. They keep
// the numbers that they have in the job.
func (b *viewer) toldVisits() []int {
	judged := map[int]bool{}
	for _, v := range b.found.Rooms {
		if !b.covers.has(v.Room.Name) {
			continue
		}
		for _, r := range v.Results {
			judged[r.Visit] = true
		}
	}
	for _, f := range b.faults {
		if b.covers.has(f.Subject.Room) {
			judged[f.FoundOn] = true
			judged[f.PutRightOn] = judged[f.PutRightOn] || f.PutRight
		}
	}
	var told []int
	for _, i := range b.order {
		if judged[i] || b.covers.hasVisit(&b.rec.Measured.Visits[i]) {
			told = append(told, i)
		}
	}
	return told
}

// answer is what the first page says in a word, and in a sentence.
func (b *viewer) answer() (word, sentence Text) {
	ready, all, open := 0, 0, map[checks.Outcome]int{}
	for _, room := range b.found.Rooms {
		if !b.covers.has(room.Room.Name) {
			continue
		}
		all++
		if room.Ready {
			ready++
		}
		for o, n := range room.Counts {
			open[o] += n
		}
	}
	word = b.text(b.covers.answer(ready == all))
	sentence = b.text(say.Count(all, "%[2]s of %[1]s room ready.", "%[2]s of %[1]s rooms ready.", ready))
	if ready == all {
		sentence += " " + b.text(say.That("Every rule that applies passes or is conceded."))
	} else {
		for _, count := range []struct {
			words   say.Words
			outcome checks.Outcome
		}{{"To put right", checks.Fail}, {"Not observed", checks.NotObserved}, {"Undecided", checks.Undecided}} {
			if n := open[count.outcome]; n > 0 {
				sentence += " " + b.text(say.That("%[1]s: %[2]s.", count.words, n))
			}
		}
	}
	if n := open[checks.Conceded]; n > 0 {
		sentence += " " + b.text(say.That("Conceded: %[1]s, by written permission.", n))
	}
	return word, sentence
}

func (b *viewer) facts(o Options) []NamedText {
	p := b.rec.Planned.Project
	var facts []NamedText
	add := func(name say.Words, value string) {
		if value != "" {
			facts = append(facts, NamedText{b.own(name), Text(value)})
		}
	}
	add("Address", p.Address)
	add("Installer", p.Installer)
	add("General contractor", p.Contractor)
	add("Specification section", b.rec.Planned.SpecSection)
	add("Visits", b.span())
	add("Report made", b.words.Text(say.That("%[1]s with Setline %[2]s", say.Name(o.Date.UTC().Format(time.DateOnly)), say.Name(o.Version))))
	return facts
}

// span tells how many visits there were and when.
func (b *viewer) span() string {
	switch len(b.told) {
	case 0:
		return b.words.Words("none")
	case 1:
		return b.words.Text(say.That("1, on %[1]s", b.rec.Measured.Visits[b.told[0]].Date))
	}
	first, last := b.rec.Measured.Visits[b.told[0]].Date, b.rec.Measured.Visits[b.told[len(b.told)-1]].Date
	return b.words.Text(say.That("%[1]s, from %[2]s to %[3]s", len(b.told), first, last))
}

func (b *viewer) room(v checks.Verdict, layouts []checks.Layout, releases []checks.Release) RoomView {
	r := RoomView{
		Name:        Text(v.Room.Name),
		Use:         Text(v.Room.Use),
		Ready:       v.Ready,
		Answer:      b.own(notReadyWords),
		Pass:        v.Counts[checks.Pass],
		Fail:        v.Counts[checks.Fail],
		NotObserved: v.Counts[checks.NotObserved],
		Undecided:   v.Counts[checks.Undecided],
		Conceded:    v.Counts[checks.Conceded],
		NA:          v.Counts[checks.NotApplicable],
		LastVisit:   b.own("never"),
	}
	if v.Ready {
		r.Answer = b.own(readyWords)
	}
	for _, i := range b.order {
		visit := b.rec.Measured.Visits[i]
		if seen, ok := visit.Rooms[v.Room.Name]; ok {
			r.LastVisit, r.Visited = Text(visit.Date), true
			r.Remarks = append(r.Remarks, b.remarks(v.Room.Name, &seen, b.number[i])...)
		}
	}
	r.OneHeight = b.noOneHeight(layouts)
	results := v.Results
	for len(results) > 0 {
		elevation := results[0].Subject.Elevation
		n := slices.IndexFunc(results, func(r checks.Result) bool { return r.Subject.Elevation != elevation })
		if n < 0 {
			n = len(results)
		}
		title := say.That("Elevation %[1]s", say.Name(elevation))
		if elevation == "" {
			title = say.That("The room as a whole")
		}
		views := b.results(results[:n])
		g := GroupView{Title: b.text(title)}
		if i := slices.IndexFunc(layouts, func(l checks.Layout) bool { return l.Elevation == elevation }); i >= 0 {
			b.drawn++
			g.Drawings, g.Still = b.drawings(layouts[i], b.drawn, abreastWidth, b.pictures)
		}
		g.Tops = b.releasedTops(releases, elevation)
		g.Results = views
		g.Photos = b.photographs(v.Room, elevation)
		r.Groups = append(r.Groups, g)
		results = results[n:]
	}
	r.ByRule = b.byRule(r.Groups)
	r.Page = b.roomPage(&v, &r, layouts)
	return r
}

// looked leaves out what nobody observed, and counts it: of a room that nobody
// visited that is all one thing. What was found once and has a number stays.
func looked(items []ResultView) (seen []ResultView, unseen int) {
	for _, i := range items {
		if i.of.Outcome == checks.NotObserved && i.number == 0 {
			unseen++
		} else {
			seen = append(seen, i)
		}
	}
	return seen, unseen
}

// photographs are those that show a unit or joint of an elevation, or with ""
// those of the room as a whole.
func (b *viewer) photographs(room *schema.Room, elevation string) []PhotoView {
	var all []PhotoView
	for _, i := range b.order {
		visit := &b.rec.Measured.Visits[i]
		for _, p := range visit.Rooms[room.Name].Photos {
			if elevationOf(room, p.Of) != elevation {
				continue
			}
			v := PhotoView{
				Where: Text(cmp.Or(p.Of, room.Name)), Caption: Text(p.Caption), By: Text(p.By),
				Alt:  Text(cmp.Or(p.Caption, b.words.Text(say.That("Photograph of %[1]s", say.Name(cmp.Or(p.Of, room.Name)))))),
				Seen: b.text(b.visit(i)),
			}
			if photo := b.photos.of(p); photo.Picture != nil {
				b.shown++
				v.Name = fmt.Sprintf("photo-%d", b.shown)
				b.pictures[v.Name] = photo.Picture
			} else {
				v.Problem = Text(photo.Problem)
			}
			all = append(all, v)
		}
	}
	return all
}

// elevationOf returns the elevation that a unit or joint stands in, "" for the
// room as a whole.
func elevationOf(room *schema.Room, item string) string {
	for _, e := range room.Elevations {
		for i, u := range e.Units {
			if u.Tag == item || i > 0 && schema.JointName(e.Units[i-1].Tag, u.Tag) == item {
				return e.Name
			}
		}
	}
	return ""
}

// remarks gathers what people wrote of a room on one visit.
func (b *viewer) remarks(room string, seen *schema.RoomSeen, visit int) []RemarkView {
	var all []RemarkView
	add := func(where, text string) {
		if text != "" {
			all = append(all, RemarkView{Text(where), Text(text), visit})
		}
	}
	for _, text := range seen.Remarks {
		add(room, text)
	}
	for _, tag := range slices.Sorted(maps.Keys(seen.Cabinets)) {
		add(tag, seen.Cabinets[tag].Remark)
	}
	for _, name := range slices.Sorted(maps.Keys(seen.Joints)) {
		add(name, seen.Joints[name].Remark)
	}
	for _, tag := range slices.Sorted(maps.Keys(seen.Fillers)) {
		add(tag, seen.Fillers[tag].Remark)
	}
	return all
}

func (b *viewer) results(results []checks.Result) []ResultView {
	views := make([]ResultView, len(results))
	for i, r := range results {
		views[i] = b.result(r)
	}
	return views
}

func (b *viewer) result(r checks.Result) ResultView {
	v := ResultView{
		of:      &r,
		Where:   b.text(r.Subject.ItemWords()),
		Rule:    b.own(r.Rule.Title()),
		Outcome: b.own(r.Outcome.Words()),
		Holds:   r.Outcome.Holds(),
		Value:   none, Limit: none, Margin: none, Within: none,
		Finding: b.text(r.Finding),
		Remedy:  b.text(r.Remedy),
		Visit:   none,
		Number:  none,
		Seen:    b.own("nobody looked"),
		Source:  Text(strconv.Itoa(b.rule[r.Rule.Name])),
	}
	b.quantities(&v, &r)
	if r.Visit >= 0 {
		v.Visit = Text(strconv.Itoa(b.number[r.Visit]))
		v.Seen = b.text(b.visit(r.Visit))
		if f, ok := b.open[[2]string{r.Rule.Name, r.Subject.String()}]; ok && f.FoundOn >= 0 && f.FoundOn != r.Visit {
			v.Seen = b.text(say.That("since visit %[1]s, last seen on %[2]s", b.number[f.FoundOn], b.visit(r.Visit)))
		}
	} else if r.Rule.Family == checks.Receiving && r.Outcome != checks.NotObserved {
		v.Seen = b.own("from packing lists and counts")
	}
	if f, ok := b.open[[2]string{r.Rule.Name, r.Subject.String()}]; ok && !r.Outcome.Holds() {
		v.number, v.Number = f.Number, Text(strconv.Itoa(f.Number))
		v.no = b.text(say.That("No. %[1]s,", f.Number))
	}
	if r.Concession >= 0 {
		c := b.rec.Agreed.Concessions[r.Concession]
		v.Finding = b.text(say.That("%[1]s (conceded by %[2]s on %[3]s)", say.Name(v.Finding), say.Name(c.By.Name), c.Date))
	}
	return v
}

// quantities writes value, limit and margin. A rule that asks for a yes has none to show.
func (b *viewer) quantities(v *ResultView, r *checks.Result) {
	if r.Limit.Unit != checks.Length && r.Limit.Unit != checks.Days {
		return
	}
	w := b.words
	v.measured = r.Value.Unit != checks.NoUnit
	if v.measured {
		w.Bare = !roundingMatters(r, b.sys)
		v.Value, v.Margin = Text(w.Text(r.Value.Text())), Text(w.Text(r.Margin.Text()))
		v.Finding = Text(w.Text(r.Finding))
	}
	if r.Rule.LimitWords == "" || v.measured {
		v.Limit = Text(w.Text(r.Limit.Text()))
	}
	if r.Known {
		v.Uncertainty = Text(b.decimal(r.Uncertainty))
		v.Value += " ± " + v.Uncertainty
		v.Within = Text(percent(r.Conformity))
	}
}

// roundingMatters reports whether a result's lengths are marked where they are
// rounded, with ≈. It matters where a reader who compares them as they are
// printed would find otherwise than the rules, which compare them exactly: where
// value and limit are printed alike and are not, or the margin as nothing. A limit
// with no value beside it is always marked: somebody will measure against it.
func roundingMatters(r *checks.Result, sys length.System) bool {
	if r.Value.Unit != checks.Length || r.Limit.Unit != checks.Length {
		return false
	}
	value, limit, margin := length.Length(r.Value.N), length.Length(r.Limit.N), length.Length(r.Margin.N)
	return cmp.Compare(value.Rounded(sys), limit.Rounded(sys)) != cmp.Compare(value, limit) ||
		cmp.Compare(margin.Rounded(sys), 0) != cmp.Compare(margin, 0)
}

// decimal writes an uncertainty in nanometres, see [say.Decimal].
func (b *viewer) decimal(nm float64) string { return b.words.Text(say.That("%[1]s", say.Decimal(nm))) }

// percent writes a probability, never as a certainty that it is not.
func percent(p float64) string {
	switch {
	case p > 0.999:
		return "> 99.9 %"
	case p < 0.001:
		return "< 0.1 %"
	}
	return strconv.FormatFloat(float64(100*p), 'f', 1, 64) + " %"
}
