package fieldsheet

import (
	"bytes"
	"compress/flate"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"setline.example/schema"
)

// sheetOf makes a sheet of an example; edit may change the record first.
func sheetOf(t *testing.T, example string, o Options, edit func(*schema.Record)) *Sheet {
	t.Helper()
	data, err := os.ReadFile("../../examples/" + example + "/job.json")
	if err != nil {
		t.Fatal(err)
	}
	rec, src, err := schema.Read(example, data)
	if err != nil {
		t.Fatal(err)
	}
	if edit != nil {
		edit(rec)
	}
	o.Date, o.Version = time.Date(2026, 9, 30, 0, 0, 0, 0, time.UTC), "test"
	s, err := New(rec, src, o)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// unseen takes all observations out of a record.
func unseen(rec *schema.Record) { rec.Measured, rec.Agreed = schema.Measured{}, schema.Agreed{} }

// awkward gives a record the longest names and the most of everything.
func awkward(rec *schema.Record) {
	unseen(rec)
	p := &rec.Planned
	p.Project.Name = strings.Repeat("A very long name of a job ", 7)
	for i := range 4 {
		p.Fasteners[fmt.Sprintf("the %d. screw with quite a long name of its own, zinc plated", i)] = p.Fasteners["long"]
		p.Instruments[fmt.Sprintf("the %d. instrument with quite a long name of its own, from the van", i)] = schema.Instrument{Kind: "other"}
	}
	for name, c := range p.Cabinets {
		c.Description = strings.Repeat("long description ", 11)
		c.Front = append(slices.Clone(c.Front), schema.FrontRow{Drawers: 6}, schema.FrontRow{Doors: 6})
		p.Cabinets[name] = c
	}
	for i := range p.Rooms[0].Elevations[0].Units {
		u := &p.Rooms[0].Elevations[0].Units[i]
		u.Tag = fmt.Sprintf("U%d-%s", i, strings.Repeat("W", 37))
	}
	p.Rooms[0].Name = strings.Repeat("Room (1) * ", 5)
}

// sample is a sheet of an example.
type sample struct {
	name, example string
	options       Options
	edit          func(*schema.Record)
}

// sheets are those that tests look at.
var sheets = []sample{
	{"open", "annex", Options{}, nil},
	{"unseen", "annex", Options{}, unseen},
	{"all", "annex", Options{All: true}, unseen},
	{"all of what was seen", "annex", Options{All: true}, nil},
	{"metric", "metric", Options{All: true}, unseen},
	{"awkward", "metric", Options{All: true}, awkward},
	{"awkward open", "annex", Options{}, awkward},
}

// TestAsksOfTheSheet: an open sheet asks for what is open and for remarks, and
// one of a single elevation for nothing of another.
func TestAsksOfTheSheet(t *testing.T) {
	s := sheetOf(t, "annex", Options{Keep: func(room, e string) bool { return room == "S-106" && e == "A" }}, nil)
	for _, f := range s.Fields() {
		a := f.Ask
		if !a.Open && !isRemark(a) && a.Place[0] != "instruments" {
			t.Errorf("%s is asked and not open", f.Name)
		}
		if a.Subject.Room != "" && a.Subject.Room != "S-106" || a.Subject.Elevation == "B" {
			t.Errorf("%s is asked on a sheet of S-106 A", f.Name)
		}
	}
	text, err := s.Plan()
	if err != nil {
		t.Fatal(err)
	}
	plan, err := DecodePlan(text)
	if err != nil {
		t.Fatal(err)
	}
	if len(plan.Rooms) != 1 || plan.Rooms[0].Name != "S-106" || len(Changed(plan, &s.rec.Planned)) != 0 {
		t.Errorf("plan of %d rooms, changed %v", len(plan.Rooms), Changed(plan, &s.rec.Planned))
	}
	// A sheet on which nothing is asked says so.
	none := sheetOf(t, "metric", Options{}, nil)
	if none.Open() != 0 || len(none.Fields()) != 0 {
		t.Errorf("%d asks of a room that is ready", none.Open())
	}
	var b bytes.Buffer
	if err := none.Markdown(&b); err != nil || !strings.Contains(b.String(), "Nothing is left to observe.") {
		t.Errorf("%v: %s", err, b.String())
	}
}

// TestPlanIsNoBomb: a plan that unpacks into too much is refused.
func TestPlanIsNoBomb(t *testing.T) {
	long(t)
	p := schema.Planned{Project: schema.Project{Name: strings.Repeat("a", mostPlan)}}
	if _, err := encodePlan(p, nil); err == nil {
		t.Error("written")
	}
	var packed bytes.Buffer
	w, err := flate.NewWriter(&packed, flate.BestSpeed)
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(json.NewEncoder(w).Encode(p), w.Close()); err != nil {
		t.Fatal(err)
	}
	if _, err := DecodePlan(base64.StdEncoding.EncodeToString(packed.Bytes())); err == nil {
		t.Error("read")
	}
}
