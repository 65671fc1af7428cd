package checks

import (
	"slices"
	"strings"
	"testing"

	"setline.example/schema"
)

// TestClosure: worked by hand. Three cabinets of 24 in in an opening of 75 1/2
// to 75 5/8 in leave 3 1/2 to 3 5/8 in for the one filler. Widths within 1/16 in
// add up to 3/16 in at worst, and to 1/16 in times the root of 3, 0.108 in or
// nearly 7/64 in, as root sum of squares.
func TestClosure(t *testing.T) {
	rec := fixture()
	rec.Planned.Usual.WidthTolerance = in("1/16 in")
	r := result(t, judge(t, rec), "run closes", "elevation A")
	want := "Fillers needed together: 3 1/2 in to 3 5/8 in; they come 4 in wide with scribe; left (F1) 3 1/2 in to 3 5/8 in; widths can add up to ± 3/16 in at worst, ± ≈ 7/64 in as root sum of squares"
	if r.Outcome != Pass || r.Finding.String() != want {
		t.Errorf("%s %q, want %q", r.Outcome, r.Finding.String(), want)
	}
	// A second filler shares what is needed; a space takes its part.
	rec = fixture()
	e := &rec.Planned.Rooms[0].Elevations[0]
	e.Units = append(e.Units, schema.Unit{Tag: "F2", Part: "F3"})
	e.Units[2].SpaceBefore = in("2 in")
	delete(seen(rec).Joints, "C1+C2") // the space has taken its place
	r = result(t, judge(t, rec), "run closes", "elevation A")
	if want := "left (F1) and right (F2) each 3/4 in to 13/16 in"; !strings.Contains(r.Finding.String(), want) {
		t.Errorf("%q, want %q in it", r.Finding.String(), want)
	}
}

// TestClosureBetweenWallsThatLean: an opening as wide at every height between
// walls that both lean to the left. The left filler is needed 3/8 in wider at the
// tops than at the floor, and the right one as much wider at the floor.
func TestClosureBetweenWallsThatLean(t *testing.T) {
	for _, tc := range []struct {
		name, opening string
		want          Outcome
		finding       string
	}{
		// Each filler comes 4 in wide: together they reach to 72 + 8 - 3/8 in.
		{"at the limit", "79 5/8 in", Pass, "Fillers needed together: 7 5/8 in"},
		{"beyond it", "79 41/64 in", Fail, "Short by 1/64 in as the walls lean. Fillers needed together: 7 41/64 in"},
		{"as narrow as it may be", "72 3/8 in", Pass, "Fillers needed together: 3/8 in"},
		{"narrower", "72 23/64 in", Fail, "Cabinets too wide by 1/64 in to stand plumb between the walls as they lean"},
	} {
		rec := twoFillers(func(rec *schema.Record) {
			alter(seen(rec).Elevations, "A", func(e *schema.ElevationSeen) {
				e.Opening = schema.OpeningSeen{Bottom: in(tc.opening), Middle: in(tc.opening), Top: in(tc.opening)}
				e.Walls.Left = &schema.Deviation{Off: *in("3/8 in"), Over: *in("34 in")}
				e.Walls.Right = &schema.Deviation{Off: *in("-3/8 in"), Over: *in("34 in")}
			})
		})
		r := result(t, judge(t, rec), "run closes", "elevation A")
		if r.Outcome != tc.want || !strings.HasPrefix(r.Finding.String(), tc.finding) {
			t.Errorf("%s: %s %q, want %s %q", tc.name, r.Outcome, r.Finding.String(), tc.want, tc.finding)
		}
		c := cutsOf(t, rec)
		if ready := c.Ready(); tc.want == Fail && strings.HasPrefix(tc.finding, "Short") && ready {
			t.Errorf("%s: cut all the same: %+v", tc.name, c)
		}
	}
}

