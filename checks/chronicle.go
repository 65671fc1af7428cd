package checks

import (
	"cmp"
	"maps"
	"reflect"
	"slices"

	"setline.example/schema"
)

// chronicle is a record as it became known, entry by entry.
type chronicle struct {
	*facts
	full *schema.Record // all that is known by the end
}

// newChronicle is a record of which only the plan is known, and what came
// before anybody wrote down what came when.
func newChronicle(full *schema.Record, limits map[string]limitChange, early []entry) *chronicle {
	now := *full
	now.Measured.Visits = slices.Clone(full.Measured.Visits)
	now.Arrived = schema.Arrived{PackingLists: map[string]schema.PackingList{}}
	for _, e := range early {
		deliver(&now.Arrived, &full.Arrived, e)
	}
	c := &chronicle{newJob(&now, nil), full}
	c.limits, c.level = limits, newLevelLimit(limits)
	for i := range now.Planned.Rooms {
		r := plannedRoom(&now, i)
		r.settle()
		c.rooms = append(c.rooms, r)
	}
	c.counted.rooms = c.rooms
	return c
}

// deliver adds a packing list, or a count, to what has arrived.
func deliver(now, full *schema.Arrived, e entry) {
	switch e.what {
	case listEntry:
		now.PackingLists[e.list] = full.PackingLists[e.list]
	case countEntry:
		now.Receipts = append(now.Receipts, full.Receipts[e.index])
	}
}

// add adds an entry. It returns what the rules say of the rooms of which it
// changes anything, in walking order.
func (c *chronicle) add(e entry) [][]Result {
	switch e.what {
	case visitEntry:
		return c.visit(e.index)
	case correctionEntry:
		return c.correct(e)
	case withdrawEntry:
		c.visits = slices.DeleteFunc(c.visits, func(v int) bool { return v == e.index })
		return c.anew(func(*room) bool { return true })
	case restoreEntry:
		k, _ := slices.BinarySearchFunc(c.visits, e.index, c.byTime)
		c.visits = slices.Insert(slices.Clip(c.visits), k, e.index)
		return c.anew(func(*room) bool { return true })
	}
	deliver(&c.rec.Arrived, &c.full.Arrived, e)
	c.arrivals, c.counted.over = newArrivals(c.rec), nil
	var all [][]Result
	for _, r := range c.rooms {
		all = append(all, c.judge(r, []*Rule{partsReceived, labelComplete}, nil))
	}
	return all
}

// visit adds a visit, a position in the record. One of a day before the last
// comes between others, and all that is known is put together anew.
func (c *chronicle) visit(v int) [][]Result {
	k, _ := slices.BinarySearchFunc(c.visits, v, c.byTime)
	last := k == len(c.visits)
	c.visits = slices.Insert(slices.Clip(c.visits), k, v)
	if !last {
		return c.anew(func(*room) bool { return true })
	}
	c.since = k
	shared := c.labels().over
	seen, day := c.rec.Measured.Visits[v].Rooms, c.rec.Measured.Visits[v].Date
	for _, r := range c.rooms {
		if s, here := seen[r.plan.Name]; here {
			r.addVisit(c.rec, k, v, day, &s)
			r.settle()
		}
	}
	return c.again(shared, func(r *room) bool { return wasIn(seen, r.plan.Name) })
}

func wasIn(seen map[string]schema.RoomSeen, room string) bool {
	_, here := seen[room]
	return here
}

// byTime compares visits by their day, and of one day as they stand in the record.
func (c *chronicle) byTime(v, w int) int {
	date := func(i int) schema.Date { return c.rec.Measured.Visits[i].Date }
	return cmp.Or(cmp.Compare(date(v), date(w)), cmp.Compare(v, w))
}

// correct puts a visit as it was from a correction on in the place of what was
// entered first.
func (c *chronicle) correct(e entry) [][]Result {
	visit := &c.rec.Measured.Visits[e.index]
	rooms, was := maps.Clone(visit.Rooms), *visit
	*visit = visitAsEntered(&c.full.Measured.Visits[e.index], e.number)
	maps.Copy(rooms, visit.Rooms)
	slices.SortFunc(c.visits, c.byTime) // its date may be another now
	// What it says of instruments counts on later visits, wherever they looked.
	everywhere := visit.Date != was.Date || !reflect.DeepEqual(visit.Instruments, was.Instruments)
	return c.anew(func(r *room) bool { return everywhere || wasIn(rooms, r.plan.Name) })
}

// anew makes the facts of rooms again from all visits.
func (c *chronicle) anew(changed func(*room) bool) [][]Result {
	c.since = 0
	c.out.forget()
	shared := c.labels().over
	for i, r := range c.rooms {
		if changed(r) {
			c.rooms[i] = newRoom(c.rec, i, c.visits)
		}
	}
	return c.again(shared, changed)
}

// replan goes on with the plan of another era, from a place in the order of entry.
func (c *chronicle) replan(e era, number int) [][]Result {
	visits, arrived := c.visits, c.rec.Arrived
	*c = *newChronicle(e.rec, e.limits, nil)
	c.visits, c.rec.Arrived = visits, arrived
	c.arrivals = newArrivals(c.rec)
	c.asEntered(number)
	return c.anew(func(*room) bool { return true })
}

// asEntered puts all visits as they were at a place in the order of entry.
func (c *chronicle) asEntered(number int) {
	for v := range c.rec.Measured.Visits {
		visit := &c.rec.Measured.Visits[v]
		*visit = visitAsEntered(visit, max(number, visit.Entered))
	}
	slices.SortFunc(c.visits, c.byTime)
}

// again judges the rooms that changed, and the labels of those that share one
// with what was read, then or now.
func (c *chronicle) again(shared map[string][]Subject, changed func(*room) bool) (all [][]Result) {
	c.counted.over = nil
	shares := roomsOf(shared, c.labels().over)
	for _, r := range c.rooms {
		if changed(r) {
			all = append(all, c.judge(r, failing(), nil))
		} else if shares[r.plan.Name] {
			all = append(all, c.judge(r, []*Rule{labelComplete}, nil))
		}
	}
	return all
}

// roomsOf names the rooms of the units that share a label too often, then or now.
func roomsOf(then, now map[string][]Subject) map[string]bool {
	rooms := map[string]bool{}
	for _, shared := range []map[string][]Subject{then, now} {
		for _, subjects := range shared {
			for _, s := range subjects {
				rooms[s.Room] = true
			}
		}
	}
	return rooms
}
