package checks

import "setline.example/schema"

// chronicle is a record as it became known, visit by visit.
type chronicle struct {
	*facts
	order []int
}

func newChronicle(rec *schema.Record, limits map[string]limitChange, order []int) *chronicle {
	c := &chronicle{newJob(rec, nil), order}
	c.limits, c.level = limits, newLevelLimit(limits)
	for i := range rec.Planned.Rooms {
		r := plannedRoom(rec, i)
		r.settle()
		c.rooms = append(c.rooms, r)
	}
	c.counted.rooms = c.rooms
	return c
}

// add adds the visit that is place k in time, a position in the record. It
// returns what the rules say of the rooms of which it changes anything, in
// walking order.
func (c *chronicle) add(k, visit int) (all [][]Result) {
	c.visits, c.since = c.order[:k+1], k
	shared := c.labels().over
	seen := c.rec.Measured.Visits[visit].Rooms
	for _, r := range c.rooms {
		if s, here := seen[r.plan.Name]; here {
			r.addVisit(c.rec, k, visit, c.rec.Measured.Visits[visit].Date, &s)
			r.settle()
		}
	}
	c.counted.over = nil
	shares := roomsOf(shared, c.labels().over)
	for _, r := range c.rooms {
		if _, here := seen[r.plan.Name]; here {
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
