package schema

import (
	"encoding/json"

	"setline.example/schema/length"
)

// Measured is what was measured and seen, visit by visit.
type Measured struct {
	// Visits in time order. A later visit supersedes an earlier one item by item; what it does not mention stays as it was.
	Visits []Visit `json:"visits,omitempty" jsonschema:"maxItems=1000"`
}

// Visit is one occasion on which named people measured and looked, with named instruments.
type Visit struct {
	// Date of the visit, as YYYY-MM-DD.
	Date Date `json:"date"`
	// What the visit was for: "setting", "first inspection", "re-inspection".
	Purpose string `json:"purpose,omitempty" jsonschema:"maxLength=120"`
	// Who measured and looked.
	People []Party `json:"people" jsonschema:"minItems=1"`
	// Instruments used, by their name under "planned", with their last check.
	Instruments map[string]InstrumentUse `json:"instruments,omitempty"`
	// State of the building on that day.
	Site *Site `json:"site,omitempty"`
	// What was observed, by room.
	Rooms map[string]RoomSeen `json:"rooms"`
	// Its place in the order in which packing lists, counts, visits and corrections were entered into the record, from 1. Faults are numbered by the entry that first showed them.
	Entered int `json:"entered,omitzero" jsonschema:"minimum=1,maximum=1000000"`
	// That the visit as a whole does not count: it was of another room, or made up. What it says stays here and is never told as a fault that was there.
	Withdrawn *Withdrawn `json:"withdrawn,omitempty"`
	// Withdrawals of the visit that were undone since, so that it counts again.
	Undone []Undone `json:"undone,omitempty" jsonschema:"maxItems=100"`
	// What of the visit was written wrong first, and corrected since. The visit holds the right values; here stands what was there before.
	Corrections []Correction `json:"corrections,omitempty" jsonschema:"maxItems=10000"`
	// What was observed of what the plan has no more, or has otherwise now, by room. It is kept as history, counts for nothing, and is not held against the plan.
	Former map[string]RoomSeen `json:"former,omitempty"`
}

// Withdrawn says who took a visit back, when and why.
type Withdrawn struct {
	// Who took it back.
	By Party `json:"by"`
	// Date on which it was taken back, as YYYY-MM-DD.
	Date Date `json:"date"`
	// Why.
	Reason string `json:"reason" jsonschema:"minLength=1,maxLength=2000"`
	// Its place in the order in which packing lists, counts, visits and what was said of them later were entered into the record, from 1.
	Entered int `json:"entered,omitzero" jsonschema:"minimum=1,maximum=1000000"`
}

// Undone says who undid the withdrawal of a visit, when and why.
type Undone struct {
	// The withdrawal as it was.
	Withdrawn Withdrawn `json:"withdrawn"`
	// Who undid it.
	By Party `json:"by"`
	// Date on which it was undone, as YYYY-MM-DD.
	Date Date `json:"date"`
	// Why.
	Reason string `json:"reason" jsonschema:"minLength=1,maxLength=2000"`
	// Its place in the order in which packing lists, counts, visits and what was said of them later were entered into the record, from 1.
	Entered int `json:"entered,omitzero" jsonschema:"minimum=1,maximum=1000000"`
}

// Correction is a value of a visit that was written wrong first.
type Correction struct {
	// JSON Pointer (RFC 6901) to the value within the visit: "/rooms/S-104/cabinets/A3/tops/FL". Where nothing stands there now the value was taken out.
	At string `json:"at" jsonschema:"minLength=1,maxLength=1000,pattern=^/"`
	// What stood there before, as it was written. Without this nothing stood there.
	Was json.RawMessage `json:"was,omitempty"`
	// Who corrected it.
	By Party `json:"by"`
	// Date of the correction, as YYYY-MM-DD.
	Date Date `json:"date"`
	// Why.
	Reason string `json:"reason" jsonschema:"minLength=1,maxLength=2000"`
	// Its place in the order in which packing lists, counts, visits and corrections were entered into the record, from 1.
	Entered int `json:"entered,omitzero" jsonschema:"minimum=1,maximum=1000000"`
}

// InstrumentUse is an instrument taken on a visit and how it was last checked.
type InstrumentUse struct {
	// Date of its last check before use, as YYYY-MM-DD.
	Checked Date `json:"checked,omitempty"`
	// Whether it was dropped, or knocked hard, since that check.
	Dropped *bool `json:"dropped,omitempty"`
	// Readings of a two-peg test, from which its error is computed.
	TwoPeg *TwoPeg `json:"two_peg,omitempty"`
}

