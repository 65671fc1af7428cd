package checks

import (
	"encoding/json"
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"setline.example/checks/internal/rooms"
	"setline.example/schema"
	"setline.example/schema/chance"
	"setline.example/schema/length"
)

// TestRandomRoomsAreReady: a plausible room in which all is right has no fault.
func TestRandomRoomsAreReady(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	for i := range 60 {
		found := judge(t, rooms.New(rng, rooms.Size{}))
		if !found.Ready() {
			for _, v := range found.Rooms {
				for _, r := range v.Reasons() {
					t.Errorf("room %d: %s %s of %s: %s", i, r.Outcome, r.Rule.Name, r.Subject, r.Finding.String())
				}
			}
			return
		}
	}
}

// faults plants one fault for every rule, at random, and names the item at
// which the rule must find it; "" where this room has no place for it.
var faults = map[string]func(*rooms.Place) string{
	"parts received": func(p *rooms.Place) string {
		lines := p.Record.Arrived.PackingLists["P1"].Lines
		for _, n := range slices.Sorted(maps.Keys(lines)) {
			if lines[n].Room == p.Room {
				p.Record.Arrived.Receipts[0].Lines[n] = schema.Received{Good: lines[n].Quantity - 1, Damaged: p.Rand.IntN(2)}
				return "part " + lines[n].Part
			}
		}
		return ""
	},
	"label complete": func(p *rooms.Place) string {
		return p.AlterCabinet(p.Cabinet(), func(c *schema.CabinetSeen) { c.Label.Order = "" })
	},
	"instrument checked": func(p *rooms.Place) string {
		p.Record.Measured.Visits[0].Instruments["laser"] = schema.InstrumentUse{Checked: "2026-05-01"}
		return "laser on 2026-09-10"
	},
	"readings plausible": func(p *rooms.Place) string {
		p.AlterCabinet(p.Cabinet(), func(c *schema.CabinetSeen) { *c.Tops.FL += 80 * length.Inch })
		return "elevation " + p.Elevation.Name
	},
	"survey coverage": func(p *rooms.Place) string {
		alter(p.Seen.Elevations, p.Elevation.Name, func(e *schema.ElevationSeen) {
			e.Floor.Back = []schema.FloorReading{e.Floor.Back[0], e.Floor.Back[len(e.Floor.Back)-1]}
		})
		return "elevation " + p.Elevation.Name
	},
	"floor within contract": func(p *rooms.Place) string {
		alter(p.Seen.Elevations, p.Elevation.Name, func(e *schema.ElevationSeen) { e.Floor.Front[2][1] += length.Inch })
		return "elevation " + p.Elevation.Name
	},
	"floor within travel": func(p *rooms.Place) string {
		alter(p.Seen.Elevations, p.Elevation.Name, func(e *schema.ElevationSeen) {
			for i := range e.Floor.Front {
				e.Floor.Front[i][1] += 2 * length.Inch
			}
		})
		return "elevation " + p.Elevation.Name
	},
	"reserve left": func(p *rooms.Place) string {
		alter(p.Seen.Elevations, p.Elevation.Name, func(e *schema.ElevationSeen) { *e.Mark += length.Inch / 16 })
		return "elevation " + p.Elevation.Name
	},
	"accessible height": func(p *rooms.Place) string {
		p.Elevation.Accessible = true // it is drawn 35 5/8 in high
		return "elevation " + p.Elevation.Name
	},
	"work height": func(p *rooms.Place) string {
		*p.Elevation.WorkHeight += length.Inch
		return "elevation " + p.Elevation.Name
	},
	"run closes": func(p *rooms.Place) string {
		if p.Elevation.Opening == nil {
			return ""
		}
		alter(p.Seen.Elevations, p.Elevation.Name, func(e *schema.ElevationSeen) { *e.Opening.Top += 12 * length.Inch })
		return "elevation " + p.Elevation.Name
	},
	"level and plumb": func(p *rooms.Place) string {
		return p.AlterCabinet(p.Cabinet(), func(c *schema.CabinetSeen) { c.Plumb.Front.Off = -length.Inch / 4 })
	},
	"set height held": func(p *rooms.Place) string {
		return p.AlterCabinet(p.Cabinet(), func(c *schema.CabinetSeen) {
			for _, top := range []*length.Length{c.Tops.FL, c.Tops.FR, c.Tops.BL, c.Tops.BR} {
				*top += length.Inch * 7 / 64
			}
		})
	},
	"tops in one plane": func(p *rooms.Place) string {
		j := p.Joint()
		if j == "" {
			return ""
		}
		tag, _, _ := strings.Cut(j, "+") // a cabinet on its own is no run
		p.AlterCabinet(tag, func(c *schema.CabinetSeen) { *c.Tops.FL -= length.Inch / 4 })
		return "run of " + tag
	},
	"cabinet twist": func(p *rooms.Place) string {
		return p.AlterCabinet(p.Cabinet(), func(c *schema.CabinetSeen) { *c.Tops.BR += length.Inch / 4 })
	},
	"levelers bearing": func(p *rooms.Place) string {
		return p.AlterCabinet(p.Cabinet(), func(c *schema.CabinetSeen) {
			*[]*bool{c.Bearing.FL, c.Bearing.FR, c.Bearing.BL, c.Bearing.BR}[p.Rand.IntN(4)] = false
		})
	},
	"extension agrees": func(p *rooms.Place) string {
		return p.AlterCabinet(p.Cabinet(), func(c *schema.CabinetSeen) { *c.Extension.BL += length.Inch / 4 })
	},
	"fronts flush": func(p *rooms.Place) string {
		j := p.Joint()
		if j != "" {
			alter(p.Seen.Joints, j, func(s *schema.JointSeen) { *s.FrontOffset = -length.Inch / 8 })
		}
		return j
	},
	"tops flush": func(p *rooms.Place) string {
		j := p.Joint()
		if j != "" {
			alter(p.Seen.Joints, j, func(s *schema.JointSeen) { *s.TopOffset = length.Inch / 8 })
		}
		return j
	},
	"joint gap": func(p *rooms.Place) string {
		j := p.Joint()
		if j != "" {
			alter(p.Seen.Joints, j, func(s *schema.JointSeen) { *s.Gap = length.Inch / 8 })
		}
		return j
	},
	"joint fastened": func(p *rooms.Place) string {
		j := p.Joint()
		if j != "" {
			alter(p.Seen.Joints, j, func(s *schema.JointSeen) { s.Fastened.Front.Count = 0 })
		}
		return j
	},
	"fasteners hidden": func(p *rooms.Place) string {
		return p.AlterCabinet(p.Cabinet(), func(c *schema.CabinetSeen) { *c.InSight.Standing = 1 + p.Rand.IntN(3) })
	},
	"fastener fits": func(p *rooms.Place) string {
		j := p.Joint()
		if j != "" {
			alter(p.Seen.Joints, j, func(s *schema.JointSeen) { *s.Fastened.UpperRear.TipShows = true })
		}
		return j
	},
	"filler before first cabinet": func(p *rooms.Place) string {
		found := ""
		for _, u := range p.Elevation.Units {
			if u.Part == "E2" {
				alter(p.Seen.Fillers, u.Tag, func(f *schema.FillerSeen) { *f.SetFirst = false })
				found = "elevation " + p.Elevation.Name
			}
		}
		return found
	},
	"filler flush": func(p *rooms.Place) string {
		tag := p.Filler()
		alter(p.Seen.Fillers, tag, func(f *schema.FillerSeen) { *f.SideOffset = length.Inch / 8 })
		return tag
	},
	"fillers removable": func(p *rooms.Place) string {
		tag := p.Filler()
		alter(p.Seen.Fillers, tag, func(f *schema.FillerSeen) { f.HeldFrom = []string{"inside", "face"} })
		return tag
	},
	"drawers home": func(p *rooms.Place) string {
		tag := p.Tag(func(c schema.Cabinet, ok bool) bool { return ok && c.Drawers() > 1 })
		if tag != "" {
			d := p.Seen.Cabinets[tag].Drawers
			d["1"], d["2"] = d["2"], d["1"]
		}
		return tag
	},
	"fronts aligned": func(p *rooms.Place) string {
		return p.AlterCabinet(p.Cabinet(), func(c *schema.CabinetSeen) {
			c.Alignment[slices.Sorted(maps.Keys(c.Alignment))[0]] = length.Inch / 8
		})
	},
	"services clear": func(p *rooms.Place) string {
		return closingFault(p, func(c *schema.ClosingSeen) { *c.ServicesClear = false })
	},
	"anchored as drawn": func(p *rooms.Place) string {
		return closingFault(p, func(c *schema.ClosingSeen) { *c.Anchored = false })
	},
	"tops released": func(p *rooms.Place) string {
		return closingFault(p, func(c *schema.ClosingSeen) { *c.TopsReleased = false })
	},
	"top bears": func(p *rooms.Place) string {
		t := &p.Elevation.Tops[p.Rand.IntN(len(p.Elevation.Tops))]
		*t.Overhang = 23 * length.Inch // its middle is in front of the fronts
		return "elevation " + p.Elevation.Name
	},
	"handed over": func(p *rooms.Place) string {
		*p.Seen.Handover.Papers = false
		return "room " + p.Room
	},
	"no damage": func(p *rooms.Place) string {
		return closingFault(p, func(c *schema.ClosingSeen) { *c.Undamaged = false })
	},
	"loose parts there": func(p *rooms.Place) string {
		return closingFault(p, func(c *schema.ClosingSeen) { *c.LooseParts = false })
	},
	"clean": func(p *rooms.Place) string {
		return closingFault(p, func(c *schema.ClosingSeen) { *c.Clean = false })
	},
	"protected": func(p *rooms.Place) string {
		return closingFault(p, func(c *schema.ClosingSeen) { *c.Protected = false })
	},
	"instructions on site": func(p *rooms.Place) string {
		return closingFault(p, func(c *schema.ClosingSeen) { c.Instructions = "" })
	},
	"doors and drawers work": func(p *rooms.Place) string {
		return p.AlterCabinet(p.Cabinet(), func(c *schema.CabinetSeen) {
			c.Works[slices.Sorted(maps.Keys(c.Works))[0]] = false
		})
	},
	"site settled": func(p *rooms.Place) string {
		*p.Record.Measured.Visits[0].Site.ClosedIn = false
		return "site"
	},
	"movement between visits": func(p *rooms.Place) string {
		// A second visit reads one cabinet a quarter inch lower from the same mark.
		tag := p.Cabinet()
		c := p.Seen.Cabinets[tag]
		low := func(l *length.Length) *length.Length { v := *l + length.Inch/4; return &v }
		p.Record.Measured.Visits = append(p.Record.Measured.Visits, schema.Visit{
			Date: "2026-10-10", People: []schema.Party{{Name: "R. Maker"}},
			Instruments: map[string]schema.InstrumentUse{"laser": {Checked: "2026-10-01"}},
			Rooms: map[string]schema.RoomSeen{p.Room: {
				Elevations: map[string]schema.ElevationSeen{p.Elevation.Name: {Mark: p.Seen.Elevations[p.Elevation.Name].Mark}},
				Cabinets: map[string]schema.CabinetSeen{tag: {Tops: schema.CornerLengths{
					FL: low(c.Tops.FL), FR: low(c.Tops.FR), BL: low(c.Tops.BL), BR: low(c.Tops.BR),
				}}},
			}},
		})
		return "elevation " + p.Elevation.Name
	},
}

