package checks

import (
	"maps"
	"slices"

	"setline.example/checks/say"
	"setline.example/schema"
)

var partsReceived = &Rule{
	ID:                "parts-received",
	Name:              "parts received",
	Family:            Receiving,
	Asks:              "Every part drawn for a room is on a packing list, came, and came whole; and no more is listed and no more came than is drawn.",
	Why:               "A short or damaged part found before setting costs a phone call; found after, it costs the run. A part too many here is short in another room. Where a packing list names no room, what is short is short for the job: it is told once, and no room that shares the part is shown to be right until it is settled.",
	LimitWords:        "as many listed, and as many received whole, as drawn",
	Formula:           "drawn = listed = received whole, by part number and room; and received whole = listed, line by line",
	Source:            CommonPractice,
	Needs:             "Count the part against its packing list and write down how many came whole and how many damaged",
	Remedy:            "Tell the supplier and the general contractor before setting begins",
	RemedyOnceSetting: "Tell the supplier and the general contractor now: setting has begun, and what waits for this part has to be agreed",
	judge:             judgePartsReceived,
}

// counted is one line of a packing list and what came of it.
type counted struct {
	list, line string
	at         string // pointer to it
	listed     int
	good       int
	damaged    int
	seen       bool     // somebody counted it
	remarks    []string // what people wrote when they counted
}

// off is how many more than listed came whole, negative where some are short;
// 0 where nobody counted.
func (c *counted) off() int {
	if !c.seen {
		return 0
	}
	return c.good - c.listed
}

// tally is all lines of one part number for a room, or of those that name none.
type tally struct {
	lines                 []counted
	listed, good, damaged int
	short, over           int // of the lines that were counted
	uncounted             bool
}

func (t *tally) add(c counted) {
	t.lines = append(t.lines, c)
	t.listed += c.listed
	t.good += c.good
	t.damaged += c.damaged
	t.short += max(0, -c.off())
	t.over += max(0, c.off())
	t.uncounted = t.uncounted || !c.seen
}

// remarked adds to a text what people wrote when they counted, in brackets.
func (t *tally) remarked(text say.Text) say.Text {
	for _, c := range t.lines {
		for _, remark := range c.remarks {
			text = say.That("%[1]s (%[2]s)", text, say.Name(remark))
		}
	}
	return text
}

// missing says of how many nothing came whole, and why: "1 of 7 damaged".
func (t *tally) missing() say.Text {
	damaged := min(t.damaged, t.short)
	switch {
	case damaged == 0:
		return say.That("%[1]s of %[2]s did not come", t.short, t.listed)
	case damaged == t.short:
		return say.That("%[1]s of %[2]s damaged", damaged, t.listed)
	}
	return say.That("%[1]s of %[2]s damaged, %[3]s did not come", damaged, t.listed, t.short-damaged)
}

// supply is what came for a job, by room and part; with no room ("") where
// the order named none.
type supply map[[2]string]*tally

func newSupply(a *schema.Arrived) supply {
	s := supply{}
	got := map[[2]string]*counted{}
	for _, list := range sortedNames(a.PackingLists) {
		for _, line := range sortedNames(a.PackingLists[list].Lines) {
			got[[2]string{list, line}] = &counted{
				list: list, line: line, at: schema.Pointer("/arrived/packing_lists", list, "lines", line),
				listed: a.PackingLists[list].Lines[line].Quantity,
			}
		}
	}
	for _, r := range a.Receipts {
		for _, line := range sortedNames(r.Lines) {
			if c := got[[2]string{r.PackingList, line}]; c != nil {
				c.receive(r.Lines[line])
			}
		}
	}
	for _, list := range sortedNames(a.PackingLists) {
		for _, line := range sortedNames(a.PackingLists[list].Lines) {
			l := a.PackingLists[list].Lines[line]
			s.tally(l.Room, l.Part).add(*got[[2]string{list, line}])
		}
	}
	return s
}

// receive adds one count of the line.
func (c *counted) receive(n schema.Received) {
	c.seen = true
	c.good += n.Good
	c.damaged += n.Damaged
	if n.Remark != "" {
		c.remarks = append(c.remarks, n.Remark)
	}
}

// tally returns the tally of a part for a room, or of the pool where room is "".
func (s supply) tally(room, part string) *tally {
	key := [2]string{room, part}
	if s[key] == nil {
		s[key] = new(tally)
	}
	return s[key]
}