// TwoPeg holds the readings of a two-peg test on marks A and B.
type TwoPeg struct {
	// Readings on A and on B from midway between them, lengths.
	Midway [2]length.Length `json:"midway"`
	// Readings on A and on B from the second set-up, lengths.
	Unequal [2]length.Length `json:"unequal"`
	// Distances from the second set-up to A and to B, lengths.
	Distances [2]length.Length `json:"distances"`
}

// Site is the state of the building.
type Site struct {
	// Whether the floor slab has cured.
	SlabCured *bool `json:"slab_cured,omitempty"`
	// Whether the building is closed in, with its heating and cooling at work.
	ClosedIn *bool `json:"closed_in,omitempty"`
	// Whether the floor finish and its thickness are known.
	FloorFinishKnown *bool `json:"floor_finish_known,omitempty"`
	// Anything worth saying.
	Remark string `json:"remark,omitempty" jsonschema:"maxLength=2000"`
}

// RoomSeen is what was observed in one room.
type RoomSeen struct {
	// Floor, opening and reference line, by elevation.
	Elevations map[string]ElevationSeen `json:"elevations,omitempty"`
	// Cabinets, by tag.
	Cabinets map[string]CabinetSeen `json:"cabinets,omitempty"`
	// Joints, by the tags of the left and the right unit with "+" between: "A3+A4".
	Joints map[string]JointSeen `json:"joints,omitempty"`
	// Fillers, by tag.
	Fillers map[string]FillerSeen `json:"fillers,omitempty"`
	// That the room was handed over.
	Handover HandoverSeen `json:"handover,omitzero"`
	// Photographs taken.
	Photos []Photo `json:"photos,omitempty"`
	// Anything worth saying of the room.
	Remarks []string `json:"remarks,omitempty"`
}

// HandoverSeen says that a room was handed over.
type HandoverSeen struct {
	// To whom: name and firm.
	To string `json:"to,omitempty" jsonschema:"maxLength=250"`
	// On what day, as YYYY-MM-DD. Without this it was the day of the visit.
	On Date `json:"on,omitempty"`
	// Day on which the warranty starts, as YYYY-MM-DD.
	WarrantyFrom Date `json:"warranty_from,omitempty"`
	// Whether the papers were received: instructions for use and care, warranty, record documents.
	Papers *bool `json:"papers,omitempty"`
	// Whether the spare parts and keys that go with the room were received.
	SpareParts *bool `json:"spare_parts,omitempty"`
}

// ElevationSeen is what was measured along one elevation. All readings of a
// visit along an elevation are down from the same reference line.
type ElevationSeen struct {
	// Where the laser stood. Accepted and ignored: where it stood does not help to know how level its line is.
	Laser *Station `json:"laser,omitempty" jsonschema_extras:"deprecated=true"`
	// Name of the reference line that the readings are from, where a visit has several: elevations of the room with the same name have the same line on that visit.
	Reference string `json:"reference,omitempty" jsonschema:"minLength=1,maxLength=60"`
	// Where the set-height mark is, from the left end of the elevation, a length.
	MarkAt *length.Length `json:"mark_at,omitempty"`
	// Reading from the reference line down to the set-height mark on the wall, a length. It ties visits with different reference lines together.
	Mark *length.Length `json:"mark,omitempty"`
	// Floor readings. Those of several visits are merged where a mark ties their reference lines.
	Floor FloorSeen `json:"floor,omitzero"`
	// Clear opening as measured.
	Opening OpeningSeen `json:"opening,omitzero"`
	// How the walls at its two ends lean, for cutting fillers to them.
	Walls WallsSeen `json:"walls,omitzero"`
	// What closes the elevation out, seen by looking.
	Closing ClosingSeen `json:"closing,omitzero"`
	// What was said of all units or joints of the elevation at once. It is an observation of each of them, by the people of the visit; what is said of one by itself goes before it.
	All []SaidOfAll `json:"all,omitempty" jsonschema:"maxItems=100"`
}

