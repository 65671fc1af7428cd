package checks

import (
	"fmt"
	"maps"
	"slices"

	"setline.example/schema"
)

var partsReceived = &Rule{
	ID:         "parts-received",
	Name:       "parts received",
	Family:     Receiving,
	Asks:       "Every part drawn for a room is on a packing list, came, and came whole; and no more came than is drawn.",
	Why:        "A short or damaged part found before setting costs a phone call; found after, it costs the run. A part too many here is short in another room.",
	LimitWords: "as many received whole as drawn",
	Formula:    "drawn = listed = received whole, by part number and room",
	Source:     "common practice, no source",
	Needs:      "Count the part against its packing list and write down how many came whole and how many damaged",
	Remedy:     "Tell the supplier and the general contractor before setting begins",
	judge:      judgePartsReceived,
}

// tally counts one part number: what packing lists say and what came.
type tally struct {
	listed    int
	good      int
	damaged   int
	uncounted bool     // nobody counted one of the lines
	pointers  []string // to the lines
	remarks   []string // what people wrote when they counted
}

func (t *tally) add(line schema.PackingLine, at string, got []schema.Received) {
	t.listed += line.Quantity
	t.pointers = append(t.pointers, at)
	t.uncounted = t.uncounted || len(got) == 0
	for _, g := range got {
		t.good += g.Good
		t.damaged += g.Damaged
		if g.Remark != "" {
			t.remarks = append(t.remarks, g.Remark)
		}
	}
}

// join adds a room's share of what came with no room named. Where that is
// less than all rooms want of it, nobody can tell which room goes short, and
// none is given its share.
func (t *tally) join(pool *tally, share, wanted int) {
	if pool.listed >= wanted {
		t.listed += share
	}
	if pool.good >= wanted {
		t.good += share
	}
	t.damaged += pool.damaged
	t.uncounted = t.uncounted || pool.uncounted
	t.pointers = append(slices.Clone(t.pointers), pool.pointers...)
	t.remarks = append(slices.Clone(t.remarks), pool.remarks...)
}

// supply is what came for a job, by room and part; with no room ("") where
// the order named none.
type supply map[[2]string]*tally

func newSupply(a *schema.Arrived) supply {
	s := supply{}
	got := map[[2]string][]schema.Received{}
	for _, r := range a.Receipts {
		for line, n := range r.Lines {
			key := [2]string{r.PackingList, line}
			got[key] = append(got[key], n)
		}
	}
	for _, number := range slices.Sorted(maps.Keys(a.PackingLists)) {
		for _, line := range slices.Sorted(maps.Keys(a.PackingLists[number].Lines)) {
			l := a.PackingLists[number].Lines[line]
			at := schema.Pointer("/arrived/packing_lists", number, "lines", line)
			s.tally(l.Room, l.Part).add(l, at, got[[2]string{number, line}])
		}
	}
	return s
}

// tally returns the tally of a part for a room, or of the pool where room is "".
func (s supply) tally(room, part string) *tally {
	key := [2]string{room, part}
	if s[key] == nil {
		s[key] = new(tally)
	}
	return s[key]
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
// it has none.
func partsOf(r *room, s supply, listed []string) []*drawn {
	var all []*drawn
	byPart := map[string]*drawn{}
	count := func(part, at string, n int) {
		d := byPart[part]
		if d == nil {
			d = &drawn{part: part, at: at, subject: Subject{
				// Parts belong to the room as a whole and come before its elevations.
				Room: r.plan.Name, Item: "part " + part, room: r.index, elevation: -1, unit: len(all),
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
	for _, part := range listed {
		count(part, s.tally(r.plan.Name, part).pointers[0], 0)
	}
	return all
}

func judgePartsReceived(b *bench) {
	for _, r := range b.rooms {
		for _, d := range partsOf(r, b.supply, b.listed[r.plan.Name]) {
			b.part(d, b.supply, b.wanted[d.part])
		}
	}
}

// arrivals is what came for the whole job.
type arrivals struct {
	supply supply
	listed map[string][]string // the parts that packing lists name for a room, in order
	wanted map[string]int      // of parts that came with no room named, by all rooms together
	lines  map[packedLine]schema.PackingLine
}

func newArrivals(rec *schema.Record) arrivals {
	a := arrivals{newSupply(&rec.Arrived), map[string][]string{}, map[string]int{}, packedLines(&rec.Arrived)}
	for key, t := range a.supply {
		if t.listed > 0 {
			a.listed[key[0]] = append(a.listed[key[0]], key[1])
		}
	}
	for _, parts := range a.listed {
		slices.Sort(parts)
	}
	for i := range rec.Planned.Rooms {
		room := &rec.Planned.Rooms[i]
		drawn := map[string]int{}
		for j := range room.Elevations {
			for _, u := range room.Elevations[j].Units {
				drawn[u.Part]++
			}
		}
		for part, n := range drawn {
			a.wanted[part] += max(0, n-a.supply.tally(room.Name, part).listed)
		}
	}
	return a
}

// part judges one part of one room. wanted is how many all rooms together
// want of what came with no room named.
func (b *bench) part(d *drawn, s supply, wanted int) {
	if len(b.rec.Arrived.PackingLists) == 0 {
		b.notObserved(d.subject, d.at, "Packing list")
		return
	}
	got := *s.tally(d.subject.Room, d.part)
	counts := fmt.Sprintf("%d drawn, %d listed for this room", d.n, got.listed)
	if share := d.n - got.listed; share > 0 {
		pool := s.tally("", d.part)
		if pool.listed > 0 {
			counts += fmt.Sprintf("; %d listed with no room named, of which all rooms want %d and %d came whole", pool.listed, wanted, pool.good)
		}
		got.join(pool, share, wanted)
	}
	counts += fmt.Sprintf("; %d came whole", got.good)
	if got.damaged > 0 {
		counts += fmt.Sprintf(", %d damaged", got.damaged)
	}
	for _, remark := range got.remarks {
		counts += " (" + remark + ")"
	}
	r := Result{Subject: d.subject, Visit: -1, Pointer: d.at}
	if len(got.pointers) > 0 {
		r.Pointer = got.pointers[0]
	}
	switch {
	case got.listed < d.n:
		r.Outcome, r.Finding = Fail, fmt.Sprintf("%d not on any packing list: %s", d.n-got.listed, counts)
		r.Remedy = "Ask the supplier for what is missing, or for the packing list it is on, before setting begins"
	case got.good < d.n && got.uncounted:
		r.Outcome, r.Finding = NotObserved, "Not all counted: "+counts
		r.Remedy = b.rule.Needs
	case got.good < d.n && got.damaged > 0:
		r.Outcome, r.Finding = Fail, fmt.Sprintf("Short by %d: %s", d.n-got.good, counts)
		r.Remedy = "Set the damaged part aside with its packing, photograph it, and ask the supplier for another before setting begins"
	case got.good < d.n:
		r.Outcome, r.Finding = Fail, fmt.Sprintf("Short by %d: %s", d.n-got.good, counts)
	case got.good > d.n:
		r.Outcome, r.Finding = Fail, fmt.Sprintf("%d too many: %s", got.good-d.n, counts)
		r.Remedy = "Find the room that is short of it, or send it back"
	default:
		r.Outcome, r.Finding = Pass, counts
	}
	b.add(r)
}
