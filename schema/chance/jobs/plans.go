package jobs

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"setline.example/schema"
	"setline.example/schema/intake"
	"setline.example/schema/length"
)

// Replan changes the plan of a record as the command does: what was observed of
// what is no more, or is otherwise, becomes history, and the change keeps what
// undoes it.
func Replan(t testing.TB, rec *schema.Record, n int, change func(*schema.Planned)) {
	t.Helper()
	was := text(rec)
	next := Copy(rec)
	change(&next.Planned)
	after, _, seen, err := intake.Outdated(intake.Base{Name: "record", Text: was, Record: Copy(rec)}, text(next))
	if err != nil {
		t.Fatal(err)
	}
	before, err := intake.FormerPlan(was, after)
	if err != nil {
		t.Fatal(err)
	}
	*rec = schema.Record{}
	if err := json.Unmarshal(after, rec); err != nil {
		t.Fatal(err)
	}
	rec.Planned.Changes = append(rec.Planned.Changes, schema.PlanChange{
		Date: "2026-11-02", By: &schema.Party{Name: "A. Lead"}, Reason: "revision", Entered: n, Before: append(before, seen...),
	})
}

// ChangePlan changes one thing of a plan.
func ChangePlan(rng *rand.Rand, p *schema.Planned) {
	e := &p.Rooms[0].Elevations[rng.IntN(len(p.Rooms[0].Elevations))]
	i := rng.IntN(len(e.Units))
	parts := slices.Concat(sorted(p.Cabinets), sorted(p.Fillers))
	switch rng.IntN(11) {
	case 0, 1:
		e.Units = slices.Insert(e.Units, i, schema.Unit{Tag: fmt.Sprintf("N%d", rng.IntN(1000)), Part: parts[rng.IntN(len(parts))]})
	case 2, 3:
		if len(e.Units) > 2 {
			e.Units = slices.Delete(e.Units, i, i+1)
		}
	case 4:
		u := e.Units[i]
		e.Units = slices.Delete(e.Units, i, i+1)
		e.Units = slices.Insert(e.Units, rng.IntN(len(e.Units)+1), u)
	case 5:
		e.Units[i].Tag = fmt.Sprintf("M%d", rng.IntN(1000))
	case 6:
		e.Units[i].Part = parts[rng.IntN(len(parts))]
	case 7:
		part := sorted(p.Cabinets)[rng.IntN(len(p.Cabinets))]
		c := p.Cabinets[part]
		c.Width += length.Inch
		p.Cabinets[part] = c
	case 8:
		e.Opening = new(length.Length(60+rng.IntN(80)) * length.Inch)
	case 9:
		p.Limits = map[string]schema.LimitChange{"fronts flush": {Limit: []string{"1/64 in", "1/2 in"}[rng.IntN(2)], Source: "addendum"}}
	case 10:
		p.ClosingOut = !p.ClosingOut
	}
	e.Tops = nil // they lie on units by their tags
}

// LookedAt is a visit that saw all that is planned, as a clean one saw others.
func LookedAt(p *schema.Planned, clean schema.Visit) schema.Visit {
	v := CopyVisit(clean)
	for _, room := range p.Rooms {
		was, ok := clean.Rooms[room.Name]
		if !ok {
			continue
		}
		now := CopyVisit(clean).Rooms[room.Name]
		now.Cabinets, now.Fillers, now.Joints = map[string]schema.CabinetSeen{}, map[string]schema.FillerSeen{}, map[string]schema.JointSeen{}
		for _, e := range room.Elevations {
			for i, u := range e.Units {
				if c, cabinet := p.Cabinets[u.Part]; cabinet {
					now.Cabinets[u.Tag] = cabinetLike(c, like(was.Cabinets, u.Tag))
				} else {
					now.Fillers[u.Tag] = like(was.Fillers, u.Tag)
				}
				if i > 0 && u.SpaceBefore == nil {
					j := like(was.Joints, schema.JointName(e.Units[i-1].Tag, u.Tag))
					j.Fastened = schema.FastenedSeen{}
					now.Joints[schema.JointName(e.Units[i-1].Tag, u.Tag)] = j
				}
			}
		}
		v.Rooms[room.Name] = now
	}
	return CopyVisit(v)
}

func like[T any](seen map[string]T, name string) T {
	if s, ok := seen[name]; ok {
		return s
	}
	return seen[sorted(seen)[0]]
}

// cabinetLike is what was seen of one cabinet, as far as another has it.
func cabinetLike(c schema.Cabinet, s schema.CabinetSeen) schema.CabinetSeen {
	s.Drawers, s.Alignment, s.Works, s.FrontOffset = nil, nil, map[string]bool{}, nil
	for _, name := range c.FrontNames() {
		s.Works[name] = true
	}
	return s
}
