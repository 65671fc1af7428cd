package checks

import (
	"strings"
	"testing"

	"setline.example/schema"
	"setline.example/schema/length"
)

// twoFillers is the small room with a filler at each end, 3 in wide with 1 in
// of scribe, around cabinets of 72 in; the opening grows from 77 to 77 1/4 in,
// and the wall at the left leans away by 1/4 in over 24 in.
func twoFillers(edit func(*schema.Record)) *schema.Record {
	rec := fixture()
	e := &rec.Planned.Rooms[0].Elevations[0]
	e.Units = append(e.Units, schema.Unit{Tag: "F2", Part: "F3"})
	alter(seen(rec).Elevations, "A", func(e *schema.ElevationSeen) {
		e.Opening = schema.OpeningSeen{Bottom: in("77 in"), Middle: in("77 1/8 in"), Top: in("77 1/4 in")}
		e.Walls.Left = &schema.Deviation{Off: *in("1/4 in"), Over: *in("24 in")}
		e.Floor, e.Mark = schema.FloorSeen{}, nil // the height is that of the bodies
	})
	if edit != nil {
		edit(rec)
	}
	return rec
}

func cutsOf(t *testing.T, rec *schema.Record) *Cuts {
	t.Helper()
	return Layouts(rec, judge(t, rec))[0].Cuts
}

// TestCuts: worked by hand. Both fillers take 5 in at the floor, 2 1/2 in each.
// Over the height H of the bodies the left wall goes out by H/96, and the right
// one by the rest of 1/4 in.
func TestCuts(t *testing.T) {
	rec := twoFillers(nil)
	c := cutsOf(t, rec)
	h := *rec.Planned.Usual.Height
	lean := (h + 48) / 96
	want := [2][3]length.Length{
		{*in("2 1/2 in"), *in("2 1/2 in") + lean/2, *in("2 1/2 in") + lean},
		{*in("2 1/2 in"), *in("2 5/8 in") - lean/2, *in("2 3/4 in") - lean},
	}
	if len(c.Fillers) != 2 {
		t.Fatalf("%+v", c)
	}
	for k, f := range c.Fillers {
		for i, w := range f.Width {
			if apart(w.Length, want[k][i]) > 2 {
				t.Errorf("%s at height %d: %s, want %s", f.Tag, i, w.Length, want[k][i])
			}
			if apart(f.Left[i], *in("4 in")-w.Length) > 1 {
				t.Errorf("%s at height %d: %s left over", f.Tag, i, f.Left[i])
			}
		}
		if f.Right != (k == 1) || !f.AsBody || f.Height != h {
			t.Errorf("%+v", f)
		}
	}
	said := saysOf(c)
	for _, part := range []string{"The left wall by its own plumb, the right one by what the openings leave", "the first cabinet begins 2 1/2 in from the left wall there"} {
		if !strings.Contains(said, part) {
			t.Errorf("%q does not say %q", said, part)
		}
	}
}

func saysOf(c *Cuts) string {
	var all []string
	for i := range c.Fillers {
		for _, text := range c.Fillers[i].Words() {
			all = append(all, text.String())
		}
	}
	for _, text := range c.Says {
		all = append(all, text.String())
	}
	return strings.Join(all, "\n")
}