// ClosingSeen is what closes an elevation out, seen by looking. What is not so is described in a remark.
type ClosingSeen struct {
	// Which revision of the cabinet maker's instructions was on site and followed.
	Instructions string `json:"instructions,omitempty" jsonschema:"maxLength=200"`
	// Whether the rough-in behind the run is complete and clear.
	ServicesClear *bool `json:"services_clear,omitempty"`
	// The drawing by which it is anchored.
	AnchorDrawing string `json:"anchor_drawing,omitempty" jsonschema:"maxLength=200"`
	// Whether blocking and anchors were seen as that drawing has them.
	Anchored *bool `json:"anchored,omitempty"`
	// Whether what stands here was released for its top: the hold point after which levelers, drawers and screws above can no longer be reached.
	TopsReleased *bool `json:"tops_released,omitempty"`
	// Who said so. Without this it was the people of the visit.
	ReleasedBy string `json:"released_by,omitempty" jsonschema:"maxLength=120"`
	// Of which runs it was said, each by the tag of one of its units. Without this it was of all that stands along the elevation.
	ReleasedRuns []string `json:"released_runs,omitempty" jsonschema:"maxItems=20000"`
	// Whether there is no damage left: nicks, scratches and dents touched up or replaced.
	Undamaged *bool `json:"undamaged,omitempty"`
	// Whether the loose parts are there: shelves, locks and keys, pulls, bumpers, base or toe closure, exposed backs.
	LooseParts *bool `json:"loose_parts,omitempty"`
	// Whether it is clean: chips and filings out, films and residue off.
	Clean *bool `json:"clean,omitempty"`
	// Whether what is finished is protected until it is handed over.
	Protected *bool `json:"protected,omitempty"`
	// What is not so, and where.
	Remark string `json:"remark,omitempty" jsonschema:"maxLength=2000"`
}

// SaidOfAll is an answer that holds for every unit or joint of an elevation but those excepted.
type SaidOfAll struct {
	// What is said: "labels": each label is as drawn and listed; "bearing": all levelers bear; "fastened": joints and fillers are fastened as planned; "in_sight": no fastener is in sight; "held_from": fillers are held from inside only; "top_on": the top is on over every filler; "comes_off": fillers come off again; "alignment": fronts are in line within the limit; "works": doors and drawers work; "drawers": drawers are in their home slots; "closing": what closes the elevation out is so, as far as it is answered by yes.
	Of string `json:"of" jsonschema:"enum=labels,enum=bearing,enum=fastened,enum=in_sight,enum=held_from,enum=top_on,enum=comes_off,enum=alignment,enum=works,enum=drawers,enum=closing"`
	// That it is so of all; what is not so is excepted, and said by itself.
	Answer bool `json:"answer"`
	// Tags of the units, and names of the joints, of which it is not said; of "closing" the names of what it is not said of: "services_clear", "anchored", "tops_released", "undamaged", "loose_parts", "clean", "protected".
	Except []string `json:"except,omitempty" jsonschema:"maxItems=20000"`
}

// SaidOfClosing is what a visit says where it says that what closes an elevation
// out is so.
const SaidOfClosing = "closing"

// ClosesOut names what that says, as [ClosingSeen] does, in the order of the work.
func ClosesOut() []string {
	return []string{"services_clear", "anchored", "tops_released", "undamaged", "loose_parts", "clean", "protected"}
}

// Station is where the laser stood.
type Station struct {
	// Distance along the elevation from its left end, a length.
	Along length.Length `json:"along"`
	// Distance out from the wall, a length.
	Out length.Length `json:"out"`
}

// FloorSeen is the floor along the front and the back line of the levelers.
type FloorSeen struct {
	// Along the front levelers, left to right: pairs of distance from the left end of the elevation, and reading from the reference line down to the floor, lengths.
	Front []FloorReading `json:"front,omitempty"`
	// Along the back levelers of the deepest cabinets, as in front. Fronts are flush: under the back of a shallower cabinet the floor is on the straight line from front to back.
	Back []FloorReading `json:"back,omitempty"`
}

// FloorReading is a pair: distance from the left end of the elevation, and
// reading from the reference line down to the floor.
type FloorReading [2]length.Length

// At is the distance from the left end of the elevation.
func (r FloorReading) At() length.Length { return r[0] }

// Down is the reading from the reference line down to the floor; larger is lower.
func (r FloorReading) Down() length.Length { return r[1] }

// OpeningSeen is the clear opening measured at three heights.
type OpeningSeen struct {
	// At the floor, a length.
	Bottom *length.Length `json:"bottom,omitempty"`
	// Half way up the cabinets, a length.
	Middle *length.Length `json:"middle,omitempty"`
	// At the tops of the cabinets, a length.
	Top *length.Length `json:"top,omitempty"`
}