// TestPlantedFaults plants one fault for each rule in random rooms, and every
// one must be found where it is.
func TestPlantedFaults(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	for _, rule := range All() {
		t.Run(rule.Name, func(t *testing.T) {
			plant := faults[rule.Name]
			if plant == nil {
				t.Fatal("no fault to plant for this rule")
			}
			planted := 0
			for range 200 {
				rec := rooms.New(rng, rooms.Size{Rooms: 1 + rng.IntN(2), Elevations: 1 + rng.IntN(2)})
				p := rooms.NewPlace(rng, rec)
				item := plant(p)
				if item == "" {
					continue
				}
				planted++
				found := judge(t, rec)
				if !rule.Advises && found.Ready() {
					t.Fatal("a room with a fault is ready")
				}
				want := Fail
				switch {
				case rule.Advises:
					want = Notice
				case rule == instructionsOnSite: // no answer to it is wrong
					want = NotObserved
				}
				if !has(found, rule, p.Room, item, want) {
					t.Fatalf("not found at %s:\n%s", item, summary(found))
				}
				if planted == 8 {
					return
				}
			}
			t.Errorf("planted only %d times", planted)
		})
	}
}

func has(found *Findings, rule *Rule, room, item string, outcome Outcome) bool {
	for _, r := range found.Results {
		if r.Rule == rule && r.Subject.Room == room && r.Outcome == outcome &&
			(r.Subject.Item == item || item[:min(6, len(item))] == "run of" && r.Subject.Item[:3] == "run") {
			return true
		}
	}
	return false
}