// TestCutUncertainty: with a rule read to 1/32 in and a level to 1/64 in, by the
// law of propagation written out: each opening counts by half at its own height
// for a foot of two equal fillers, and the level by the height over its distance.
func TestCutUncertainty(t *testing.T) {
	rec := twoFillers(func(r *schema.Record) {
		r.Planned.Usual.WidthTolerance = in("1/16 in")
	})
	c := cutsOf(t, rec)
	b := NewDraft(rec, judge(t, rec))
	visit := 0
	reading := (&bench{facts: b.job}).readingDoubt(visit, "offsets")
	level := (&bench{facts: b.job}).levelDoubt(observed[schema.Deviation]{value: *seen(rec).Elevations["A"].Walls.Left})
	if !reading.known || !level.known {
		t.Fatal("the room's instruments are not known")
	}
	tolerance := hypot(hypot(2*resolutionUncertainty(*in("1/16 in")), 2*resolutionUncertainty(*in("1/16 in"))), 2*resolutionUncertainty(*in("1/16 in")))
	times := float64(*rec.Planned.Usual.Height) / float64(*in("24 in"))
	foot := hypot(reading.u/2, tolerance/2)
	left, right := c.Fillers[0], c.Fillers[1]
	for _, tc := range []struct {
		name string
		got  CutSize
		want float64
	}{
		{"foot", left.Width[0], foot},
		{"left at the tops", left.Width[2], hypot(foot, times*level.u)},
		// (O0 - F)/2 + (O2 - O0 - lean) = O2 - O0/2 - F/2 - lean
		{"right at the tops", right.Width[2], hypot(hypot(reading.u, reading.u/2), hypot(tolerance/2, times*level.u))},
		{"taper of the left", left.Taper, times * level.u},
		{"taper of the right", right.Taper, hypot(hypot(reading.u, reading.u), times*level.u)},
	} {
		if want := nearest(coverage * tc.want); !tc.got.Known || apart(tc.got.U, want) > 2 {
			t.Errorf("%s: U %s, want %s", tc.name, tc.got.U, want)
		}
	}
}

// TestCutsSaid: what is missing, does not fit or does not agree is said.
func TestCutsSaid(t *testing.T) {
	alterA := func(edit func(*schema.ElevationSeen)) func(*schema.Record) {
		return func(r *schema.Record) { alter(seen(r).Elevations, "A", edit) }
	}
	for _, tc := range []struct {
		name  string
		edit  func(*schema.Record)
		ready bool
		want  string
	}{
		{"an opening not read", alterA(func(e *schema.ElevationSeen) { e.Opening.Middle = nil }), false,
			"Fillers cannot be cut yet: clear opening not observed at the middle"},
		{"no wall read", alterA(func(e *schema.ElevationSeen) { e.Walls = schema.WallsSeen{} }), true,
			"How each wall leans was not read: cut as if both leaned alike"},
		{"walls and openings agree", alterA(func(e *schema.ElevationSeen) {
			e.Walls.Right = &schema.Deviation{Off: *in("1/4 in")*24*length.Inch / *fixture().Planned.Usual.Height - *in("1/4 in"), Over: *in("24 in")}
		}), true, "Both walls by their own plumb"},
		{"walls and openings do not agree", alterA(func(e *schema.ElevationSeen) {
			e.Walls.Right = &schema.Deviation{Off: *in("1/2 in"), Over: *in("24 in")}
		}), false, "The plumb of the walls and the openings do not agree half way up, by "},
		{"too wide an opening", alterA(func(e *schema.ElevationSeen) { e.Opening.Bottom = in("81 in") }), false, "it comes too narrow by 1/2 in"},
		{"too narrow an opening", alterA(func(e *schema.ElevationSeen) { e.Opening.Bottom = in("71 in") }), false,
			"nothing is left for it: the cabinets are too wide for the opening by 1/2 in"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			c := cutsOf(t, twoFillers(tc.edit))
			if said := saysOf(c); !strings.Contains(said, tc.want) {
				t.Errorf("%q does not say %q", said, tc.want)
			}
			if tc.ready && !c.Ready() {
				t.Error("not ready")
			}
		})
	}
	exposed := twoFillers(func(r *schema.Record) { r.Planned.Rooms[0].Elevations[0].Right = "exposed" })
	if c := cutsOf(t, exposed); c != nil {
		t.Errorf("at an exposed end: %+v", c)
	}
}

// TestCutHeight: where the floor at the wall and the set height are known the
// panel is as high as from one to the other.
func TestCutHeight(t *testing.T) {
	rec := twoFillers(func(r *schema.Record) {
		alter(seen(r).Elevations, "A", func(e *schema.ElevationSeen) {
			e.Mark = in("10 in")
			e.Floor.Front = []schema.FloorReading{{0, *in("46 in")}, {*in("100 in"), *in("46 in")}}
		})
	})
	for _, f := range cutsOf(t, rec).Fillers {
		if f.AsBody || f.Height != *in("36 in") {
			t.Errorf("%+v", f)
		}
	}
}
