package collect

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"setline.example/checks"
	"setline.example/report/fieldsheet"
	"setline.example/schema"
	"setline.example/schema/length"
)

// refused gives the problems with which sheets are refused.
func (j *job) refused(o Options, sheets ...*fieldsheet.Filled) schema.Problems {
	j.t.Helper()
	r, err := Add(j.rec, j.src, j.asks, sheets, o)
	var problems schema.Problems
	if !errors.As(err, &problems) || len(problems) == 0 {
		j.t.Fatalf("not refused: %+v, %v", r, err)
	}
	return problems
}

// boxes gives the boxes that problems name, each once, in order of names.
func boxesOf(problems schema.Problems) []string {
	names := map[string]bool{}
	for _, p := range problems {
		names[p.Box] = true
	}
	return slices.Sorted(maps.Keys(names))
}

func sameNames(t *testing.T, what string, got, want []string) {
	t.Helper()
	for _, n := range got {
		if !slices.Contains(want, n) {
			t.Errorf("%s: %s is refused", what, n)
		}
	}
	for _, n := range want {
		if !slices.Contains(got, n) {
			t.Errorf("%s: %s is not refused", what, n)
		}
	}
}

// TestEmptySheetAddsNothing: nor does one on which only who and when stand.
func TestEmptySheetAddsNothing(t *testing.T) {
	j := newJob(t, "metric", accents)
	head := map[string]fieldsheet.Entry{"date": {Text: "2026-10-01"}, "people/0/name": {Text: "Žofie Brázdilová"}, "purpose": {Text: "look"}}
	f := j.read("empty.pdf", readFile(t, j.pdf()))
	for _, sheet := range []*fieldsheet.Filled{f, j.byHand("head.pdf", head), j.byHand("blanks.pdf", map[string]fieldsheet.Entry{"purpose": {Text: " \r\n\t"}})} {
		r, rec := j.add(Options{}, sheet)
		if len(rec.Measured.Visits) != 0 || len(r.Added) != 0 || len(r.Nothing) != 1 || string(r.Record) != string(j.data) {
			t.Errorf("%s: %+v", sheet.File, r)
		}
	}
}

// TestEveryTick: with every box ticked, each question is refused by name where
// only one answer can be.
func TestEveryTick(t *testing.T) {
	long(t)
	j := newJob(t, "metric", accents)
	all, one := map[string]fieldsheet.Entry{}, map[string]bool{}
	for _, f := range j.sheet().Fields() {
		if f.Tick {
			all[f.Name] = fieldsheet.Entry{On: true}
			if f.Blank.Kind != checks.Used && len(f.Blank.Choices) != 1 {
				one[f.Ask.Name(f.Blank)] = true
			}
		}
	}
	f := j.read("ticked.pdf", j.filled(j.pdf(), all))
	problems := j.refused(Options{}, f)
	sameNames(t, "every tick", boxesOf(problems), slices.Sorted(maps.Keys(one)))
	p := problems[slices.IndexFunc(problems, func(p schema.Problem) bool { return strings.HasSuffix(p.Box, "N2/bearing/FL") })]
	want := "ticked.pdf: page 3: Küche-1/N2, Leveler bears, front-left (rooms/K%C3%BCche-1/cabinets/N2/bearing/FL): found yes and no ticked, expected one of them"
	if p.Error() != want || p.Mend == "" {
		t.Errorf("%v\nwant\n%s", p, want)
	}
}

// TestNonsense: nonsense in every text box is refused, each box by its name, but
// where words are asked.
func TestNonsense(t *testing.T) {
	long(t)
	j := newJob(t, "metric", accents)
	all, want := map[string]fieldsheet.Entry{}, []string{}
	for _, f := range j.sheet().Fields() {
		if f.Tick {
			continue
		}
		all[f.Name] = fieldsheet.Entry{Text: "Ünsinn 7/0 \x01 %s"}
		if f.Blank.Kind != checks.Words && f.Blank.Kind != checks.Drawer {
			want = append(want, f.Name)
		}
	}
	problems := j.refused(Options{}, j.read("nonsense.pdf", j.filled(j.pdf(), all)))
	got := boxesOf(problems)
	// A checked date without the tick that says the instrument was used, and a
	// fastening without its screw, are refused as such.
	got = slices.DeleteFunc(got, func(n string) bool {
		return strings.HasSuffix(n, "/tip_shows") || strings.HasSuffix(n, "/fastener")
	})
	sameNames(t, "nonsense", got, want)
}

