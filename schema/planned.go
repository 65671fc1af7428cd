package schema

import (
	"encoding/json"

	"setline.example/schema/length"
)

// Planned is what the drawings, the contract and the maker's catalog ask for.
type Planned struct {
	// The job and the firms on it.
	Project Project `json:"project"`
	// Specification section the work is done under, as the contract numbers it.
	SpecSection string `json:"spec_section,omitempty" jsonschema:"maxLength=120"`
	// How lengths are written in reports: "in" (inches and fractions, the default) or "mm". Lengths in the record may be in any unit.
	LengthsIn length.System `json:"lengths_in,omitempty" jsonschema:"enum=in,enum=mm"`
	// How a measured value is judged near its limit. "simple" (the default): a value within the limit passes. "guarded": it must be within by the expanded uncertainty.
	DecisionRule string `json:"decision_rule,omitempty" jsonschema:"enum=simple,enum=guarded"`
	// Whether the contract asks for what closes a room out: instructions on site, services clear, anchored as drawn, tops released, no damage, loose parts there, clean, handed over. Without it these are not judged.
	ClosingOut bool `json:"closing_out,omitzero"`
	// Limits that this contract changes, by rule name, each with its source.
	Limits map[string]LimitChange `json:"limits,omitempty"`
	// Measuring instruments used on the job, by the name the crew calls them.
	Instruments map[string]Instrument `json:"instruments,omitempty"`
	// Screws used on the job, by the name the crew calls them.
	Fasteners map[string]Fastener `json:"fasteners,omitempty"`
	// What every cabinet has unless its own entry says otherwise, so that it is written once.
	Usual Body `json:"usual,omitzero"`
	// Cabinets of the catalog, by part number.
	Cabinets map[string]Cabinet `json:"cabinets,omitempty"`
	// Fillers of the catalog, by part number.
	Fillers map[string]Filler `json:"fillers,omitempty"`
	// Rooms in walking order.
	Rooms []Room `json:"rooms" jsonschema:"minItems=1,maxItems=2000"`
	// How the plan was changed since it was first written down. What is planned above is what holds now.
	Changes []PlanChange `json:"changes,omitempty" jsonschema:"maxItems=10000"`
}

// PlanChange is one change of the plan: a revised drawing, an addendum.
type PlanChange struct {
	// Date of the change, as YYYY-MM-DD. Not always known where the plan was only added to.
	Date Date `json:"date,omitempty"`
	// Who put it into the record. Not always known where the plan was only added to.
	By *Party `json:"by,omitempty"`
	// Why, such as the revision of the drawing.
	Reason string `json:"reason,omitempty" jsonschema:"minLength=1,maxLength=2000"`
	// What was planned otherwise, or not at all.
	What []Replanned `json:"what,omitempty" jsonschema:"maxItems=100000"`
	// Its place in the order in which visits, counts, corrections and changes of the plan were entered into the record, from 1.
	Entered int `json:"entered,omitzero" jsonschema:"minimum=1,maximum=1000000"`
	// A JSON Patch (RFC 6902) that makes of the record what it was before this change: of "planned" without "changes", and of what visits saw that the change made history. Without it nobody knows the former plan, and it is taken to have been as it was after the change.
	Before []PatchStep `json:"before,omitzero" jsonschema:"maxItems=100000"`
}

// PatchStep is one operation of a JSON Patch (RFC 6902, section 4).
type PatchStep struct {
	// What is done.
	Op string `json:"op" jsonschema:"enum=add,enum=remove,enum=replace,enum=move,enum=test"`
	// For "move": JSON Pointer (RFC 6901) to what is moved.
	From string `json:"from,omitempty" jsonschema:"maxLength=2000,pattern=^/(planned|measured/visits/[0-9]+)/"`
	// JSON Pointer (RFC 6901) to the place in the record.
	Path string `json:"path" jsonschema:"maxLength=2000,pattern=^/(planned|measured/visits/[0-9]+)/"`
	// For "add", "replace" and "test": the value.
	Value json.RawMessage `json:"value,omitempty"`
}

// Replanned is one thing that is planned otherwise than it was.
type Replanned struct {
	// What it is of: a room, an elevation or a unit as the report writes it ("S-104", "S-104/A", "S-104/A3"), a part number, or the job.
	Of string `json:"of" jsonschema:"minLength=1,maxLength=200"`
	// What happened to it: it is new, it is gone, it stands elsewhere, or something of it is planned otherwise.
	Change string `json:"change" jsonschema:"enum=new,enum=gone,enum=moved,enum=otherwise"`
	// What of it, where something is planned otherwise: "part", "width", "opening".
	Field string `json:"field,omitempty" jsonschema:"maxLength=60"`
	// What was planned before, in words. Without this nothing was.
	Was string `json:"was,omitempty" jsonschema:"maxLength=2000"`
}