// outcomesOf lists what every rule says of every subject.
func outcomesOf(found *Findings) map[string]Outcome {
	all := map[string]Outcome{}
	for _, r := range found.Results {
		all[r.Rule.Name+" of "+r.Subject.String()] = r.Outcome
	}
	return all
}

// withFaults makes random rooms with a few faults in them.
func withFaults(rng *rand.Rand) *schema.Record {
	rec := rooms.New(rng, rooms.Size{Rooms: 1, Elevations: 1 + rng.IntN(2)})
	names := Names()
	for range rng.IntN(5) {
		if name := names[rng.IntN(len(names))]; name != "movement between visits" {
			faults[name](rooms.NewPlace(rng, rec))
		}
	}
	return rec
}

func sameOutcomes(t *testing.T, what string, a, b map[string]Outcome) {
	t.Helper()
	for _, k := range slices.Sorted(maps.Keys(a)) {
		if a[k] != b[k] {
			t.Errorf("%s: %s was %s, is %q", what, k, a[k], b[k])
		}
	}
	if len(a) != len(b) {
		t.Errorf("%s: %d results became %d", what, len(a), len(b))
	}
}

// TestReferenceLineDoesNotMatter: the laser set up higher or lower changes no verdict.
func TestReferenceLineDoesNotMatter(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	for range 25 {
		rec := withFaults(rng)
		before := outcomesOf(judge(t, rec))
		up := length.Length(rng.IntN(1_000_000_000))
		for _, room := range rec.Measured.Visits[0].Rooms {
			for name := range room.Elevations {
				alter(room.Elevations, name, func(e *schema.ElevationSeen) {
					*e.Mark += up
					for _, line := range [][]schema.FloorReading{e.Floor.Front, e.Floor.Back} {
						for i := range line {
							line[i][1] += up
						}
					}
				})
			}
			for _, c := range room.Cabinets {
				for _, top := range []*length.Length{c.Tops.FL, c.Tops.FR, c.Tops.BL, c.Tops.BR} {
					*top += up
				}
			}
		}
		sameOutcomes(t, fmt.Sprintf("line moved by %d nm", up), before, outcomesOf(judge(t, rec)))
	}
}

