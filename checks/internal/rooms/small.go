package rooms

import (
	"encoding/json"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"setline.example/schema"
	"setline.example/schema/length"
)

// Small is a record small enough to change by hand: one room with one
// elevation of a filler F1 and the cabinets C1, C2 and C3, everything observed
// and all of it right.
func Small() *schema.Record {
	no := func() *bool { b := false; return &b }
	zero := func() *int { n := 0; return &n }
	all := func(s string) schema.CornerLengths {
		return schema.CornerLengths{FL: Length(s), FR: Length(s), BL: Length(s), BR: Length(s)}
	}
	fronts := []string{"drawer 1", "drawer 2", "drawer 3"}
	cabinet := func() schema.CabinetSeen {
		c := schema.CabinetSeen{
			Label:       &schema.Label{Order: "O1", Part: "BD24", Line: "1", Room: "R1"},
			Tops:        all("9 1/2 in"),
			Bearing:     schema.CornerAnswers{FL: yes(), FR: yes(), BL: yes(), BR: yes()},
			Extension:   all("1/2 in"),
			Plumb:       schema.PlumbSeen{Front: &schema.Deviation{Over: *Length("30 in")}, Left: &schema.Deviation{Over: *Length("30 in")}},
			FrontOffset: Length("0 in"),
			Alignment:   map[string]length.Length{},
			Works:       map[string]bool{},
			Drawers:     map[string]string{"1": "1", "2": "2", "3": "3"},
			InSight:     schema.InSight{Closed: zero(), Standing: zero()},
		}
		for _, f := range fronts {
			c.Alignment[f], c.Works[f] = 0, true
		}
		return c
	}
	joint := func(fastened bool) schema.JointSeen {
		j := schema.JointSeen{FrontOffset: Length("0 in"), TopOffset: Length("0 in"), Gap: Length("1/64 in")}
		if fastened {
			j.Fastened = schema.FastenedSeen{
				Front:     &schema.Fastening{Fastener: "short", Count: 2, Through: "behind front rail", TipShows: no()},
				UpperRear: &schema.Fastening{Fastener: "short", Count: 2, Through: "side", TipShows: no()},
			}
		}
		return j
	}
	rec := &schema.Record{Setline: 1}
	p := &rec.Planned
	p.ClosingOut = true
	p.Project.Name = "Fixture"
	p.Instruments = map[string]schema.Instrument{
		"laser": {Kind: "laser", Resolution: Length("1/64 in"), Accuracy: Length("1/16 in"), Over: Length("50 ft")},
		"level": {Kind: "level", Resolution: Length("1/64 in")},
		"rule":  {Kind: "rule", Reads: []string{"offsets", "extensions", "gaps"}, Resolution: Length("1/64 in")},
	}
	p.Fasteners = map[string]schema.Fastener{"short": {Size: "#8", Length: *Length("1/2 in"), Point: "self-tapping"}}
	p.Usual = schema.Body{
		Height: Length("34 in"), Depth: Length("22 in"), Gauge: 18, FrontRailDepth: Length("7/8 in"),
		Leveler: &schema.Leveler{Least: *Length("1/2 in"), Greatest: *Length("2 in"), ThreadsPerInch: 16, Reserve: Length("0 in")},
	}
	p.Cabinets = map[string]schema.Cabinet{"BD24": {Width: *Length("24 in"), Front: []schema.FrontRow{{Drawers: 1}, {Drawers: 1}, {Drawers: 1}}}}
	p.Fillers = map[string]schema.Filler{"F3": {Width: *Length("3 in"), Scribe: Length("1 in"), Gauge: 18}}
	p.Rooms = []schema.Room{{Name: "R1", Elevations: []schema.Elevation{{
		Name: "A", Left: "wall", Right: "wall", Opening: Length("75 1/2 in"), WorkHeight: Length("35 1/2 in"), TopThickness: Length("1 in"),
		Units: []schema.Unit{
			{Tag: "F1", Part: "F3"}, {Tag: "C1", Part: "BD24"}, {Tag: "C2", Part: "BD24"}, {Tag: "C3", Part: "BD24"},
		},
	}}}}
	rec.Arrived = schema.Arrived{
		PackingLists: map[string]schema.PackingList{"P1": {Order: "O1", Lines: map[string]schema.PackingLine{
			"1": {Part: "BD24", Quantity: 3, Room: "R1"},
			"2": {Part: "F3", Quantity: 1, Room: "R1"},
		}}},
		Receipts: []schema.Receipt{{PackingList: "P1", Date: "2026-09-01", By: "B. Counter", Lines: map[string]schema.Received{"1": {Good: 3}, "2": {Good: 1}}}},
	}
	floor := func() []schema.FloorReading {
		return []schema.FloorReading{{*Length("0 in"), *Length("44 in")}, {*Length("27 in"), *Length("44 in")}, {*Length("51 in"), *Length("44 in")}, {*Length("75 in"), *Length("44 in")}}
	}
	rec.Measured.Visits = []schema.Visit{{
		Date: "2026-09-10", People: []schema.Party{{Name: "I. Looker", Role: "inspector"}},
		Instruments: map[string]schema.InstrumentUse{"laser": {Checked: "2026-09-01"}, "level": {Checked: "2026-09-01"}, "rule": {}},
		Site:        &schema.Site{SlabCured: yes(), ClosedIn: yes(), FloorFinishKnown: yes()},
		Rooms: map[string]schema.RoomSeen{"R1": {
			Handover: Handed(),
			Elevations: map[string]schema.ElevationSeen{"A": {
				Closing: Closed(),
				Mark:    Length("9 1/2 in"),
				Floor:   schema.FloorSeen{Front: floor(), Back: floor()},
				Opening: schema.OpeningSeen{Bottom: Length("75 5/8 in"), Middle: Length("75 1/2 in"), Top: Length("75 1/2 in")},
			}},
			Cabinets: map[string]schema.CabinetSeen{"C1": cabinet(), "C2": cabinet(), "C3": cabinet()},
			Joints:   map[string]schema.JointSeen{"F1+C1": joint(false), "C1+C2": joint(true), "C2+C3": joint(true)},
			Fillers: map[string]schema.FillerSeen{"F1": {
				Label:    &schema.Label{Order: "O1", Part: "F3", Line: "2", Room: "R1"},
				HeldFrom: []string{"inside"}, ComesOff: yes(), SideOffset: Length("0 in"), TopOffset: Length("0 in"),
				InSight: schema.InSight{Closed: zero(), Standing: zero()},
			}},
		}},
	}}
	return rec
}

// Length reads a length, which tests write as people do.
func Length(s string) *length.Length {
	l, err := length.Parse(s)
	if err != nil {
		panic(err)
	}
	return &l
}

// Alter edits what a visit saw of one thing.
func Alter[T any](seen map[string]T, key string, edit func(*T)) {
	v := seen[key]
	edit(&v)
	seen[key] = v
}

// Read writes rec as JSON and reads it back, so that a test cannot use a record
// that no file could hold.
func Read(rec *schema.Record) (*schema.Record, *schema.Source, error) {
	data, err := json.MarshalIndent(rec, "", "  ")
	if err != nil {
		return nil, nil, err
	}
	return schema.Read("fixture.json", data)
}

// Seeds are records for a fuzz target to begin with: the examples below the top
// folder, and random ones.
func Seeds(t testing.TB, top string) (all [][]byte) {
	for _, name := range []string{"annex", "metric"} {
		data, err := os.ReadFile(filepath.Join(top, "examples", name, "job.json"))
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, data)
	}
	for seed := range uint64(4) {
		rec := New(rand.New(rand.NewPCG(seed, 3)), Size{Rooms: 1, Elevations: 1, Cabinets: 3})
		data, err := json.Marshal(rec)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, data)
	}
	return all
}