// TestTooLong: what is longer than the record holds is refused by the record's
// own limits, with the box.
func TestTooLong(t *testing.T) {
	long(t)
	j := newJob(t, "metric", accents)
	long := strings.Repeat("long ", 1000)
	limited := []string{"purpose", "rooms/K%C3%BCche-1/cabinets/N2/remark", "rooms/K%C3%BCche-1/cabinets/N2/label/order", "people/0/name", "rooms/K%C3%BCche-1/cabinets/N2/in_sight/where"}
	for _, name := range limited {
		answers := with(j.answers, map[string]fieldsheet.Entry{name: {Text: long, Page: 1}})
		f := j.byHand("long.pdf", answers)
		if name == limited[0] {
			f = j.read("long.pdf", j.filled(j.pdf(), answers))
		}
		problems := j.refused(Options{}, f)
		if len(problems) != 1 || !strings.HasPrefix(name, problems[0].Box) || problems[0].Page == 0 || problems[0].File != "long.pdf" {
			t.Errorf("%s: %v", name, problems)
		}
	}
}

// TestValues: what is typed into a box, and what the record holds then.
func TestValues(t *testing.T) {
	long(t)
	inch := newJob(t, "annex", oneElevation)
	room := "rooms/" + inch.rec.Planned.Rooms[0].Name
	gap, slot, closed := room+"/joints/A1%2BA2/gap", room+"/cabinets/A1/drawers/1", room+"/cabinets/A1/in_sight/closed"
	for _, c := range []struct {
		field, typed, want, refused string
	}{
		{gap, "1/64", "1/64 in", ""},
		{gap, " 0.5 ", "1/2 in", ""},
		{gap, "0.5 mm", "0.5 mm", ""},
		{gap, `1/32"`, "1/32 in", ""},
		{gap, "0", "0 in", ""},
		{gap, "½", "1/2 in", ""},
		{gap, "1/3", "", "a length; a number alone is in inches"},
		{gap, "1/0", "", "a length"},
		{gap, "0,5", "", "a length"},
		{gap, "1e3", "", "a length"},
		{gap, "-1/64", "", "a gap of zero or more"},
		{gap, "ok", "", "a length"},
		{gap, strings.Repeat("9", 400), "", "a length"},
		{closed, "0", "0", ""},
		{closed, "two", "", "a whole number"},
		{closed, "-1", "", "a whole number"},
		{closed, "99999", "", ""},
		{slot, "none", "none", ""},
		{slot, "NONE", "none", ""},
		{slot, "A2/1", "A2/1", ""},
		{slot, "9", "", "the number of a drawer's home slot"},
		{slot, "x", "", "the number of a drawer's home slot"},
	} {
		t.Run(c.field+" "+c.typed, func(t *testing.T) {
			j := inch
			answers := map[string]fieldsheet.Entry{"date": {Text: "2026-10-01"}, "people/0/name": {Text: "A. Reader"}, c.field: {Text: c.typed, Page: 3}}
			sheet := j.byHand("typed.pdf", answers)
			if c.want == "" {
				p := j.refused(Options{}, sheet)
				if len(p) != 1 || p[0].Box != c.field || p[0].Page != 3 || !strings.Contains(p[0].Expected, c.refused) {
					t.Errorf("%v", p)
				}
				return
			}
			_, rec := j.add(Options{}, sheet)
			v := tree(&rec.Measured.Visits[0])
			got, _ := schema.Lookup(v, j.placeOf(c.field))
			if fmt.Sprint(got) != c.want {
				t.Errorf("%q became %v, want %s", c.typed, got, c.want)
			}
		})
	}
}

