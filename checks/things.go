package checks

import (
	"strconv"

	"setline.example/checks/say"
	"setline.example/schema"
	"setline.example/schema/length"
)

// Thing is one kind of thing that a person can observe on a visit, said once:
// what it is of, the way to it in the record, its words and its boxes, what it
// is held against and where it stands on a sheet. Rules read through things
// ([thing.latest]) and ask by them ([asker.ask]); what no rule asks for is
// offered by all the same, so that nothing is read that cannot be written down.
type Thing struct {
	// Of is what it is seen of.
	Of Owner
	// Field leads to it in what a visit saw of its owner. Of a kind of which there
	// are several, each is one step on, its key.
	Field string
	// Stands says where it stands on a sheet.
	Stands Stand
	// All is what is said of all of an elevation where it is so of each, as the
	// record names it; "" where each is said by itself.
	All string

	only  string                               // the key of the one that it is, where others of the field are other things
	keys  func(whose) []string                 // which there are; nil for one, at Field
	words func(key string) say.Text            // what it is, as an item on a list
	short func(key string) say.Text            // which of several it is; nil where that is not needed
	kind  Kind                                 // of its value
	near  nearness                             // what its lengths are plausible beside; of every length it is said
	late  bool                                 // put there after a layout and asked for there, not offered
	boxes func(*asker, whose) []Blank          // where there is not just one of its kind
	limit func(*asker, whose, string) say.Text // what it is held against; nil for nothing
	there func(whose) bool                     // whether an owner has it; nil where every one has
	over  func(whose, string) length.Length    // what a level is laid along, as planned; nil where that is not known
}

// ID names the thing for machines, the same for ever: "cabinet/tops".
func (t *Thing) ID() string {
	if t.only != "" {
		return string(t.Of) + "/" + t.Field + "/" + t.only
	}
	return string(t.Of) + "/" + t.Field
}

// Owner is what a thing is seen of.
type Owner string

// The owners of things.
const (
	OfVisit      Owner = "visit"
	OfInstrument Owner = "instrument"
	OfSite       Owner = "site"
	OfRoom       Owner = "room"
	OfElevation  Owner = "elevation"
	OfCabinet    Owner = "cabinet"
	OfFiller     Owner = "filler"
	OfJoint      Owner = "joint"
)

// Stand is where a thing stands on a sheet.
type Stand int

// Where things stand on a sheet.
const (
	InRow       Stand = iota // in a row with others, label above
	InTitle                  // beside the name of its owner
	AtCorner                 // where the corner is in plan
	UnderCorner              // likewise, in a second line
	AmongFronts              // in the table of doors and drawers
	OnOwnLine                // on a line of its own
	AsLine                   // as a line of places and readings, as many as one likes
	AsRemark                 // last, to write on
)

// thing is a thing and how it is read: as a T, of an S, which is what a visit
// saw of its owner. Where a visit did not look at it read gives nil.
type thing[S, T any] struct {
	*Thing
	read func(seen *S, key string) *T
}

// observable is a thing with the way to read it, or a thing that no rule reads.
type observable interface {
	what() *Thing
	// lengths gives those in what a visit saw of its owner.
	lengths(seen any, x *read, yield func(*read))
}

func (t *Thing) what() *Thing { return t }

// lengths gives none: what no rule reads are words.
func (t *Thing) lengths(any, *read, func(*read)) {}

// latest returns the last that was observed of a thing; key is "" where it has none.
func (t thing[S, T]) latest(sightings *sightings[S], key string) observed[T] {
	if len(sightings.all) <= few { // as most often
		for i := len(sightings.all) - 1; i >= 0; i-- {
			s := &sightings.all[i]
			if v := t.read(s.seen, key); v != nil {
				return t.observedIn(s, v, key)
			}
		}
		return observed[T]{when: -1, visit: -1}
	}
	var value *T
	i := sightings.last(sought{t.Thing, key}, func(s *sighting[S]) bool {
		value = t.read(s.seen, key)
		return value != nil
	})
	if i < 0 {
		return observed[T]{when: -1, visit: -1}
	}
	s := &sightings.all[i]
	if value == nil {
		value = t.read(s.seen, key) // it was found before
	}
	return t.observedIn(s, value, key)
}

func (t thing[S, T]) observedIn(s *sighting[S], value *T, key string) observed[T] {
	return observed[T]{true, *value, s.when, s.visit, s.origin(t.Field, key)}
}

// one reads what has no key.
//
//go:noinline
func one[S, T any](get func(*S) *T) func(*S, string) *T {
	return func(s *S, _ string) *T { return get(s) }
}