// WallsSeen is how the walls at the two ends of an elevation lean, read on the
// wall with a level from the floor up.
type WallsSeen struct {
	// At the left end; plus where the wall leans away from the cabinets, so that the opening grows upwards.
	Left *Deviation `json:"left,omitempty"`
	// At the right end, likewise plus where it leans away.
	Right *Deviation `json:"right,omitempty"`
}

// CornerLengths holds a length for each corner of a cabinet.
type CornerLengths struct {
	// Front-left, a length.
	FL *length.Length `json:"FL,omitempty"`
	// Front-right, a length.
	FR *length.Length `json:"FR,omitempty"`
	// Back-left, a length.
	BL *length.Length `json:"BL,omitempty"`
	// Back-right, a length.
	BR *length.Length `json:"BR,omitempty"`
}

// CornerAnswers holds a yes (true) or no (false) for each corner of a cabinet.
type CornerAnswers struct {
	// Front-left.
	FL *bool `json:"FL,omitempty"`
	// Front-right.
	FR *bool `json:"FR,omitempty"`
	// Back-left.
	BL *bool `json:"BL,omitempty"`
	// Back-right.
	BR *bool `json:"BR,omitempty"`
}

// LevelSeen holds level readings by the line they were taken along.
type LevelSeen struct {
	// Along the front edge.
	Front *Deviation `json:"front,omitempty"`
	// Along the back edge.
	Back *Deviation `json:"back,omitempty"`
	// Along the left side, front to back.
	Left *Deviation `json:"left,omitempty"`
	// Along the right side, front to back.
	Right *Deviation `json:"right,omitempty"`
	// From the front-left to the back-right corner.
	FLBR *Deviation `json:"FL-BR,omitempty"`
	// From the front-right to the back-left corner.
	FRBL *Deviation `json:"FR-BL,omitempty"`
}

// PlumbSeen holds plumb readings by the face they were taken on.
type PlumbSeen struct {
	// On the front.
	Front *Deviation `json:"front,omitempty"`
	// On the left side.
	Left *Deviation `json:"left,omitempty"`
	// On the right side.
	Right *Deviation `json:"right,omitempty"`
}

// Deviation is how far something is out of level or plumb over a distance.
type Deviation struct {
	// How far out, a length.
	Off length.Length `json:"off"`
	// Over what distance, a length.
	Over length.Length `json:"over"`
}

// Label is what the label on a unit says.
type Label struct {
	// Order number.
	Order string `json:"order,omitempty" jsonschema:"maxLength=60"`
	// Part number.
	Part string `json:"part,omitempty" jsonschema:"maxLength=60"`
	// Line number.
	Line string `json:"line,omitempty" jsonschema:"maxLength=60"`
	// Room, where the label gives it.
	Room string `json:"room,omitempty" jsonschema:"maxLength=60"`
	// Elevation, where the label gives it.
	Elevation string `json:"elevation,omitempty" jsonschema:"maxLength=60"`
}

// InSight counts the fasteners that can be seen on a unit.
type InSight struct {
	// How many are in sight with all doors and drawers closed, a count; 0 says that someone looked and saw none.
	Closed *int `json:"closed,omitempty" jsonschema:"minimum=0,maximum=1000"`
	// How many are in sight from a normal standing view with doors and drawers in use, a count; 0 says that someone looked and saw none.
	Standing *int `json:"standing,omitempty" jsonschema:"minimum=0,maximum=1000"`
	// Where they are.
	Where string `json:"where,omitempty" jsonschema:"maxLength=200"`
}

// CabinetSeen is what was measured and seen of one cabinet.
type CabinetSeen struct {
	// What the label on it says.
	Label *Label `json:"label,omitempty"`
	// Readings from the reference line down to the top corners, lengths.
	Tops CornerLengths `json:"tops,omitzero"`
	// Whether each leveler bears on the floor: it carries load and cannot be turned by hand.
	Bearing CornerAnswers `json:"bearing,omitzero"`
	// How far each leveler stands out below the body, lengths.
	Extension CornerLengths `json:"extension,omitzero"`
	// Thickness of the packing under each leveler, lengths; 0 where it was taken out. The floor there is read on the packing from then on.
	Packing CornerLengths `json:"packing,omitzero"`
	// Level readings with a level.
	Level LevelSeen `json:"level,omitzero"`
	// Plumb readings with a level.
	Plumb PlumbSeen `json:"plumb,omitzero"`
	// Greatest offset between the faces of adjoining doors and drawers of this cabinet, a length.
	FrontOffset *length.Length `json:"front_offset,omitempty"`
	// How far each door or drawer front is out of line with its neighbours, by name ("door 1", "drawer 2"), lengths.
	Alignment map[string]length.Length `json:"alignment,omitempty"`
	// Whether each door or drawer works freely over its whole travel, by name ("door 1", "drawer 2").
	Works map[string]bool `json:"works,omitempty"`
	// The drawer found in each slot, by slot number: the number of its home slot ("2"), or the tag and number where it belongs to another cabinet of the room ("A4/2"); "none" where the slot is empty.
	Drawers map[string]string `json:"drawers,omitempty"`
	// Fasteners in sight.
	InSight InSight `json:"in_sight,omitzero"`
	// Anything worth saying.
	Remark string `json:"remark,omitempty" jsonschema:"maxLength=2000"`
}

