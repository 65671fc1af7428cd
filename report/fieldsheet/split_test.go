package fieldsheet

import (
	"bytes"
	"fmt"
	"maps"
	"slices"
	"sync"
	"testing"

	"setline.example/schema"
)

// TestSplit: parts of a sheet ask for all that the whole asks, each once, each
// part for one room and within the limit, and its plan is of what it asks about.
func TestSplit(t *testing.T) {
	long(t)
	for _, c := range sheets {
		t.Run(c.name, func(t *testing.T) {
			s := sheetOf(t, c.example, c.options, c.edit)
			m, err := newMaker(s.rec, nil, s.options)
			if err != nil {
				t.Fatal(err)
			}
			if parts := m.parts(MostBoxes); len(parts) != 1 || parts[0].Room != "" || parts[0].Number != 0 || !sameFields(parts[0].Sheet(), s) {
				t.Errorf("a small sheet is split into %d", len(parts))
			}
			boxes := boxesOf(s.asks())
			whole := map[string]int{}
			visit := map[string]bool{}
			for _, f := range s.Fields() {
				whole[f.Name]++
			}
			for i := range s.Visit {
				for _, f := range FieldsOf(&s.Visit[i]) {
					visit[f.Name] = true
				}
			}
			largest := 0 // what is asked of one subject stays together
			for _, e := range s.Pages {
				for _, g := range e.Groups {
					largest = max(largest, boxesOf(g.Asks))
				}
			}
			for _, most := range []int{len(visit) + largest, len(visit) + 2*largest, boxes - 1} {
				if most >= boxes {
					continue // all of it is one sheet
				}
				open := 0
				seen := map[string]int{}
				for _, p := range m.parts(most) {
					sheet := p.Sheet()
					open += sheet.Open()
					if !sameFields(sheet, p.Sheet()) {
						t.Errorf("made again, the sheet of %s is another", p.Room)
					}
					for _, f := range sheet.Fields() {
						if seen[f.Name]++; f.Ask.Subject.Room != "" && f.Ask.Subject.Room != p.Room {
							t.Errorf("%s is asked on a sheet of %s", f.Name, p.Room)
						}
					}
					if n := boxesOf(sheet.asks()); n > most {
						t.Errorf("%d boxes for %s, want at most %d", n, p.Room, most)
					}
					checkPlan(t, s, p)
				}
				if open != s.open {
					t.Errorf("%d things are asked, of all together %d", s.open, open)
				}
				for name := range visit { // on every sheet
					seen[name] = 1
				}
				if !maps.Equal(seen, whole) {
					t.Errorf("at most %d boxes: %d of %d are asked", most, len(seen), len(whole))
				}
			}
		})
	}
}

// sameFields reports whether two sheets are the same, box by box, in their order.
func sameFields(a, b *Sheet) bool {
	var written [2]bytes.Buffer
	if a.Markdown(&written[0]) != nil || b.Markdown(&written[1]) != nil {
		return false
	}
	return bytes.Equal(written[0].Bytes(), written[1].Bytes())
}

// TestPartsAtOnce: parts can be made by several goroutines, and are what they are
// when made one after the other.
func TestPartsAtOnce(t *testing.T) {
	long(t)
	s := sheetOf(t, "annex", Options{All: true}, nil)
	m, err := newMaker(s.rec, nil, s.options)
	if err != nil {
		t.Fatal(err)
	}
	parts := m.parts(boxesOf(s.asks()) / 3)
	want := make([]*Sheet, len(parts))
	for i, p := range parts {
		want[i] = p.Sheet()
	}
	var all sync.WaitGroup
	for range 4 {
		all.Go(func() {
			for i, p := range parts {
				if !sameFields(p.Sheet(), want[i]) {
					t.Errorf("part %d is another", i+1)
				}
			}
		})
	}
	all.Wait()
}

func checkPlan(t *testing.T, s *Sheet, p Part) {
	t.Helper()
	text, err := p.Sheet().Plan()
	if err != nil {
		t.Fatal(err)
	}
	plan, err := DecodePlan(text)
	if err != nil {
		t.Fatal(err)
	}
	if len(plan.Rooms) != 1 || plan.Rooms[0].Name != p.Room || len(Changed(plan, &s.rec.Planned)) != 0 {
		t.Errorf("a sheet of %s has a plan of %d rooms, changed %v", p.Room, len(plan.Rooms), Changed(plan, &s.rec.Planned))
	}
}

// TestCarriedPlanSeesChanges: the part of a plan that a sheet carries is enough
// to see every change that matters to its answers.
func TestCarriedPlanSeesChanges(t *testing.T) {
	s := sheetOf(t, "annex", Options{All: true}, nil)
	text, err := s.Plan()
	if err != nil {
		t.Fatal(err)
	}
	then, err := DecodePlan(text)
	if err != nil {
		t.Fatal(err)
	}
	whole := s.rec.Planned
	for name, change := range map[string]func(*schema.Planned){
		"job":        func(p *schema.Planned) { p.Project.Number += "x" },
		"room":       func(p *schema.Planned) { p.Rooms[0].Name += "x" },
		"elevation":  func(p *schema.Planned) { p.Rooms[0].Elevations[0].Name += "x" },
		"tag":        func(p *schema.Planned) { p.Rooms[0].Elevations[0].Units[0].Tag += "x" },
		"part":       func(p *schema.Planned) { p.Rooms[0].Elevations[0].Units[0].Part += "x" },
		"unit gone":  func(p *schema.Planned) { u := &p.Rooms[0].Elevations[0].Units; *u = (*u)[1:] },
		"instrument": func(p *schema.Planned) { clear(p.Instruments) },
		"screw":      func(p *schema.Planned) { clear(p.Fasteners) },
		"front": func(p *schema.Planned) {
			for part, c := range p.Cabinets {
				c.Front = nil
				p.Cabinets[part] = c
			}
		},
	} {
		now := whole
		now.Instruments, now.Fasteners, now.Cabinets = maps.Clone(whole.Instruments), maps.Clone(whole.Fasteners), maps.Clone(whole.Cabinets)
		now.Rooms = slices.Clone(whole.Rooms)
		for i := range now.Rooms {
			now.Rooms[i].Elevations = slices.Clone(now.Rooms[i].Elevations)
			for j := range now.Rooms[i].Elevations {
				now.Rooms[i].Elevations[j].Units = slices.Clone(now.Rooms[i].Elevations[j].Units)
			}
		}
		change(&now)
		if got, want := fmt.Sprint(Changed(then, &now)), fmt.Sprint(Changed(&whole, &now)); got != want || got == "[]" {
			t.Errorf("%s: the carried plan sees %s, the whole one %s", name, got, want)
		}
	}
}