// written reads a text; an empty one says nothing.
func written[T ~string](text *T) *T {
	if *text == "" {
		return nil
	}
	return text
}

// some reads a list; where there is none nobody looked.
func some[T any](list *[]T) *[]T {
	if *list == nil {
		return nil
	}
	return list
}

// member reads a member of an object.
func member[T any](of map[string]T, key string) *T {
	if v, ok := of[key]; ok {
		return &v
	}
	return nil
}

// whose is what a thing is of: a room, or an elevation and of it a unit or a
// joint where it is of one.
type whose struct {
	r *room
	e *elevation
	u *unit
	j *joint
}

// things are all that can be observed of rooms, in the order in which what no
// rule asks for is offered.
func things() []observable {
	return []observable{
		theMark, theMarkPlace, theFloor, theOpening, theWalls,
		theInstructions, theServices, theAnchored, theAnchorDrawing,
		theTopsReleased, theReleasedBy, theReleasedRuns,
		theUndamaged, theLooseParts, theClean, theProtected, theClosingRemark,
		theFrontStep, theGapWidth, theJointScrews, theTopStep, theGapLength, theJointRemark,
		theCabinetLabel, theTops, theBearing, theLevel, thePlumb, theExtension, thePacking,
		theFrontsStep, theAlignment, theWorking, theDrawerIn, theCabinetInSight, theCabinetWhere, theCabinetRemark,
		theFillerLabel, theSetFirst, theSideStep, theFillerTopStep, theHeldFrom, theTopOn, theComesOff,
		theCut, theFillerScrews, theFillerInSight, theFillerWhere, theFillerRemark,
		theHandedTo, theHandedOn, theWarrantyFrom, thePapers, theSpareParts, theRoomRemark,
	}
}

// What is seen of the site and with which instruments.
var (
	theSiteState = &Thing{
		Of: OfSite, Field: "site", kind: YesNo, limit: says("yes"), keys: these("slab_cured", "closed_in", "floor_finish_known"),
		words: named(map[string]say.Words{"slab_cured": "slab cured", "closed_in": "building closed in", "floor_finish_known": "floor finish known"}),
	}
	theSiteRemark    = &Thing{Of: OfSite, Field: "site", kind: Words, Stands: AsRemark, only: "remark", words: called("remark on the site")}
	theRoomRemark    = &Thing{Of: OfRoom, Field: "remarks", kind: Words, Stands: AsRemark, keys: these("0"), words: called("remark on the room")}
	theInstrumentUse = &Thing{Of: OfInstrument, Field: "instruments", kind: Used, words: func(name string) say.Text { return say.Name(name).Text() }}
	theTwoPeg        = &Thing{Of: OfInstrument, Field: "two_peg", kind: LengthKind, words: func(name string) say.Text { return say.That("two-peg test of %[1]s", say.Name(name)) }}
)

// What is read along an elevation.
var (
	theMark = thing[schema.ElevationSeen, length.Length]{
		&Thing{Of: OfElevation, Field: "mark", kind: LengthKind, near: nearTops, words: called("set-height mark"), there: standsOnFloor},
		one(func(s *schema.ElevationSeen) *length.Length { return s.Mark }),
	}
	theMarkPlace = thing[schema.ElevationSeen, length.Length]{
		&Thing{Of: OfElevation, Field: "mark_at", kind: LengthKind, near: nearEnds, words: called("set-height mark, from the left end"), there: standsOnFloor},
		one(func(s *schema.ElevationSeen) *length.Length { return s.MarkAt }),
	}
	theFloor = thing[schema.ElevationSeen, []schema.FloorReading]{
		&Thing{
			Of: OfElevation, Field: "floor", kind: LengthKind, near: nearFloor, Stands: AsLine, keys: these("front", "back"), there: standsOnFloor,
			words: named(map[string]say.Words{"front": "floor along the front levelers", "back": "floor along the back levelers"}),
			boxes: func(_ *asker, w whose) []Blank { return floorBlanks(w.e, greatestStep) },
		},
		func(s *schema.ElevationSeen, key string) *[]schema.FloorReading {
			return some(floorLine(&s.Floor, key))
		},
	}
	theOpening = thing[schema.ElevationSeen, length.Length]{
		&Thing{
			Of: OfElevation, Field: "opening", kind: LengthKind, near: nearOpening, keys: these("bottom", "middle", "top"),
			words: named(map[string]say.Words{"bottom": "clear opening at the floor", "middle": "clear opening half way up", "top": "clear opening at the tops"}),
			there: func(w whose) bool { return w.e.closes() },
			limit: func(_ *asker, w whose, _ string) say.Text {
				return say.That("fillers come %[1]s wide with scribe", w.e.closure().available)
			},
		},
		func(s *schema.ElevationSeen, key string) *length.Length {
			switch key {
			case "bottom":
				return s.Opening.Bottom
			case "middle":
				return s.Opening.Middle
			}
			return s.Opening.Top
		},
	}
	theWalls = thing[schema.ElevationSeen, schema.Deviation]{
		&Thing{
			Of: OfElevation, Field: "walls", kind: LengthKind, near: nearNothing, keys: these("left", "right"), boxes: deviationBlanks,
			words: named(map[string]say.Words{"left": "wall at the left, plus leans away", "right": "wall at the right, plus leans away"}),
			there: func(w whose) bool { return w.e.closes() && w.e.hasFillers() },
		},
		func(s *schema.ElevationSeen, key string) *schema.Deviation {
			if key == "left" {
				return s.Walls.Left
			}
			return s.Walls.Right
		},
	}
)