// share is what one room wants of a part that came with no room named.
type share struct {
	room string
	n    int
}

// pool is one part number as packing lists have it that name no room.
type pool struct {
	*tally
	shares []share // in walking order
	wanted int     // by all of them
	host   string  // the room at which it is told, for the whole job
}

// outcome is what is so of the pool.
func (p *pool) outcome() Outcome {
	switch {
	case p.listed != p.wanted || p.short > 0 || p.over > 0:
		return Fail
	case p.uncounted:
		return NotObserved
	}
	return Pass
}

// who names the rooms that share it, and how many each wants.
func (p *pool) who() say.Text {
	if len(p.shares) == 0 {
		return say.That("no room wants any")
	}
	names := make([]say.Text, len(p.shares))
	for i, s := range p.shares {
		names[i] = say.That("%[1]s (%[2]s)", say.Name(s.room), s.n)
	}
	if len(names) == 1 {
		return say.That("for %[1]s", names[0])
	}
	return say.That("rooms that share them: %[1]s", say.Commas(names...))
}

// finding says what is so of the pool, once for the job.
func (p *pool) finding() say.Text {
	var parts []say.Text
	if p.listed < p.wanted {
		parts = append(parts, say.That("%[1]s not on any packing list: %[2]s drawn, %[3]s listed", p.wanted-p.listed, p.wanted, p.listed))
	}
	if p.listed > p.wanted {
		parts = append(parts, say.That("%[1]s more listed than drawn: listed %[2]s, drawn %[3]s", p.listed-p.wanted, p.listed, p.wanted))
	}
	if p.short > 0 {
		parts = append(parts, p.missing())
	}
	if p.over > 0 {
		parts = append(parts, say.That("%[1]s more came than listed", p.over))
	}
	switch {
	case p.uncounted && len(parts) == 0:
		parts = append(parts, say.That("not all counted: %[1]s listed, %[2]s came whole", p.listed, p.good))
	case p.uncounted:
		parts = append(parts, say.That("not all counted"))
	}
	return p.remarked(say.That("%[1]s; listed with no room named; %[2]s", say.Semicolons(parts...), p.who()))
}

// arrivals is what came for the whole job.
type arrivals struct {
	supply supply
	listed map[string][]string // the parts that packing lists name for a room, in order
	pools  map[string]*pool    // by part number
	told   map[string][]string // the parts whose pool is told at a room, in order
	lines  listedLines
}

func newArrivals(rec *schema.Record) arrivals {
	a := arrivals{newSupply(&rec.Arrived), map[string][]string{}, map[string]*pool{}, map[string][]string{}, newListedLines(&rec.Arrived)}
	for _, key := range slices.SortedFunc(maps.Keys(a.supply), func(x, y [2]string) int { return slices.Compare(x[:], y[:]) }) {
		room, part := key[0], key[1]
		a.listed[room] = append(a.listed[room], part)
	}
	if len(a.listed[""]) == 0 {
		return a
	}
	drawn := unitsDrawn(rec)
	for _, part := range a.listed[""] {
		p := a.newPool(rec, drawn, part)
		a.pools[part], a.told[p.host] = p, append(a.told[p.host], part)
	}
	return a
}

// unitsDrawn counts the units of every part, room by room.
func unitsDrawn(rec *schema.Record) []map[string]int {
	all := make([]map[string]int, len(rec.Planned.Rooms))
	for i := range all {
		all[i] = map[string]int{}
		for _, e := range rec.Planned.Rooms[i].Elevations {
			for k := range e.Units {
				all[i][e.Units[k].Part]++
			}
		}
	}
	return all
}

// newPool finds who wants a part that came with no room named. It is told at
// the first room that does; where none does, at the first that has one drawn,
// else at the first room.
func (a *arrivals) newPool(rec *schema.Record, drawn []map[string]int, part string) *pool {
	p := &pool{tally: a.supply[[2]string{"", part}]}
	drawnAt := ""
	for i := range rec.Planned.Rooms {
		room := &rec.Planned.Rooms[i]
		n := drawn[i][part]
		if n > 0 && drawnAt == "" {
			drawnAt = room.Name
		}
		if t := a.supply[[2]string{room.Name, part}]; t != nil {
			n -= t.listed
		}
		if n > 0 {
			p.shares = append(p.shares, share{room.Name, n})
			p.wanted += n
		}
	}
	switch {
	case len(p.shares) > 0:
		p.host = p.shares[0].room
	case drawnAt != "":
		p.host = drawnAt
	default:
		p.host = rec.Planned.Rooms[0].Name
	}
	return p
}