// JointSeen is what was measured and seen of the meeting of two units.
type JointSeen struct {
	// Greatest offset of the fronts across the joint, a length; plus where the right-hand unit stands proud.
	FrontOffset *length.Length `json:"front_offset,omitempty"`
	// Greatest offset of the tops across the joint, a length; plus where the right-hand unit stands proud.
	TopOffset *length.Length `json:"top_offset,omitempty"`
	// Widest gap, a length.
	Gap *length.Length `json:"gap,omitempty"`
	// Over how much of the joint's length there is a gap, a length; 0 where the units touch all along.
	GapLength *length.Length `json:"gap_length,omitempty"`
	// Fasteners that join the two units.
	Fastened FastenedSeen `json:"fastened,omitzero"`
	// Anything worth saying.
	Remark string `json:"remark,omitempty" jsonschema:"maxLength=2000"`
}

// FastenedSeen says how a joint is fastened at its two places.
type FastenedSeen struct {
	// At the front.
	Front *Fastening `json:"front,omitempty"`
	// At the upper rear of the side.
	UpperRear *Fastening `json:"upper_rear,omitempty"`
}

// Fastening is a set of like fasteners at one place.
type Fastening struct {
	// Name of the fastener under "planned".
	Fastener string `json:"fastener" jsonschema:"minLength=1,maxLength=60"`
	// How many, a count.
	Count int `json:"count" jsonschema:"minimum=0,maximum=1000"`
	// What they go through.
	Through string `json:"through,omitempty" jsonschema:"enum=vacated hinge hole,enum=behind front rail,enum=side,enum=face"`
	// Whether a tip breaks a surface in sight.
	TipShows *bool `json:"tip_shows,omitempty"`
}

// FillerSeen is what was measured and seen of one filler.
type FillerSeen struct {
	// What the label on it says.
	Label *Label `json:"label,omitempty"`
	// Where it is held from. An empty list says that nothing holds it yet.
	HeldFrom []string `json:"held_from,omitzero" jsonschema:"enum=inside,enum=face,enum=side,enum=top,uniqueItems=true"`
	// Whether the top was on when the filler was looked at. Where nobody says so it is not on.
	TopOn *bool `json:"top_on,omitempty"`
	// Whether it was seen to come off again.
	ComesOff *bool `json:"comes_off,omitempty"`
	// Greatest offset from the cabinet's side edge, a length.
	SideOffset *length.Length `json:"side_offset,omitempty"`
	// Greatest offset from the cabinet's top edge, a length.
	TopOffset *length.Length `json:"top_offset,omitempty"`
	// Whether it was set before the first cabinet.
	SetFirst *bool `json:"set_first,omitempty"`
	// Width it was cut to, a length.
	Cut *length.Length `json:"cut,omitempty"`
	// Fasteners that hold it.
	Fastening *Fastening `json:"fastening,omitempty"`
	// Fasteners in sight.
	InSight InSight `json:"in_sight,omitzero"`
	// Anything worth saying.
	Remark string `json:"remark,omitempty" jsonschema:"maxLength=2000"`
}

// Photo is a photograph kept beside the record.
type Photo struct {
	// File name, relative to the record's folder, with "/" between folders.
	File string `json:"file" jsonschema:"minLength=1,maxLength=200"`
	// SHA-256 of the file, 64 hexadecimal digits.
	SHA256 string `json:"sha256" jsonschema:"pattern=^[0-9a-fA-F]{64}$"`
	// What it shows: the tag of a unit, or a joint ("A3+A4"). Without this it shows the room.
	Of string `json:"of,omitempty" jsonschema:"maxLength=85"`
	// What to see in it.
	Caption string `json:"caption,omitempty" jsonschema:"maxLength=200"`
	// Who took it.
	By string `json:"by,omitempty" jsonschema:"maxLength=120"`
}