// What is seen of a joint.
var (
	theFrontStep = thing[schema.JointSeen, length.Length]{
		&Thing{Of: OfJoint, Field: "front_offset", kind: LengthKind, near: nearNothing, words: called("offset of the fronts"), limit: ofRule},
		one(func(s *schema.JointSeen) *length.Length { return s.FrontOffset }),
	}
	theTopStep = thing[schema.JointSeen, length.Length]{
		&Thing{Of: OfJoint, Field: "top_offset", kind: LengthKind, near: nearNothing, words: called("offset of the tops"), limit: ofRule},
		one(func(s *schema.JointSeen) *length.Length { return s.TopOffset }),
	}
	theGapWidth = thing[schema.JointSeen, length.Length]{
		&Thing{Of: OfJoint, Field: "gap", kind: LengthKind, near: nearNoGap, words: called("widest gap"), limit: ofRule},
		one(func(s *schema.JointSeen) *length.Length { return s.Gap }),
	}
	theGapLength = thing[schema.JointSeen, length.Length]{
		&Thing{Of: OfJoint, Field: "gap_length", kind: LengthKind, near: nearJoint, words: called("it gapes over"), limit: func(a *asker, w whose, _ string) say.Text {
			all, known := w.j.length()
			if !known || a.rule == nil {
				return say.Text{}
			}
			return say.That("at most %[1]s", mulDiv(all, gapShare, 10))
		}},
		one(func(s *schema.JointSeen) *length.Length { return s.GapLength }),
	}
	theJointScrews = thing[schema.JointSeen, schema.Fastening]{
		&Thing{
			Of: OfJoint, Field: "fastened", All: saidFastened, Stands: OnOwnLine, keys: these("front", "upper_rear"), boxes: screwBlanks,
			words: named(map[string]say.Words{"front": "fastened at the front", "upper_rear": "fastened at the upper rear"}),
			short: named(map[string]say.Words{"front": "front", "upper_rear": "upper rear"}),
			there: func(w whose) bool { return w.j.cabinets() },
		},
		func(s *schema.JointSeen, key string) *schema.Fastening {
			if key == "front" {
				return s.Fastened.Front
			}
			return s.Fastened.UpperRear
		},
	}
	theJointRemark = &Thing{Of: OfJoint, Field: "remark", kind: Words, Stands: AsRemark, words: called("remark")}
)

