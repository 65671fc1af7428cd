package checks

import (
	"encoding/json"
	"reflect"
	"slices"
	"strings"
	"testing"

	"setline.example/schema"
	"setline.example/schema/length"
)

// readWhereItStands writes a value where the record holds a thing, key by key,
// and holds what is read against it: that value there, and nothing elsewhere.
func readWhereItStands[S, T any](t *testing.T, x thing[S, T], w whose, value T) {
	t.Helper()
	keys := x.keysOf(w)
	if len(keys) == 0 {
		t.Errorf("%s: its owner has none", x.ID())
	}
	for _, key := range keys {
		tree := any(value)
		if key != "" {
			tree = map[string]any{key: tree}
		}
		text, err := json.Marshal(map[string]any{x.Field: tree})
		if err != nil {
			t.Fatal(err)
		}
		seen := new(S)
		if err := json.Unmarshal(text, seen); err != nil {
			t.Fatalf("%s: %v", x.ID(), err)
		}
		if got := x.read(seen, key); got == nil || !reflect.DeepEqual(*got, value) {
			t.Errorf("%s %s: %v, want %v", x.ID(), key, got, value)
		}
		for _, other := range keys {
			if other != key && x.read(seen, other) != nil {
				t.Errorf("%s: %s is read where %s stands", x.ID(), other, key)
			}
		}
		if x.read(new(S), key) != nil {
			t.Errorf("%s %s: read where nothing stands", x.ID(), key)
		}
	}
}

// TestThingsAreReadWhereTheyStand: the way to a thing and how it is read agree.
func TestThingsAreReadWhereTheyStand(t *testing.T) {
	rec := fixture()
	rec.Planned.Rooms[0].Elevations[0].Left, rec.Planned.Rooms[0].Elevations[0].Right = "wall", "wall"
	e := newFacts(rec, nil).rooms[0].elevations[0]
	along, filler, cabinet, between := whose{e: e}, whose{e: e, u: e.units[0]}, whose{e: e, u: e.units[1]}, whose{e: e, j: e.joints[2]}
	long, off := *in("3/4 in"), schema.Deviation{Off: 1, Over: 2}
	label, screws := schema.Label{Part: "BD24"}, schema.Fastening{Fastener: "short", Count: 2}

	readWhereItStands(t, theMark, along, long)
	readWhereItStands(t, theMarkPlace, along, long)
	readWhereItStands(t, theFloor, along, []schema.FloorReading{{1, 2}})
	readWhereItStands(t, theOpening, along, long)
	for _, x := range []thing[schema.JointSeen, length.Length]{theFrontStep, theTopStep, theGapWidth, theGapLength} {
		readWhereItStands(t, x, between, long)
	}
	readWhereItStands(t, theJointScrews, between, screws)
	for _, x := range []thing[schema.CabinetSeen, length.Length]{theTops, theExtension, thePacking, theFrontsStep, theAlignment} {
		readWhereItStands(t, x, cabinet, long)
	}
	readWhereItStands(t, theLevel, cabinet, off)
	readWhereItStands(t, thePlumb, cabinet, off)
	readWhereItStands(t, theBearing, cabinet, true)
	readWhereItStands(t, theWorking, cabinet, true)
	readWhereItStands(t, theCabinetLabel, cabinet, label)
	readWhereItStands(t, theDrawerIn, cabinet, "2")
	readWhereItStands(t, theCabinetInSight, cabinet, 3)
	readWhereItStands(t, theCabinetWhere, cabinet, "below")
	for _, x := range []thing[schema.FillerSeen, length.Length]{theSideStep, theFillerTopStep, theCut} {
		readWhereItStands(t, x, filler, long)
	}
	readWhereItStands(t, theTopOn, filler, true)
	readWhereItStands(t, theComesOff, filler, true)
	readWhereItStands(t, theHeldFrom, filler, []string{"inside"})
	readWhereItStands(t, theFillerLabel, filler, label)
	readWhereItStands(t, theFillerScrews, filler, screws)
	readWhereItStands(t, theFillerInSight, filler, 3)
	readWhereItStands(t, theFillerWhere, filler, "below")
	e.plan.Left = "exposed"
	readWhereItStands(t, theSetFirst, filler, true)
}

// TestEverythingIsOffered: whatever the record can hold of what was seen is a
// thing that sheets offer, but what this test names; and things have ids of
// their own.
func TestEverythingIsOffered(t *testing.T) {
	without := []string{
		"elevation/laser",                                                 // accepted and ignored
		"elevation/reference",                                             // of a visit with several lines, which a sheet has not
		"elevation/all",                                                   // says what things of units and joints say
		"cabinet/packing",                                                 // put there after a layout, not looked for
		"room/elevations", "room/joints", "room/cabinets", "room/fillers", // owners of their own
		"room/photos", // taken, and attached to what they are of
	}
	offered := map[string]int{}
	for _, o := range things() {
		x := o.what()
		if x.late {
			continue
		}
		offered[x.ID()]++
		if x.only != "" && (x.Of == OfElevation || x.Of == OfRoom) {
			offered[string(x.Of)+"/"+x.Field] = 1
		}
	}
	for _, of := range []struct {
		owner Owner
		seen  any
	}{
		{OfElevation, schema.ElevationSeen{}}, {OfJoint, schema.JointSeen{}}, {OfCabinet, schema.CabinetSeen{}}, {OfFiller, schema.FillerSeen{}}, {OfRoom, schema.RoomSeen{}},
	} {
		for _, f := range reflect.VisibleFields(reflect.TypeOf(of.seen)) {
			name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
			id := string(of.owner) + "/" + name
			if slices.Contains(without, id) == (offered[id] > 0) {
				t.Errorf("%s: offered %d times", id, offered[id])
			}
		}
	}
	for id, n := range offered {
		if n > 1 {
			t.Errorf("%s: %d things", id, n)
		}
	}
}