// Project names the job and the firms on it.
type Project struct {
	// Name of the job.
	Name string `json:"name" jsonschema:"minLength=1,maxLength=200"`
	// Job number.
	Number string `json:"number,omitempty" jsonschema:"maxLength=60"`
	// Where the building stands.
	Address string `json:"address,omitempty" jsonschema:"maxLength=200"`
	// Firm that installs the cabinets.
	Installer string `json:"installer,omitempty" jsonschema:"maxLength=120"`
	// General contractor, who receives the room.
	Contractor string `json:"contractor,omitempty" jsonschema:"maxLength=120"`
}

// LimitChange is a limit that the contract sets in place of the default one.
type LimitChange struct {
	// The limit with its unit, written as the rule's own limit is: "1/32 in", "0.8 mm", "14 days".
	Limit string `json:"limit" jsonschema:"minLength=1,maxLength=60"`
	// Distance over which the limit is stated, a length; only for "level and plumb", whose limit is a rate.
	Over *length.Length `json:"over,omitempty"`
	// The least that the limit comes to within one cabinet, however short the distance, a length; only for "level and plumb".
	Least *length.Length `json:"least,omitempty"`
	// Where the limit comes from: document and paragraph.
	Source string `json:"source" jsonschema:"minLength=1,maxLength=200"`
}

// Instrument is a measuring instrument and how well it reads.
type Instrument struct {
	// What it is.
	Kind string `json:"kind" jsonschema:"enum=laser,enum=level,enum=rule,enum=feeler gauge,enum=other"`
	// What is read with it. Without this a laser reads heights, a level reads level and plumb, a rule reads offsets and extensions, a feeler gauge reads gaps.
	Reads []string `json:"reads,omitempty" jsonschema:"enum=heights,enum=level and plumb,enum=offsets,enum=gaps,enum=extensions,uniqueItems=true"`
	// Smallest step that is read from it, a length.
	Resolution *length.Length `json:"resolution,omitempty"`
	// Stated accuracy: how far off it may be over the distance in "over", a length (plus or minus).
	Accuracy *length.Length `json:"accuracy,omitempty"`
	// Distance over which the accuracy is stated, a length.
	Over *length.Length `json:"over,omitempty"`
	// Serial or asset number.
	Serial string `json:"serial,omitempty" jsonschema:"maxLength=60"`
}

// Fastener is a screw.
type Fastener struct {
	// Screw size.
	Size string `json:"size" jsonschema:"enum=#6,enum=#8,enum=#10,enum=#12"`
	// Length under the head, a length.
	Length length.Length `json:"length"`
	// Kind of screw point.
	Point string `json:"point,omitempty" jsonschema:"enum=self-tapping,enum=self-drilling"`
	// Number of a self-drilling point: 2 or 3.
	PointNumber int `json:"point_number,omitzero" jsonschema:"enum=2,enum=3"`
	// Where it is meant to be used, for the screw takeoff.
	Use []string `json:"use,omitempty" jsonschema:"enum=front of door cabinet,enum=front of drawer cabinet,enum=upper rear,enum=filler,uniqueItems=true"`
	// How many are used at each such place of a joint or filler, for the screw takeoff.
	Each int `json:"each,omitzero" jsonschema:"minimum=1,maximum=50"`
}

// Body is what a cabinet's body is like.
type Body struct {
	// Height of the body without levelers and without top, a length.
	Height *length.Length `json:"height,omitempty"`
	// Depth from the front of the body to its back, a length.
	Depth *length.Length `json:"depth,omitempty"`
	// How much wider or narrower than drawn it may come, a length (plus or minus).
	WidthTolerance *length.Length `json:"width_tolerance,omitempty"`
	// Sheet gauge of sides and rails, in manufacturers' standard gauge numbers for steel: 18, 16.
	Gauge int `json:"gauge,omitzero" jsonschema:"minimum=3,maximum=30"`
	// Depth of the vertical front rail, which a screw through it must pass, a length.
	FrontRailDepth *length.Length `json:"front_rail_depth,omitempty"`
	// The levelers, one at each corner.
	Leveler *Leveler `json:"leveler,omitempty"`
}

// Leveler is the threaded foot at each corner of a cabinet.
type Leveler struct {
	// Extension below the body with the bolt fully in, a length.
	Least length.Length `json:"least"`
	// Greatest extension below the body that still carries load, a length.
	Greatest length.Length `json:"greatest"`
	// Threads per inch of the bolt; gives turns from extension.
	ThreadsPerInch int `json:"threads_per_inch,omitzero" jsonschema:"minimum=1,maximum=80"`
	// Pitch of a metric bolt, how far it goes in one turn, a length; instead of threads per inch.
	Pitch *length.Length `json:"pitch,omitempty"`
	// How far the leveler must still be able to come down at the set height, a length; 1/8 in where nothing is planned, or all the travel where it has less.
	Reserve *length.Length `json:"reserve,omitempty"`
}

// Cabinet is a cabinet of the catalog.
type Cabinet struct {
	Body
	// What it is, in words.
	Description string `json:"description,omitempty" jsonschema:"maxLength=200"`
	// Width from side to side, a length.
	Width length.Length `json:"width"`
	// The front as rows from the top down. Drawers are numbered over all rows, left to right and top to bottom, from 1; so are doors.
	Front []FrontRow `json:"front,omitempty" jsonschema:"maxItems=20"`
}