// TestWhyANumberIsNone: of a number alone that holds no length is said why, and what to
// do, as of the same with the unit that stands beside its box.
func TestWhyANumberIsNone(t *testing.T) {
	for _, unit := range []length.System{length.InchSystem, length.Metric} {
		for _, text := range []string{"9 1/3", "9 1/128", "1/0", "9 1/", "9 5/4", "9,5", "９ 1/2", "1e3", "9..5", "5 5", "0x9", "ok", strings.Repeat("9", 30)} {
			why := func(text string) string {
				_, p := lengthValue(text, unit)
				if p == nil {
					return "nothing"
				}
				return strings.TrimPrefix(p.Found, shown(text)) + "; " + p.Mend
			}
			alone, with := why(text), why(text+" "+string(unit))
			if alone != with || strings.HasPrefix(alone, ";") {
				t.Errorf("of %s it says %q, and with %s %q", text, alone, unit, with)
			}
		}
	}
}

func (j *job) placeOf(name string) []string {
	for _, a := range j.asks {
		if a.Name(nil) == name {
			return a.Place
		}
	}
	j.t.Fatalf("nothing asks for %s", name)
	return nil
}

// TestHalfFilled: what says nothing without another box is refused, and the
// box that is missing is named.
func TestHalfFilled(t *testing.T) {
	long(t)
	j := newJob(t, "annex", oneElevation)
	room := "rooms/" + j.rec.Planned.Rooms[0].Name
	head := map[string]fieldsheet.Entry{"date": {Text: "2026-10-01"}, "people/0/name": {Text: "A. Reader"}, room + "/joints/A1%2BA2/gap": {Text: "0"}}
	for _, c := range []struct {
		name    string
		filled  map[string]fieldsheet.Entry
		missing string
	}{
		{"off without over", map[string]fieldsheet.Entry{room + "/cabinets/A1/plumb/front/off": {Text: "0"}}, room + "/cabinets/A1/plumb/front/over"},
		{"screw without number", map[string]fieldsheet.Entry{room + "/joints/A1%2BA2/fastened/front/fastener=short": {On: true}}, room + "/joints/A1%2BA2/fastened/front/count"},
		{"checked and not used", map[string]fieldsheet.Entry{"instruments/line%20laser/checked": {Text: "2026-09-20"}}, "instruments/line%20laser"},
		{"reading without place", map[string]fieldsheet.Entry{room + "/elevations/A/floor/front/13/1": {Text: "44"}}, room + "/elevations/A/floor/front/13/0"},
		{"firm without name", map[string]fieldsheet.Entry{"people/1/firm": {Text: "A firm"}}, "people/1/name"},
		{"no date", map[string]fieldsheet.Entry{"date": {}}, ""},
		{"nobody", map[string]fieldsheet.Entry{"people/0/name": {}}, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := j.refused(Options{}, j.byHand("half.pdf", with(head, c.filled)))
			if len(p) != 1 || p[0].Box != c.missing || !strings.Contains(p[0].Found, "nothing there") && c.name != "reading without place" {
				t.Errorf("%v", p)
			}
		})
	}
}

// TestSuggestedPlaces: places that the sheet suggests along the floor count
// where a reading stands beside them, and readings come out from left to right.
func TestSuggestedPlaces(t *testing.T) {
	j := newJob(t, "annex", oneElevation)
	line := "rooms/" + j.rec.Planned.Rooms[0].Name + "/elevations/A/floor/front/"
	f := j.read("sheet.pdf", readFile(t, j.pdf())) // with the places that are printed
	f.Entries = with(f.Entries, map[string]fieldsheet.Entry{
		"date": {Text: "2026-10-01"}, "people/0/name": {Text: "A. Reader"},
		line + "0/1": {Text: "44"}, line + "2/1": {Text: "44 1/8"},
		line + "12/0": {Text: "15"}, line + "12/1": {Text: "43.5"},
	})
	_, rec := j.add(Options{}, f)
	got := rec.Measured.Visits[0].Rooms[j.rec.Planned.Rooms[0].Name].Elevations["A"].Floor.Front
	want := []schema.FloorReading{
		{0, 44 * length.Inch}, {15 * length.Inch, 43*length.Inch + length.Inch/2}, {27 * length.Inch, 44*length.Inch + length.Inch/8},
	}
	if !slices.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
}

