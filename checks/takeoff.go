package checks

import (
	"cmp"
	"slices"

	"setline.example/schema"
	"setline.example/schema/length"
)

// Takeoff is how many of one screw a job needs.
type Takeoff struct {
	Name   string // as the record calls it
	Screw  schema.Fastener
	Places int // joints and fillers it is used at, by use
	Count  int // 0 where the record does not say how many go into a place
	Spare  int // on top of that: one in ten, and at least one
	Pilots []Pilot
}

// Pilot is a hole to be drilled for a self-tapping screw.
type Pilot struct {
	Sheet length.Length // that the screw cuts its thread in; 0 where its gauge is not planned
	Drill length.Length // 0 where no drill is known for it
	Holes int           // 0 where the record does not say how many screws go into a place
}

// takeoffs counts the screws of the elevations that keep wants, nil for all, from
// the plan and by name.
func (f *facts) takeoffs(keep func(room, elevation string) bool) []Takeoff {
	places := map[string][]length.Length{} // the sheet that holds the thread, place by place of a use
	for _, r := range f.rooms {
		for _, e := range r.elevations {
			if keep == nil || keep(r.plan.Name, e.plan.Name) {
				e.screwed(places)
			}
		}
	}
	var all []Takeoff
	for _, name := range sortedNames(f.rec.Planned.Fasteners) {
		t := Takeoff{Name: name, Screw: f.rec.Planned.Fasteners[name]}
		var sheets []length.Length
		for _, use := range t.Screw.Use {
			sheets = append(sheets, places[use]...)
		}
		t.Places = len(sheets)
		t.Count = t.Places * t.Screw.Each
		t.Spare = (t.Count + 9) / 10
		if t.Screw.Point == "self-tapping" {
			t.Pilots = pilots(t.Screw, sheets)
		}
		all = append(all, t)
	}
	return all
}

// screwed adds the places of an elevation at which screws are used.
func (e *elevation) screwed(places map[string][]length.Length) {
	for i, u := range e.units {
		if u.filler != nil {
			sheet, _ := sheetThickness(u.filler.Gauge)
			places["filler"] = append(places["filler"], sheet)
		}
		j := e.joints[i]
		if j == nil || !j.cabinets() {
			continue
		}
		left, _ := sheetThickness(j.left.body.Gauge)
		right, _ := sheetThickness(j.right.body.Gauge)
		for _, p := range j.fixings() {
			// From which side it is driven is not planned: the thicker sheet wants
			// the wider hole, in which a screw also holds in the thinner one.
			places[p.use] = append(places[p.use], max(left, right))
		}
	}
}

// pilots sorts the holes of a screw by the sheet they are in, thinnest first.
func pilots(screw schema.Fastener, sheets []length.Length) []Pilot {
	var all []Pilot
	for _, sheet := range sheets {
		i := slices.IndexFunc(all, func(p Pilot) bool { return p.Sheet == sheet })
		if i < 0 {
			i = len(all)
			all = append(all, Pilot{Sheet: sheet, Drill: pilotDrill(screw.Size, sheet)})
		}
		all[i].Holes += screw.Each
	}
	slices.SortFunc(all, func(a, b Pilot) int { return cmp.Compare(a.Sheet, b.Sheet) })
	return all
}

// drillUpTo is the drill for sheets up to so thick.
type drillUpTo struct{ sheet, drill length.Length }

// pilotDrills are the drills for holes in steel sheet in which screws form their
// thread, by size: tables of screw makers for threads ST 3.5, ST 4.2 and ST 4.8
// of ISO 1478, which are those of #6, #8 and #10; #12 (ST 5.5) from memory.
var pilotDrills = map[string][]drillUpTo{
	"#6":  {{750_000, 2_700_000}, {1_250_000, 2_800_000}, {1_380_000, 2_800_000}, {1_750_000, 2_900_000}, {2_500_000, 3_000_000}},
	"#8":  {{1_130_000, 3_200_000}, {1_380_000, 3_300_000}, {2_500_000, 3_500_000}, {3_000_000, 3_800_000}, {3_500_000, 3_900_000}},
	"#10": {{1_130_000, 3_700_000}, {1_750_000, 3_900_000}, {2_500_000, 4_000_000}, {3_000_000, 4_100_000}, {3_500_000, 4_300_000}},
	"#12": {{1_130_000, 4_200_000}, {1_380_000, 4_300_000}, {1_750_000, 4_400_000}, {2_500_000, 4_600_000}},
}

// pilotDrill is the diameter of the drill for a screw of a size in a sheet, 0
// where it is not known.
func pilotDrill(size string, sheet length.Length) length.Length {
	for _, d := range pilotDrills[size] {
		if sheet > 0 && sheet <= d.sheet {
			return d.drill
		}
	}
	return 0
}
