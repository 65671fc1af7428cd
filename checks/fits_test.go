package checks

import (
	"testing"

	"setline.example/schema"
)

// Of two door cabinets of different gauge nobody says from which one the screws
// of their joint were driven: the longer way counts, and the thicker steel,
// whichever of them stands at the left.
func TestScrewsBetweenTwoDoorCabinets(t *testing.T) {
	thick, _ := sheetThickness(12)
	thin, _ := sheetThickness(20)
	rail := *in("7/8 in")
	short, _ := leastScrew("#12", rail+thin)
	long, _ := leastScrew("#12", rail+thick)
	for _, tc := range []struct {
		name  string
		screw schema.Fastener
		want  Outcome
	}{
		{"long enough both ways", schema.Fastener{Size: "#12", Length: long, Point: "self-tapping"}, Pass},
		{"long enough one way", schema.Fastener{Size: "#12", Length: short, Point: "self-tapping"}, Fail},
		{"a point that drills it one way", schema.Fastener{Size: "#12", Length: long, Point: "self-drilling", PointNumber: 3}, Fail},
	} {
		for _, gauges := range [][2]int{{12, 20}, {20, 12}} {
			t.Run(tc.name, func(t *testing.T) {
				rec := fixture()
				rec.Planned.Cabinets["L"] = schema.Cabinet{Width: *in("24 in"), Body: schema.Body{Gauge: gauges[0]}, Front: []schema.FrontRow{{Doors: 1}}}
				rec.Planned.Cabinets["R"] = schema.Cabinet{Width: *in("24 in"), Body: schema.Body{Gauge: gauges[1]}, Front: []schema.FrontRow{{Doors: 1}}}
				units := rec.Planned.Rooms[0].Elevations[0].Units
				units[1].Part, units[2].Part = "L", "R"
				rec.Planned.Fasteners["rail"] = tc.screw
				rec.Measured.Visits[0].Rooms["R1"] = schema.RoomSeen{Joints: map[string]schema.JointSeen{"C1+C2": {Fastened: schema.FastenedSeen{
					Front:     &schema.Fastening{Fastener: "rail", Count: 2, Through: "vacated hinge hole", TipShows: new(bool)},
					UpperRear: &schema.Fastening{Fastener: "short", Count: 2, Through: "side", TipShows: new(bool)},
				}}}}
				if r := result(t, judge(t, rec), "fastener fits", "C1+C2"); r.Outcome != tc.want {
					t.Errorf("gauges %v: %s, want %s: %s", gauges, r.Outcome, tc.want, r.Finding.String())
				}
			})
		}
	}
}