// TestAnotherPlan: a sheet of another job, or of a plan on which its answers
// rest and that has changed, is refused and what differs is named.
func TestAnotherPlan(t *testing.T) {
	long(t)
	j := newJob(t, "metric", nil)
	for _, c := range []struct {
		name   string
		change func(*schema.Planned)
		want   string // "" where the sheet is good
	}{
		{"nothing", func(*schema.Planned) {}, ""},
		{"another job", func(p *schema.Planned) { p.Project.Number = "KP-9" }, `the sheet is of job "Kestrel Point College, Science Annex" (KP-9)`},
		{"a room gone", func(p *schema.Planned) { p.Rooms[0].Name = "1.13" }, "room 1.13: planned then, not now"},
		{"an elevation gone", func(p *schema.Planned) { p.Rooms[0].Elevations[0].Name = "South" }, "room 1.12 elevation South: planned then, not now"},
		{"another part", func(p *schema.Planned) { p.Rooms[0].Elevations[0].Units[1].Part = "U900-2T" }, "unit 1.12/N2: part U900-2T then, part U600-3S now"},
		{"another order", func(p *schema.Planned) {
			u := p.Rooms[0].Elevations[0].Units
			u[1], u[2] = u[2], u[1]
		}, "place 2 from the left: unit N3 then, unit N2 now; room 1.12 elevation North, place 3 from the left: unit N2 then, unit N3 now"},
		{"a unit more", func(p *schema.Planned) {
			e := &p.Rooms[0].Elevations[0]
			e.Units = e.Units[:3]
		}, "place 4 from the left: nothing then, unit N4 now"},
		{"no space", func(p *schema.Planned) { p.Rooms[0].Elevations[0].Units[3].SpaceBefore = nil }, "the space to its left"},
		{"other fronts", func(p *schema.Planned) {
			c := p.Cabinets["U600-3S"]
			c.Front = c.Front[:2]
			p.Cabinets["U600-3S"] = c
		}, "has other doors and drawers now"},
		{"an instrument gone", func(p *schema.Planned) { p.Instruments["old laser"] = p.Instruments["rotating laser"] }, "instrument old laser: planned then, not now"},
		{"a limit changed", func(p *schema.Planned) { p.Limits = nil }, ""},
		{"a width changed", func(p *schema.Planned) {
			c := p.Cabinets["U600-3S"]
			c.Width += length.Inch
			p.Cabinets["U600-3S"] = c
		}, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			then := newJob(t, "metric", func(r *schema.Record) { c.change(&r.Planned) })
			f := j.byHand("sheet.pdf", j.answers)
			f.Plan = then.plan()
			if c.want == "" {
				j.add(Options{}, f)
				return
			}
			if p := j.refused(Options{}, f); len(p) != 1 || !strings.Contains(p[0].Found, c.want) {
				t.Errorf("%v", p)
			}
		})
	}
	for _, plan := range []string{"", "!", "AAAA", "e30="} {
		f := j.byHand("sheet.pdf", j.answers)
		f.Plan = plan
		j.refused(Options{}, f)
	}
}

// TestSeveralSheets: sheets of one day and the same people are one visit;
// others are visits of their own, in time order.
func TestSeveralSheets(t *testing.T) {
	j := newJob(t, "annex", oneElevation)
	room := "rooms/" + j.rec.Planned.Rooms[0].Name
	head := map[string]fieldsheet.Entry{"date": {Text: "2026-10-02"}, "people/0/name": {Text: "A. Reader"}}
	gap := func(joint, size string) map[string]fieldsheet.Entry {
		return with(head, map[string]fieldsheet.Entry{room + "/joints/" + joint + "/gap": {Text: size, Page: 2}})
	}
	left, right := j.byHand("left.pdf", gap("A1%2BA2", "1/64")), j.byHand("right.pdf", gap("A2%2BA3", "1/32"))
	earlier := j.byHand("earlier.pdf", with(gap("A2%2BA3", "1/8"), map[string]fieldsheet.Entry{"date": {Text: "2026-10-01"}}))
	other := j.byHand("other.pdf", with(gap("A1%2BA2", "1/8"), map[string]fieldsheet.Entry{"people/0/name": {Text: "B. Writer"}}))
	result, rec := j.add(Options{}, left, right, earlier, other)
	var got []string
	for _, v := range rec.Measured.Visits {
		got = append(got, fmt.Sprintf("%s %s %d", v.Date, v.People[0].Name, len(v.Rooms[j.rec.Planned.Rooms[0].Name].Joints)))
	}
	if want := "2026-10-01 A. Reader 1, 2026-10-02 A. Reader 2, 2026-10-02 B. Writer 1"; strings.Join(got, ", ") != want {
		t.Errorf("visits %s, want %s", strings.Join(got, ", "), want)
	}
	if len(result.Added) != 3 || result.Added[1].Observations != 2 {
		t.Errorf("%+v", result.Added)
	}
	// One of two sheets that became one visit is known too.
	again, src, err := schema.Read("job.json", result.Record)
	if err != nil {
		t.Fatal(err)
	}
	asks, err := Asked(again, src)
	if err != nil {
		t.Fatal(err)
	}
	if r, err := Add(again, src, asks, []*fieldsheet.Filled{right}, Options{}); err != nil || len(r.Added) != 0 {
		t.Errorf("%+v, %v", r, err)
	}
}