// What is seen of a cabinet.
var (
	theCabinetLabel = thing[schema.CabinetSeen, schema.Label]{
		&Thing{Of: OfCabinet, Field: "label", All: saidLabels, kind: Words, Stands: InTitle, words: called("label"), boxes: labelBlanks, limit: labelWanted},
		one(func(s *schema.CabinetSeen) *schema.Label { return s.Label }),
	}
	theTops = thing[schema.CabinetSeen, length.Length]{
		&Thing{Of: OfCabinet, Field: "tops", kind: LengthKind, near: nearTops, Stands: AtCorner, keys: cornerKeys, words: atCorner(func(c say.Words) say.Text { return say.That("top, %[1]s", c) })},
		func(s *schema.CabinetSeen, key string) *length.Length { return lengthAt(&s.Tops, key) },
	}
	theBearing = thing[schema.CabinetSeen, bool]{
		&Thing{Of: OfCabinet, Field: "bearing", All: saidBearing, kind: YesNo, Stands: AtCorner, keys: cornerKeys, words: atCorner(func(c say.Words) say.Text { return say.That("leveler bears, %[1]s", c) }), limit: says("yes")},
		func(s *schema.CabinetSeen, key string) *bool { return answerAt(&s.Bearing, key) },
	}
	theLevel = thing[schema.CabinetSeen, schema.Deviation]{
		&Thing{Of: OfCabinet, Field: "level", kind: LengthKind, near: nearNothing, keys: sideKeys, boxes: deviationBlanks, over: sideLength, words: func(key string) say.Text { return say.That("level %[1]s", sideOf(key)) }},
		func(s *schema.CabinetSeen, key string) *schema.Deviation { return levelAt(&s.Level, key) },
	}
	thePlumb = thing[schema.CabinetSeen, schema.Deviation]{
		&Thing{Of: OfCabinet, Field: "plumb", kind: LengthKind, near: nearNothing, keys: these("front", "left", "right"), boxes: deviationBlanks, over: bodyHeight, limit: ofRule,
			words: named(map[string]say.Words{"front": "plumb, front", "left": "plumb, left side", "right": "plumb, right side"})},
		func(s *schema.CabinetSeen, key string) *schema.Deviation { return plumbAt(&s.Plumb, key) },
	}
	theExtension = thing[schema.CabinetSeen, length.Length]{
		&Thing{Of: OfCabinet, Field: "extension", kind: LengthKind, near: nearTravel, Stands: UnderCorner, keys: cornerKeys, words: atCorner(func(c say.Words) say.Text { return say.That("extension, %[1]s", c) }),
			limit: func(_ *asker, w whose, _ string) say.Text {
				return say.That("%[1]s to %[2]s", w.u.body.Leveler.Least, w.u.body.Leveler.Greatest)
			}},
		func(s *schema.CabinetSeen, key string) *length.Length { return lengthAt(&s.Extension, key) },
	}
	// thePacking is put under corners that are out of travel, and asked for there.
	thePacking = thing[schema.CabinetSeen, length.Length]{
		&Thing{Of: OfCabinet, Field: "packing", late: true, kind: LengthKind, near: nearNoPacking, keys: cornerKeys, words: atCorner(func(c say.Words) say.Text { return say.That("packing under it, %[1]s", c) })},
		func(s *schema.CabinetSeen, key string) *length.Length { return lengthAt(&s.Packing, key) },
	}
	theFrontsStep = thing[schema.CabinetSeen, length.Length]{
		&Thing{Of: OfCabinet, Field: "front_offset", kind: LengthKind, near: nearNothing, words: called("offset between fronts"), limit: ofRule,
			there: func(w whose) bool { return len(w.u.fronts) > 1 }},
		one(func(s *schema.CabinetSeen) *length.Length { return s.FrontOffset }),
	}
	theAlignment = thing[schema.CabinetSeen, length.Length]{
		&Thing{Of: OfCabinet, Field: "alignment", All: saidAlignment, kind: LengthKind, near: nearNothing, Stands: AmongFronts, keys: frontKeys, limit: ofRule,
			short: frontWords,
			words: func(front string) say.Text { return say.That("%[1]s out of line", frontWords(front)) }},
		func(s *schema.CabinetSeen, key string) *length.Length { return member(s.Alignment, key) },
	}
	theWorking = thing[schema.CabinetSeen, bool]{
		&Thing{Of: OfCabinet, Field: "works", All: saidWorks, kind: YesNo, Stands: AmongFronts, keys: frontKeys, limit: says("yes"),
			short: frontWords,
			words: func(front string) say.Text { return say.That("%[1]s works", frontWords(front)) }},
		func(s *schema.CabinetSeen, key string) *bool { return member(s.Works, key) },
	}
	theDrawerIn = thing[schema.CabinetSeen, string]{
		&Thing{Of: OfCabinet, Field: "drawers", All: saidDrawers, kind: Drawer, Stands: AmongFronts,
			keys: func(w whose) []string {
				all := make([]string, w.u.cabinet.Drawers())
				for i := range all {
					all[i] = strconv.Itoa(i + 1)
				}
				return all
			},
			words: func(slot string) say.Text { return say.That("drawer in slot %[1]s", say.Name(slot)) }, short: drawerWords,
			limit: func(_ *asker, _ whose, slot string) say.Text { return drawerWords(slot) }},
		func(s *schema.CabinetSeen, slot string) *string { return member(s.Drawers, slot) },
	}
	theCabinetInSight = inSightThing(OfCabinet, func(s *schema.CabinetSeen) *schema.InSight { return &s.InSight })
	theCabinetWhere   = whereThing(OfCabinet, func(s *schema.CabinetSeen) *schema.InSight { return &s.InSight })
	theCabinetRemark  = &Thing{Of: OfCabinet, Field: "remark", kind: Words, Stands: AsRemark, words: called("remark")}
)