// drawn is one part number of one room and how many units of it are drawn.
type drawn struct {
	part    string
	n       int
	subject Subject
	at      string // pointer to what asks for it
}

// partsOf counts the parts drawn for a room, in walking order of their first
// unit, and after them the parts that packing lists name for the room though
// it has none, and those that are told here for the job.
func (a *arrivals) partsOf(r *room) []*drawn {
	var all []*drawn
	byPart := map[string]*drawn{}
	count := func(part, at string, n int) {
		d := byPart[part]
		if d == nil {
			d = &drawn{part: part, at: at, subject: Subject{
				// Parts belong to the room as a whole and come before its elevations.
				Room: r.plan.Name, Kind: SubjectPart, Item: "part " + part, First: part, room: r.index, elevation: -1, unit: len(all),
			}}
			byPart[part] = d
			all = append(all, d)
		}
		d.n += n
	}
	for _, e := range r.elevations {
		for _, u := range e.units {
			count(u.plan.Part, u.at+"/part", 1)
		}
	}
	for _, part := range a.listed[r.plan.Name] {
		count(part, a.supply[[2]string{r.plan.Name, part}].lines[0].at, 0)
	}
	for _, part := range a.told[r.plan.Name] {
		count(part, a.pools[part].lines[0].at, 0)
	}
	return all
}

func judgePartsReceived(b *bench) {
	for _, r := range b.rooms {
		for _, d := range b.partsOf(r) {
			b.part(d)
		}
	}
}

// part judges one part of one room: by the lines that name the room, and by
// the pool of those that name none, where the room shares it.
func (b *bench) part(d *drawn) {
	if len(b.rec.Arrived.PackingLists) == 0 {
		b.notObserved(d.subject, d.at, say.That("packing list"))
		return
	}
	own := b.supply[[2]string{d.subject.Room, d.part}]
	if own == nil {
		own = new(tally)
	}
	p := b.pools[d.part]
	shares := p != nil && slices.ContainsFunc(p.shares, func(s share) bool { return s.room == d.subject.Room })
	told := p != nil && p.host == d.subject.Room
	r := b.ownPart(d, own, shares)
	switch {
	case told:
		b.toldHere(&r, p)
	case shares:
		b.toldElsewhere(&r, d, p)
	}
	b.add(r)
}

// ownPart judges the lines that name the room. Where a pool serves it too, what
// they lack is no fault of theirs.
func (b *bench) ownPart(d *drawn, own *tally, shares bool) Result {
	counts := say.That("%[1]s drawn, %[2]s listed for this room; %[3]s came whole", d.n, own.listed, own.good)
	if own.damaged > 0 {
		counts = say.That("%[1]s drawn, %[2]s listed for this room; %[3]s came whole, %[4]s damaged", d.n, own.listed, own.good, own.damaged)
	}
	counts = own.remarked(counts)
	r := Result{Subject: d.subject, Visit: -1, Pointer: d.at, Outcome: Fail, Remedy: b.rule.remedyIn(b.phaseOf(d.subject))}
	if len(own.lines) > 0 {
		r.Pointer = own.lines[0].at
	}
	r.faults = own.faults(d.n, shares)
	switch {
	case own.listed < d.n && !shares:
		r.Finding = say.That("%[1]s not on any packing list: %[2]s", d.n-own.listed, counts)
		r.Remedy = notListed.in(b.phaseOf(d.subject))
	case own.listed > d.n && own.over == 0:
		r.Finding = say.That("%[1]s more listed than drawn: %[2]s", own.listed-d.n, counts)
		r.Remedy = tooManyListed.Text()
	case own.short > 0 && own.over > 0:
		r.Finding = say.That("%[1]s short on one line and %[2]s too many on another: %[3]s", own.short, own.over, counts)
		r.Remedy = say.That("Count again, each line for itself, and find what was counted against the wrong one")
	case own.short > 0:
		r.Finding = say.That("Short by %[1]s: %[2]s", own.short, counts)
		if own.damaged > 0 {
			r.Remedy = damagedApart.in(b.phaseOf(d.subject))
		}
	case own.over > 0:
		r.Finding = say.That("%[1]s too many: %[2]s", own.good-min(own.listed, d.n), counts)
		r.Remedy = say.That("Find the room that is short of it, or send it back")
	case own.uncounted:
		r.Outcome, r.Finding, r.Remedy = NotObserved, say.That("Not all counted: %[1]s", counts), b.rule.Needs.Text()
	default:
		r.Outcome, r.Finding, r.Remedy = Pass, counts, say.Text{}
	}
	return r
}