// TestDisagreement: of two sheets that disagree both values are shown, and
// nothing is taken until one is preferred.
func TestDisagreement(t *testing.T) {
	j := newJob(t, "annex", oneElevation)
	room := "rooms/" + j.rec.Planned.Rooms[0].Name
	gap := room + "/joints/A1%2BA2/gap"
	head := map[string]fieldsheet.Entry{"date": {Text: "2026-10-02"}, "people/0/name": {Text: "A. Reader"}}
	a := j.byHand("a.pdf", with(head, map[string]fieldsheet.Entry{gap: {Text: "1/64", Page: 2}, room + "/joints/A2%2BA3/gap": {Text: "0"}}))
	b := j.byHand("b.pdf", with(head, map[string]fieldsheet.Entry{gap: {Text: "1/16", Page: 3}}))
	p := j.refused(Options{}, a, b)
	if len(p) != 2 || p[0].File != "a.pdf" || p[0].Page != 2 || p[0].Found != `"1/64 in"` || p[1].File != "b.pdf" || p[1].Page != 3 || p[1].Found != `"1/16 in"` {
		t.Errorf("%v", p)
	}
	for file, want := range map[string]length.Length{"a.pdf": length.Inch / 64, "b.pdf": length.Inch / 16} {
		_, rec := j.add(Options{Prefer: file}, a, b)
		joints := rec.Measured.Visits[0].Rooms[j.rec.Planned.Rooms[0].Name].Joints
		if got := *joints["A1+A2"].Gap; got != want || joints["A2+A3"].Gap == nil {
			t.Errorf("preferring %s: %v", file, got)
		}
	}
	j.refused(Options{Prefer: "c.pdf"}, a, b)
}

// TestUnknownBox: what is filled in and asked by nothing is not dropped.
func TestUnknownBox(t *testing.T) {
	j := newJob(t, "metric", nil)
	f := j.byHand("sheet.pdf", with(j.answers, map[string]fieldsheet.Entry{"rooms/9/cabinets/X/remark": {Text: "here too", Page: 4}, "empty": {Text: " "}}))
	if p := j.refused(Options{}, f); len(p) != 1 || p[0].Box != "rooms/9/cabinets/X/remark" || p[0].Page != 4 {
		t.Errorf("%v", p)
	}
}

// TestSiteAlone: the state of the site, where nothing else was looked at, is
// that of the rooms on the sheet.
func TestSiteAlone(t *testing.T) {
	j := newJob(t, "annex", nil)
	_, rec := j.add(Options{}, j.byHand("site.pdf", map[string]fieldsheet.Entry{
		"date": {Text: "2026-10-01"}, "people/0/name": {Text: "A. Reader"},
		"site/slab_cured=yes": {On: true}, "site/closed_in=no": {On: true}, "site/floor_finish_known=yes": {On: true},
	}))
	if v := rec.Measured.Visits[0]; len(v.Rooms) != len(j.rec.Planned.Rooms) || *v.Site.ClosedIn {
		t.Errorf("%s", visitJSON(t, v))
	}
}
