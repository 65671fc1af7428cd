package fieldsheet

import (
	"bytes"
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"setline.example/checks"
	"setline.example/schema"
	"setline.example/schema/length"
)

// tilting adds visits to a record that saw the tops of an elevation come down, the
// further to the right the more, by a 64th of an inch a cabinet and visit.
func tilting(rec *schema.Record) {
	first := rec.Measured.Visits[len(rec.Measured.Visits)-1]
	plan := &rec.Planned.Rooms[0].Elevations[0]
	room := rec.Planned.Rooms[0].Name
	mark := 9 * length.Inch
	for n, day := range []schema.Date{"2026-10-12", "2026-10-26", "2026-11-09"} {
		cabinets := map[string]schema.CabinetSeen{}
		for k, u := range plan.Units {
			if _, cabinet := rec.Planned.Cabinets[u.Part]; !cabinet {
				continue
			}
			left := mark + length.Inch/64*length.Length(n*k)
			right := left + length.Inch/64*length.Length(n)
			tops := schema.CornerLengths{FL: &left, BL: &left, FR: &right, BR: &right}
			cabinets[u.Tag] = schema.CabinetSeen{Tops: tops}
		}
		v := schema.Visit{Date: day, People: first.People, Instruments: first.Instruments}
		v.Rooms = map[string]schema.RoomSeen{room: {
			Elevations: map[string]schema.ElevationSeen{plan.Name: {Mark: &mark}}, Cabinets: cabinets,
		}}
		rec.Measured.Visits = append(rec.Measured.Visits, v)
	}
}

// TestNotes: what to turn, and when it leaves level if it goes on, stand over what
// is asked of an elevation as the rules found them, and are read back as nothing
// that somebody wrote.
func TestNotes(t *testing.T) {
	s := sheetOf(t, "soil", Options{}, tilting)
	data, err := json.Marshal(s.rec)
	if err != nil {
		t.Fatal(err)
	}
	rec, src, err := schema.Read("tilting", data)
	if err != nil {
		t.Fatal(err)
	}
	found, err := checks.Run(rec, src)
	if err != nil {
		t.Fatal(err)
	}
	var want []string
	for _, list := range found.Rooms[0].Turns {
		want = append(want, s.Words(list.Text(s.Say.Lengths)))
	}
	turned := len(want)
	for _, r := range found.Rooms[0].Results {
		if r.Forecast != nil {
			want = append(want, s.Words(r.Forecast.Words()))
		}
	}
	if turned == 0 || len(want) == turned {
		t.Fatalf("nothing to turn, or nothing to come: %q", want)
	}
	var b bytes.Buffer
	if err := s.Markdown(&b); err != nil {
		t.Fatal(err)
	}
	_, packed, _ := strings.Cut(b.String(), LineMark)
	packed, _, _ = strings.Cut(packed, PlanEnd)
	own, err := DecodeLines(strings.Join(strings.Fields(packed), ""))
	if err != nil {
		t.Fatal(err)
	}
	for i, text := range want {
		n := s.Pages[0].Notes[i]
		line := saidAgain(n.Text)
		if !strings.Contains(n.Text, text) || !strings.Contains(b.String(), "\n"+line+"\n") || !slices.Contains(own.Again, line) {
			t.Errorf("%q stands on the sheet as %q, in Markdown %t", text, n.Text, strings.Contains(b.String(), line))
		}
	}
}