const tooManyListed say.Words = "Find whether a unit is missing on the drawings, or send the part back. What replaces a damaged part is counted against the line of the part it replaces"

var (
	notListed = remedy{
		layingOut: "Ask the supplier for what is missing, or for the packing list it is on, before setting begins",
		setting:   "Ask the supplier now for what is missing, or for the packing list it is on, and agree what waits for it",
	}
	damagedApart = remedy{
		layingOut: "Set the damaged part aside with its packing, photograph it, and ask the supplier for another before setting begins",
		setting:   "Take the damaged part out if it stands, photograph it, ask the supplier now for another, and agree what waits for it",
	}
)

// faults are what does not hold of the lines of a part, of which n are drawn;
// shares says that more may be listed elsewhere.
func (t *tally) faults(n int, shares bool) []fault {
	var all []fault
	if t.listed > n || t.listed < n && !shares {
		which := "listed too few"
		if t.listed > n {
			which = "listed too many"
		}
		all = append(all, fault{of: faultOf{which, "", ""}, value: int64(max(t.listed-n, n-t.listed))})
	}
	for _, c := range t.lines {
		switch off := c.off(); {
		case off < 0:
			all = append(all, fault{of: faultOf{"short", c.list, c.line}, value: int64(-off)})
		case off > 0:
			all = append(all, fault{of: faultOf{"too many", c.list, c.line}, value: int64(off)})
		}
	}
	return all
}

// toldHere adds to a room's result what is so of the pool for the whole job.
func (b *bench) toldHere(r *Result, p *pool) {
	if r.Pointer == "" || r.Outcome == Pass {
		r.Pointer = p.lines[0].at
	}
	if o := p.outcome(); o == Pass {
		r.Finding = p.remarked(say.That("%[1]s; %[2]s listed with no room named, %[3]s came whole; %[4]s", r.Finding, p.listed, p.good, p.who()))
		return
	} else if r.Outcome == Pass || r.Outcome == NotObserved && o == Fail {
		r.Outcome, r.Finding = o, p.finding()
	} else {
		r.Finding = say.Semicolons(r.Finding, p.finding())
	}
	r.faults = append(r.faults, p.faults(p.wanted, false)...)
	switch {
	case r.Outcome == NotObserved:
		r.Remedy = b.rule.Needs.Text()
	case p.short > 0 && p.damaged > 0:
		r.Remedy = say.That("%[1]s; settle which room waits for it", damagedApart.in(b.phaseOf(r.Subject)))
	case p.listed > p.wanted:
		r.Remedy = tooManyListed.Text()
	}
}

// toldElsewhere leaves a room open that shares a part of which the job has not
// what it wants: nobody can say yet that this room has its own.
func (b *bench) toldElsewhere(r *Result, d *drawn, p *pool) {
	o := p.outcome()
	if o == Pass {
		r.Finding = say.That("%[1]s; %[2]s listed with no room named, of which all rooms want %[3]s and %[4]s came whole", r.Finding, p.listed, p.wanted, p.good)
		return
	}
	host := d.subject
	host.Room = p.host
	if r.Outcome != Pass {
		r.Finding = say.That("%[1]s; what came with no room named is told at %[2]s", r.Finding, host.Words())
		return
	}
	r.Outcome, r.toldAt = NotObserved, host.String()
	r.Finding = say.That("Shares part %[1]s, listed with no room named, with other rooms: not yet settled, told at %[2]s", say.Name(d.part), host.Words())
	r.Remedy = say.That("Settle %[1]s, and with it what this room gets", host.Words())
}

// followConcessions lets results follow that are told elsewhere: permission for
// what is told there is permission for every room that shares it.
func followConcessions(results []Result) {
	told := map[string]int{}
	for i := range results {
		if results[i].Rule == partsReceived {
			told[results[i].Subject.String()] = i
		}
	}
	for i := range results {
		r := &results[i]
		if at, ok := told[r.toldAt]; ok && r.toldAt != "" && results[at].Outcome == Conceded {
			r.Outcome, r.Concession, r.Remedy = Conceded, results[at].Concession, say.Text{}
		}
	}
}