// FrontRow is one row of a cabinet's front: drawers, doors or fixed panels side by side.
type FrontRow struct {
	// Number of drawers side by side in this row.
	Drawers int `json:"drawers,omitzero" jsonschema:"minimum=1,maximum=12"`
	// Number of doors side by side in this row.
	Doors int `json:"doors,omitzero" jsonschema:"minimum=1,maximum=12"`
	// Number of fixed panels side by side in this row.
	Panels int `json:"panels,omitzero" jsonschema:"minimum=1,maximum=12"`
	// Height of the row, a length. Without it the row takes an equal share of what is left.
	Height *length.Length `json:"height,omitempty"`
}

// Filler is a filler of the catalog: the plain panel that closes a run at a wall or an exposed end.
type Filler struct {
	// What it is, in words.
	Description string `json:"description,omitempty" jsonschema:"maxLength=200"`
	// Width as drawn, a length.
	Width length.Length `json:"width"`
	// How much wider it comes, for scribing to the wall, a length.
	Scribe *length.Length `json:"scribe,omitempty"`
	// Sheet gauge, in manufacturers' standard gauge numbers for steel.
	Gauge int `json:"gauge,omitzero" jsonschema:"minimum=3,maximum=30"`
}

// Room is one room as drawn.
type Room struct {
	// Room number or name, as on the drawings. It has no "/".
	Name string `json:"name" jsonschema:"minLength=1,maxLength=60,pattern=^[^/\\x00-\\x1f\\x7f-\\x9f]+$"`
	// What the room is used for.
	Use string `json:"use,omitempty" jsonschema:"maxLength=120"`
	// The floor finish, laid on what the levelers stand on or beside them. Without it heights are above the floor as surveyed.
	FloorFinish *FloorFinish `json:"floor_finish,omitempty"`
	// Elevations in walking order.
	Elevations []Elevation `json:"elevations" jsonschema:"minItems=1,maxItems=500"`
}

// FloorFinish is a room's floor finish. Heights above the floor, on drawings
// and in codes, are above the finish; the floor survey is of what the levelers
// stand on.
type FloorFinish struct {
	// Thickness of the finish, a length.
	Thickness length.Length `json:"thickness"`
	// Whether the finish runs under the cabinets, so that the levelers stand on it and the survey is of it.
	UnderCabinets bool `json:"under_cabinets"`
}

// Elevation is one wall's, or one island face's, row of units, seen from the front and read left to right.
type Elevation struct {
	// Elevation name, as on the drawings. It has no "/".
	Name string `json:"name" jsonschema:"minLength=1,maxLength=60,pattern=^[^/\\x00-\\x1f\\x7f-\\x9f]+$"`
	// What the left end meets.
	Left string `json:"left,omitempty" jsonschema:"enum=wall,enum=exposed,enum=abutting"`
	// What the right end meets.
	Right string `json:"right,omitempty" jsonschema:"enum=wall,enum=exposed,enum=abutting"`
	// Clear opening the units and fillers must close, a length.
	Opening *length.Length `json:"opening,omitempty"`
	// Height of the finished work surface above the floor that the drawings ask for, a length.
	WorkHeight *length.Length `json:"work_height,omitempty"`
	// Thickness of the top that will lie on the cabinets, a length.
	TopThickness *length.Length `json:"top_thickness,omitempty"`
	// Whether an accessible station stands here.
	Accessible bool `json:"accessible,omitzero"`
	// Units from left to right.
	Units []Unit `json:"units" jsonschema:"minItems=1,maxItems=20000"`
	// Tops that will lie on the cabinets, piece by piece from left to right. Where one ends where the next begins the two meet.
	Tops []Top `json:"tops,omitempty" jsonschema:"maxItems=1000"`
}

// Top is one piece of the top that will lie on the cabinets of an elevation: from its back, which all cabinets share, to beyond the front of the deepest cabinet under it.
type Top struct {
	// Where it begins: the tag of the unit with whose left side it begins, or how far from the left end of the elevation, with its unit ("12 in"; below zero where it stands out beyond the end).
	From string `json:"from" jsonschema:"minLength=1,maxLength=40"`
	// Where it ends: the tag of the unit with whose right side it ends, or how far from the left end of the elevation, with its unit.
	To string `json:"to" jsonschema:"minLength=1,maxLength=40"`
	// How far it stands out beyond the fronts, a length.
	Overhang *length.Length `json:"overhang,omitempty"`
}

// Unit is a cabinet or a filler standing in an elevation.
type Unit struct {
	// The unit's tag on the drawings, one of a kind within its room: letters, digits, "-", "." and "_".
	Tag string `json:"tag" jsonschema:"maxLength=40,pattern=^[^\\x00-/:-@\\x5b-\\x60{-\\x9f][^\\x00-\\x2c/:-@\\x5b-\\x5e\\x60{-\\x9f]*$"`
	// Part number, from "cabinets" or "fillers".
	Part string `json:"part" jsonschema:"minLength=1,maxLength=60"`
	// Open space to the left of this unit, a length. A space ends a run: the units on its two sides are not joined.
	SpaceBefore *length.Length `json:"space_before,omitempty"`
}