// What is seen of a filler.
var (
	theFillerLabel = thing[schema.FillerSeen, schema.Label]{
		&Thing{Of: OfFiller, Field: "label", All: saidLabels, kind: Words, Stands: InTitle, words: called("label"), boxes: labelBlanks, limit: labelWanted},
		one(func(s *schema.FillerSeen) *schema.Label { return s.Label }),
	}
	theSetFirst = thing[schema.FillerSeen, bool]{
		&Thing{Of: OfFiller, Field: "set_first", kind: YesNo, words: called("set before the first cabinet"), limit: says("yes"),
			there: func(w whose) bool { return w.e.beginsWith(w.u) }},
		one(func(s *schema.FillerSeen) *bool { return s.SetFirst }),
	}
	theSideStep = thing[schema.FillerSeen, length.Length]{
		&Thing{Of: OfFiller, Field: "side_offset", kind: LengthKind, near: nearNothing, words: called("offset, side edge"), limit: ofRule},
		one(func(s *schema.FillerSeen) *length.Length { return s.SideOffset }),
	}
	theFillerTopStep = thing[schema.FillerSeen, length.Length]{
		&Thing{Of: OfFiller, Field: "top_offset", kind: LengthKind, near: nearNothing, words: called("offset, top edge"), limit: ofRule},
		one(func(s *schema.FillerSeen) *length.Length { return s.TopOffset }),
	}
	theHeldFrom = thing[schema.FillerSeen, []string]{
		&Thing{Of: OfFiller, Field: "held_from", All: saidHeld, words: called("held from"), limit: says("inside only"),
			boxes: func(*asker, whose) []Blank {
				return []Blank{{Kind: Several, Choices: []string{"inside", "face", "side", "top"}, Required: true}}
			}},
		one(func(s *schema.FillerSeen) *[]string { return some(&s.HeldFrom) }),
	}
	theTopOn = thing[schema.FillerSeen, bool]{
		&Thing{Of: OfFiller, Field: "top_on", All: saidTopOn, kind: YesNo, words: called("the top is on")},
		one(func(s *schema.FillerSeen) *bool { return s.TopOn }),
	}
	theComesOff = thing[schema.FillerSeen, bool]{
		&Thing{Of: OfFiller, Field: "comes_off", All: saidComesOff, kind: YesNo, words: called("comes off again"), limit: says("yes, once the top is on")},
		one(func(s *schema.FillerSeen) *bool { return s.ComesOff }),
	}
	theCut = thing[schema.FillerSeen, length.Length]{
		&Thing{Of: OfFiller, Field: "cut", kind: LengthKind, near: nearFiller, words: called("cut to")},
		one(func(s *schema.FillerSeen) *length.Length { return s.Cut }),
	}
	theFillerScrews = thing[schema.FillerSeen, schema.Fastening]{
		&Thing{Of: OfFiller, Field: "fastening", All: saidFastened, Stands: OnOwnLine, words: called("fastened"), short: called("Fastened"), boxes: screwBlanks},
		one(func(s *schema.FillerSeen) *schema.Fastening { return s.Fastening }),
	}
	theFillerInSight = inSightThing(OfFiller, func(s *schema.FillerSeen) *schema.InSight { return &s.InSight })
	theFillerWhere   = whereThing(OfFiller, func(s *schema.FillerSeen) *schema.InSight { return &s.InSight })
	theFillerRemark  = &Thing{Of: OfFiller, Field: "remark", kind: Words, Stands: AsRemark, words: called("remark")}
)

func inSightThing[S any](of Owner, in func(*S) *schema.InSight) thing[S, int] {
	return thing[S, int]{
		&Thing{Of: of, Field: "in_sight", All: saidInSight, kind: CountKind, limit: says("0"), keys: these("closed", "standing"),
			words: named(map[string]say.Words{"closed": "in sight, fronts closed", "standing": "in sight, standing"})},
		func(s *S, key string) *int {
			if key == "closed" {
				return in(s).Closed
			}
			return in(s).Standing
		},
	}
}

func whereThing[S any](of Owner, in func(*S) *schema.InSight) thing[S, string] {
	return thing[S, string]{
		&Thing{Of: of, Field: "in_sight", only: "where", kind: Words, words: called("fasteners in sight, where")},
		func(s *S, _ string) *string { return written(&in(s).Where) },
	}
}