// TestClosureWithoutFillers: cabinets that fill the opening at every height do not go
// in between walls that lean the same way, whoever read which of them.
func TestClosureWithoutFillers(t *testing.T) {
	plumb := func(off string) *schema.Deviation { return &schema.Deviation{Off: *in(off), Over: *in("34 in")} }
	for _, tc := range []struct {
		name        string
		left, right *schema.Deviation
		want        Outcome
	}{
		{"not read", nil, nil, Pass},
		{"plumb", plumb("0 in"), plumb("0 in"), Pass},
		{"both to the left", plumb("3/8 in"), plumb("-3/8 in"), Fail},
		{"both to the right", plumb("-3/8 in"), plumb("3/8 in"), Fail},
		{"left read", plumb("3/8 in"), nil, Fail},
		{"right read", nil, plumb("3/8 in"), Fail},
	} {
		rec := fixture()
		e := &rec.Planned.Rooms[0].Elevations[0]
		e.Left, e.Right, e.Units = "wall", "wall", e.Units[1:]
		room := seen(rec)
		delete(room.Fillers, "F1")
		delete(room.Joints, "F1+C1")
		alter(room.Elevations, "A", func(e *schema.ElevationSeen) {
			e.Opening = schema.OpeningSeen{Bottom: in("72 in"), Middle: in("72 in"), Top: in("72 in")}
			e.Walls = schema.WallsSeen{Left: tc.left, Right: tc.right}
			e.Floor, e.Mark = schema.FloorSeen{}, nil // the height is that of the bodies
		})
		r := result(t, judge(t, rec), "run closes", "elevation A")
		if r.Outcome != tc.want || tc.want == Fail && !strings.HasPrefix(r.Finding.String(), "Cabinets too wide by 3/8 in to stand plumb") {
			t.Errorf("%s: %s %q, want %s", tc.name, r.Outcome, r.Finding.String(), tc.want)
		}
	}
}

// TestFillersAreSaidAsCut: where the plumb of a wall was read, the widths that are
// told are those by it, worked by hand; where a filler stands between, none are.
func TestFillersAreSaidAsCut(t *testing.T) {
	plumb := func(off string) *schema.Deviation { return &schema.Deviation{Off: *in(off), Over: *in("34 in")} }
	for _, tc := range []struct {
		name        string
		left, right *schema.Deviation
		says, never string
	}{
		{"not read", nil, nil, "cut alike, left (F1) and right (F2) each 1 in", "as read"},
		{"both plumb", plumb("0 in"), plumb("0 in"), "cut to the walls as read, left (F1) 1 in and right (F2) 1 in", "alike"},
		{"left read", plumb("3/8 in"), nil, "cut to the walls as read, left (F1) 1 in to 1 3/8 in and right (F2) 5/8 in to 1 in", "alike"},
		{"right read", nil, plumb("3/8 in"), "cut to the walls as read, left (F1) 5/8 in to 1 in and right (F2) 1 in to 1 3/8 in", "alike"},
	} {
		rec := twoFillers(func(rec *schema.Record) {
			alter(seen(rec).Elevations, "A", func(e *schema.ElevationSeen) {
				e.Opening = schema.OpeningSeen{Bottom: in("74 in"), Middle: in("74 in"), Top: in("74 in")}
				e.Walls = schema.WallsSeen{Left: tc.left, Right: tc.right}
				e.Floor, e.Mark = schema.FloorSeen{}, nil // the height is that of the bodies
			})
		})
		r := result(t, judge(t, rec), "run closes", "elevation A")
		if got := r.Finding.String(); r.Outcome != Pass || !strings.Contains(got, tc.says) || strings.Contains(got, tc.never) {
			t.Errorf("%s: %s %q, want %q", tc.name, r.Outcome, got, tc.says)
		}
		e := &rec.Planned.Rooms[0].Elevations[0]
		between := e.Units[0]
		between.Tag = "F3"
		e.Units = slices.Insert(e.Units, 2, between)
		clear(seen(rec).Joints)
		if got := result(t, judge(t, rec), "run closes", "elevation A").Finding.String(); strings.Contains(got, "F1") {
			t.Errorf("%s, a filler between: %q", tc.name, got)
		}
	}
}
