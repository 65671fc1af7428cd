package checks

import (
	"slices"
	"strings"
	"testing"

	"setline.example/schema"
	"setline.example/schema/length"
)

// shallow plans cabinets of the fixture as so deep; the others are 22 in deep.
func shallow(rec *schema.Record, depth string, tags ...string) {
	part := "SH" + depth
	c := rec.Planned.Cabinets["BD24"]
	c.Depth = in(depth)
	rec.Planned.Cabinets[part] = c
	for i := range rec.Planned.Rooms[0].Elevations[0].Units {
		u := &rec.Planned.Rooms[0].Elevations[0].Units[i]
		for _, tag := range tags {
			if u.Tag == tag {
				u.Part = part
			}
		}
	}
}

// TestFloorUnderAShallowBack: the floor is level along both lines and lower at the
// back by 3/4 in; worked by hand, under the back of a cabinet 11 in deep beside one
// of 22 in, whose fronts are flush, it is lower by 3/8 in. A leveler that is out by
// 1/2 in in front is out by 7/8 in there.
func TestFloorUnderAShallowBack(t *testing.T) {
	build := func(edit func(*schema.Record)) *schema.Record {
		rec := fixture()
		shallow(rec, "11 in", "C2")
		room := seen(rec)
		alter(room.Elevations, "A", func(e *schema.ElevationSeen) {
			for i := range e.Floor.Back {
				e.Floor.Back[i][1] += *in("3/4 in")
			}
		})
		for tag, back := range map[string]string{"C1": "1 1/4 in", "C2": "7/8 in", "C3": "1 1/4 in"} {
			alter(room.Cabinets, tag, func(c *schema.CabinetSeen) { c.Extension.BL, c.Extension.BR = in(back), in(back) })
		}
		if edit != nil {
			edit(rec)
		}
		return rec
	}
	leveler := func(greatest length.Length) func(*schema.Record) {
		return func(rec *schema.Record) {
			c := rec.Planned.Cabinets["SH11 in"]
			c.Leveler = &schema.Leveler{Least: *in("1/2 in"), Greatest: greatest, ThreadsPerInch: 16, Reserve: in("0 in")}
			rec.Planned.Cabinets["SH11 in"] = c
		}
	}
	for _, tc := range []struct {
		name       string
		edit       func(*schema.Record)
		rule, item string
		want       Outcome
	}{
		{"as it stands", nil, "extension agrees", "C2", Pass},
		{"as none could stand, be the floor where it may between the lines", func(rec *schema.Record) {
			alter(seen(rec).Cabinets, "C2", func(c *schema.CabinetSeen) { c.Extension.BL = in("1 1/2 in") })
		}, "extension agrees", "C2", Fail},
		{"within its travel", leveler(*in("7/8 in")), "floor within travel", "elevation A", Pass},
		{"beyond it", leveler(*in("7/8 in") - 1), "floor within travel", "elevation A", Fail},
		{"back line not read so far", func(rec *schema.Record) {
			alter(seen(rec).Elevations, "A", func(e *schema.ElevationSeen) { e.Floor.Back = e.Floor.Back[:2] })
		}, "floor within travel", "elevation A", NotObserved},
	} {
		found := judge(t, build(tc.edit))
		if r := result(t, found, tc.rule, tc.item); r.Outcome != tc.want {
			t.Errorf("%s: %s: %s %q", tc.name, tc.rule, r.Outcome, r.Finding.String())
		}
	}
	rec, src := source(t, build(nil))
	asks, err := runAsks(rec, src)
	if err != nil || !slices.ContainsFunc(asks, func(a Ask) bool { return strings.HasSuffix(a.Limit.String(), "22 in behind the fronts") }) {
		t.Errorf("no sheet says where the back line is: %v", err)
	}
	packed := build(func(rec *schema.Record) {
		alter(seen(rec).Cabinets, "C2", func(c *schema.CabinetSeen) {
			c.Packing.BL = in("1/4 in") // what was read beside it is the floor all the same
			c.Extension.BL = in("5/8 in")
		})
	})
	if r := result(t, judge(t, packed), "extension agrees", "C2"); r.Outcome != Pass {
		t.Errorf("packed: %s %q", r.Outcome, r.Finding.String())
	}
}

// TestDepthOfOthers: what is said of the tops of a run is what would be said with no
// deeper cabinet beyond a space, and the same for every depth there.
func TestDepthOfOthers(t *testing.T) {
	build := func(depth string) *Findings {
		rec := fixture()
		e := &rec.Planned.Rooms[0].Elevations[0]
		e.Units[3].SpaceBefore = in("4 in")
		e.Tops = []schema.Top{{From: "C1", To: "C2", Overhang: in("30 in")}, {From: "C3", To: "C3"}}
		delete(seen(rec).Joints, "C2+C3")
		shallow(rec, depth, "C3")
		alter(seen(rec).Cabinets, "C1", func(c *schema.CabinetSeen) { c.Tops.BR = in("9 17/32 in") })
		alter(seen(rec).Cabinets, "C2", func(c *schema.CabinetSeen) { c.Tops.FL = in("9 15/32 in") })
		return judge(t, rec)
	}
	of := func(found *Findings) string {
		var all strings.Builder
		for _, r := range found.Results {
			if r.Rule.Family == Setting && r.Rule != extensionAgrees && !strings.Contains(r.Subject.Item, "C3") {
				all.WriteString(r.Subject.Item + " " + r.Rule.Name + " " + string(r.Outcome) + " " + r.Finding.String() + "\n")
			}
		}
		return all.String()
	}
	want := of(build("22 in"))
	if !strings.Contains(want, "36 in from the left end") && !strings.Contains(want, "from the back") {
		t.Errorf("the top tips at no place that is told:\n%s", want)
	}
	for _, depth := range []string{"10 in", "36 in", "30 in"} {
		if got := of(build(depth)); got != want {
			t.Errorf("beside a cabinet %s deep:\n%s\nwant\n%s", depth, got, want)
		}
	}
}
