package main

import (
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strings"
	"testing"

	"setline.example/schema"
)

// ways says by which command, table or sheet every field of a record is written,
// so that nobody has to edit JSON: the way first, then the fields of each type.
var ways = []struct{ way, fields string }{
	{`"start" begins the record`, "Record: setline planned"},
	{`"start" and "plan --name, --number, ... --lengths"`, "Planned: project spec_section lengths_in usual; Project: name number address installer contractor"},
	{`"start" and "plan --height, --depth, ...", the table of units`, "Body: height depth width_tolerance gauge front_rail_depth leveler; Leveler: least greatest threads_per_inch pitch reserve"},
	{`table of units, "add --units" and "plan --units"`, "Planned: cabinets fillers rooms; Cabinet: description width front; FrontRow: drawers doors panels height; " +
		"Filler: description width scribe gauge; Room: name use floor_finish elevations; FloorFinish: thickness under_cabinets; " +
		"Elevation: name left right opening work_height top_thickness accessible units; Unit: tag part space_before"},
	{`table of tops, "add --tops" and "plan --tops"`, "Elevation: tops; Top: from to overhang"},
	{`tables of instruments and screws`, "Planned: instruments fasteners; Instrument: kind reads resolution accuracy over serial; Fastener: size length point point_number use each"},
	{`"agree decision", "agree closing-out", "agree limit"`, "Planned: decision_rule closing_out limits; LimitChange: limit over least source"},
	{`"plan --apply"`, "Planned: changes; PlanChange: date by reason what entered before; PatchStep: op from path value; Replanned: of change field was; Visit: former"},
	{`table of packing lists, "add --packing-list"`, "Record: arrived; Arrived: packing_lists; PackingList: order date lines entered; PackingLine: part quantity room elevation"},
	{`table of packing lists, and sheets of "count"`, "Arrived: receipts; Receipt: packing_list date by lines entered; Received: good damaged remark"},
	{`field sheets, "collect"`, "Record: measured; Measured: visits; Visit: date purpose people instruments site rooms entered; Party: name role firm; " +
		"Site: slab_cured closed_in floor_finish_known remark; RoomSeen: elevations cabinets joints fillers remarks; " +
		"ElevationSeen: mark_at mark floor opening walls closing all; WallsSeen: left right; FloorSeen: front back; OpeningSeen: bottom middle top; " +
		"SaidOfAll: of answer except; CornerLengths: FL FR BL BR; CornerAnswers: FL FR BL BR; Deviation: off over; " +
		"LevelSeen: front back left right FL-BR FR-BL; PlumbSeen: front left right; Label: order part line room elevation; InSight: closed standing where; " +
		"CabinetSeen: label tops bearing extension packing level plumb front_offset alignment works drawers in_sight remark; " +
		"JointSeen: front_offset top_offset gap gap_length fastened remark; FastenedSeen: front upper_rear; Fastening: fastener count through tip_shows; " +
		"FillerSeen: label held_from top_on comes_off side_offset top_offset set_first cut fastening in_sight remark; " +
		"ClosingSeen: instructions services_clear anchor_drawing anchored tops_released released_by released_runs undamaged loose_parts clean protected remark"},
	{`field sheets, "add --instrument", "correct --at instruments/NAME/checked"`, "InstrumentUse: checked dropped two_peg; TwoPeg: midway unequal distances"},
	{`"correct --at ROOM/ELEVATION/reference"`, "ElevationSeen: reference"},
	{`field sheets, "agree handover"`, "RoomSeen: handover; HandoverSeen: to on warranty_from papers spare_parts"},
	{`"photo"`, "RoomSeen: photos; Photo: file sha256 of caption by"},
	{`"correct", "collect --corrects"`, "Visit: corrections; Correction: at was by date reason entered"},
	{`"withdraw", "withdraw --undo"`, "Visit: withdrawn undone; Withdrawn: by date reason entered; Undone: withdrawn by date reason entered"},
	{`"agree concession", "agree withdraw"`, "Record: agreed; Agreed: concessions former_concessions; Concession: rule subject reason by date withdrawn"},
	{`"agree open-item", "agree close-item"`, "Agreed: open_items; OpenItem: room what owner due closed; Closing: by date remark"},
	{`"agree reinspection", "agree withdraw"`, "Agreed: reinspections former_reinspections; Reinspection: room date reason withdrawn"},
	{`"agree signer", "start --sign-inspector"`, "Agreed: sign_off; SignOff: inspector installer contractor; Signer: name firm"},
}

// noWay says why other fields need no way.
var noWay = map[string]string{
	"Record.$schema":      "of editors, which nobody who uses commands needs",
	"ElevationSeen.laser": "accepted and ignored",
	"Station.along":       "accepted and ignored",
	"Station.out":         "accepted and ignored",
}

// TestEveryFieldHasAWay goes through the types of the record: each field is
// written by a command, a table or a sheet, and each way is of a field.
func TestEveryFieldHasAWay(t *testing.T) {
	has := map[string]string{}
	for _, w := range ways {
		for _, of := range strings.Split(w.fields, "; ") {
			name, fields, _ := strings.Cut(of, ": ")
			for _, f := range strings.Fields(fields) {
				has[name+"."+f] = w.way
			}
		}
	}
	maps.Copy(has, noWay)
	fields := map[string]bool{}
	fieldsOf(reflect.TypeFor[schema.Record](), fields)
	for _, f := range slices.Sorted(maps.Keys(fields)) {
		if has[f] == "" {
			t.Errorf("%s can be written by no command, table or sheet; expected one, and its way among ways", f)
		}
	}
	for _, f := range slices.Sorted(maps.Keys(has)) {
		if !fields[f] {
			t.Errorf("%s is written by %s, and the record has no such field", f, has[f])
		}
	}
}

func fieldsOf(t reflect.Type, into map[string]bool) {
	switch t.Kind() {
	case reflect.Pointer, reflect.Slice, reflect.Array, reflect.Map:
		fieldsOf(t.Elem(), into)
		return
	case reflect.Struct:
	default:
		return
	}
	for i := range t.NumField() {
		f := t.Field(i)
		name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		key := fmt.Sprintf("%s.%s", t.Name(), name)
		if name != "" && into[key] {
			return // the type was seen
		}
		if name != "" {
			into[key] = true
		}
		fieldsOf(f.Type, into)
	}
}