// TestUnitsDoNotMatter: writing lengths in the other system changes no verdict.
func TestUnitsDoNotMatter(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	for range 25 {
		rec := withFaults(rng)
		before := outcomesOf(judge(t, rec))
		if rec.Planned.LengthsIn == length.Metric {
			rec.Planned.LengthsIn = length.InchSystem
		} else {
			rec.Planned.LengthsIn = length.Metric
		}
		plain, err := json.Marshal(rec)
		if err != nil {
			t.Fatal(err)
		}
		var tree any
		if err := json.Unmarshal(plain, &tree); err != nil {
			t.Fatal(err)
		}
		rewritten, err := json.Marshal(inMillimetres(tree))
		if err != nil {
			t.Fatal(err)
		}
		again, src, err := schema.Read("rewritten.json", rewritten)
		if err != nil {
			t.Fatal(err)
		}
		found, err := Run(again, src)
		if err != nil {
			t.Fatal(err)
		}
		sameOutcomes(t, "other units", before, outcomesOf(found))
	}
}

// inMillimetres writes every length of a record's plain JSON in millimetres.
func inMillimetres(v any) any {
	switch v := v.(type) {
	case string:
		if l, err := length.Parse(v); err == nil {
			return fmt.Sprintf("%d.%06d mm", l/length.Millimetre, l.Abs()%length.Millimetre)
		}
	case []any:
		for i := range v {
			v[i] = inMillimetres(v[i])
		}
	case map[string]any:
		for k := range v {
			v[k] = inMillimetres(v[k])
		}
	}
	return v
}

// TestWorseIsNeverBetter: a reading made worse never turns a fail into a pass.
func TestWorseIsNeverBetter(t *testing.T) {
	rng := chance.Source(t)
	for range 25 {
		rec := withFaults(rng)
		before := outcomesOf(judge(t, rec))
		p := rooms.NewPlace(rng, rec)
		worse := func(l *length.Length) {
			if l != nil && *l < 0 {
				*l -= length.Inch / 16
			} else if l != nil {
				*l += length.Inch / 16
			}
		}
		for name := range p.Seen.Joints {
			alter(p.Seen.Joints, name, func(j *schema.JointSeen) { worse(j.FrontOffset); worse(j.TopOffset); worse(j.Gap) })
		}
		for tag := range p.Seen.Cabinets {
			alter(p.Seen.Cabinets, tag, func(c *schema.CabinetSeen) { worse(c.FrontOffset); worse(&c.Plumb.Front.Off) })
		}
		after := outcomesOf(judge(t, rec))
		for k, o := range before {
			if o == Fail && after[k] == Pass {
				t.Errorf("%s: fail became pass as readings became worse", k)
			}
		}
	}
}

// TestMirror: a room seen in a mirror, left for right, has the mirrored verdicts.
func TestMirror(t *testing.T) {
	rng := chance.Source(t)
	for range 25 {
		rec := withFaults(rng)
		before := outcomesOf(judge(t, rec))
		mirror(rec)
		after := outcomesOf(judge(t, rec))
		want := map[string]Outcome{}
		for k, o := range before {
			want[mirroredName(k)] = o
		}
		sameOutcomes(t, "mirrored", want, after)
	}
}

// TestForgettingIsNeverBetter: taking an observation out of a record never
// makes a room ready that was not. An extension alone may be left out, since
// only one that is recorded can disagree; and the set-height mark, since without
// one the tops are held against what follows from the floor.
func TestForgettingIsNeverBetter(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	forgotten := 0
	for range 120 {
		rec := withFaults(rng)
		plain, err := json.Marshal(rec)
		if err != nil {
			t.Fatal(err)
		}
		before := judge(t, rec).Ready()
		for range 4 {
			var tree map[string]any
			if err := json.Unmarshal(plain, &tree); err != nil {
				t.Fatal(err)
			}
			visit := tree["measured"].(map[string]any)["visits"].([]any)[0].(map[string]any)
			path := forget(rng, visit, "")
			less, err := json.Marshal(tree)
			if err != nil {
				t.Fatal(err)
			}
			again, src, err := schema.Read("less.json", less)
			if err != nil {
				continue // what is left is no record
			}
			found, err := Run(again, src)
			if err != nil {
				t.Fatal(err)
			}
			forgotten++
			if found.Ready() && !before && !strings.Contains(path, "/extension") && !strings.HasSuffix(path, "/mark") {
				t.Errorf("without %s the room is ready", path)
			}
		}
	}
	if forgotten < 200 {
		t.Errorf("only %d observations forgotten", forgotten)
	}
}

// forget takes one thing out of an object, at random and at random depth, and
// says which.
func forget(rng *rand.Rand, object map[string]any, path string) string {
	keys := slices.Sorted(maps.Keys(object))
	key := keys[rng.IntN(len(keys))]
	if inner, ok := object[key].(map[string]any); ok && len(inner) > 0 && rng.IntN(12) > 0 {
		return forget(rng, inner, path+"/"+key)
	}
	delete(object, key)
	return path + "/" + key
}

// closingFault edits what closes an elevation out.
func closingFault(p *rooms.Place, edit func(*schema.ClosingSeen)) string {
	alter(p.Seen.Elevations, p.Elevation.Name, func(e *schema.ElevationSeen) { edit(&e.Closing) })
	return "elevation " + p.Elevation.Name
}
