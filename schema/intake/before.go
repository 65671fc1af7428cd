package intake

import (
	"bytes"
	"encoding/json"
	"errors"
	"maps"
	"slices"

	"github.com/go-json-experiment/json/jsontext"
	"github.com/wI2L/jsondiff"
	"setline.example/schema"
	"setline.example/schema/amend"
)

// mostAligned is how large plans are of which lists are aligned with each other,
// which takes memory by the square of their lengths.
const mostAligned = 1 << 20

// mostSteps is how long a patch may be; where more is otherwise, whole parts are
// put in the place of others.
const mostSteps = 500

func numbersAsWritten(text []byte, to any) error {
	dec := json.NewDecoder(bytes.NewReader(text))
	dec.UseNumber()
	return dec.Decode(to)
}

// planOf is what a record's text plans, without its changes.
func planOf(text []byte) []byte {
	plan, ok := amend.Get(text, "/planned")
	if !ok {
		return []byte("{}")
	}
	if without, err := amend.Remove(plan, "/changes"); err == nil {
		plan = without
	}
	return slices.Clone(plan)
}

// FormerPlan is a JSON Patch that makes of what a record's text plans now what
// another text planned before: of "planned" without "changes". It is empty where
// they plan the same, and never nil.
func FormerPlan(before, now []byte) ([]schema.PatchStep, error) {
	plans := [2][]byte{planOf(now), planOf(before)}
	options := []jsondiff.Option{jsondiff.UnmarshalFunc(numbersAsWritten)}
	if max(len(plans[0]), len(plans[1])) <= mostAligned {
		options = append(options, jsondiff.LCS())
	}
	patch, err := jsondiff.CompareJSON(plans[0], plans[1], options...)
	if err != nil {
		return nil, err
	}
	if len(patch) > mostSteps {
		return partByPart(plans[0], plans[1])
	}
	steps := make([]schema.PatchStep, len(patch))
	for i, op := range patch {
		steps[i] = schema.PatchStep{Op: op.Type, Path: "/planned" + op.Path}
		if op.Type != jsondiff.OperationRemove {
			steps[i].Value = jsonOf(op.Value)
		}
	}
	if got, err := applied(now, steps); err == nil && samePlan(got, before) {
		return steps, nil
	}
	return partByPart(plans[0], plans[1])
}

// plannedSince notes what tables add to the plan of a job under way, so that what
// was entered before is told on the plan of its time.
func (b *build) plannedSince() error {
	rec := b.base.Record
	if !rec.UnderWay() {
		return nil
	}
	before, err := FormerPlan(b.base.Text, b.text)
	if err != nil || len(before) == 0 {
		return err
	}
	now := new(schema.Record)
	if err := json.Unmarshal(b.text, now); err != nil {
		return err
	}
	change := schema.PlanChange{Before: before, What: fresh(&rec.Planned, &now.Planned)}
	value, err := amend.Add(jsonOf(change), "/entered", b.entry())
	if err != nil {
		return err
	}
	b.text, err = amend.AddWithParents(b.text, "/planned/changes/-", value)
	return err
}

// fresh are the units that are new to a plan, and the elevations whose tops are.
func fresh(was, now *schema.Planned) (what []schema.Replanned) {
	stood, _ := stands(was)
	_, order := stands(now)
	for _, of := range order {
		if _, known := stood[of]; !known {
			what = append(what, schema.Replanned{Of: of, Change: "new"})
		}
	}
	e := &ended{plan: was}
	for _, room := range now.Rooms {
		for i := range room.Elevations {
			x := &room.Elevations[i]
			if old := e.elevation(room.Name, x.Name); len(x.Tops) > 0 && (old == nil || len(old.Tops) == 0) {
				what = append(what, schema.Replanned{Of: room.Name + "/" + x.Name, Change: "otherwise", Field: "tops"})
			}
		}
	}
	return what
}

// applied is a text with a patch.
func applied(text []byte, steps []schema.PatchStep) ([]byte, error) {
	all := make([]amend.Step, len(steps))
	for i, s := range steps {
		all[i] = amend.Step{Op: s.Op, From: s.From, Path: s.Path, Value: s.Value}
	}
	return amend.Patched(text, all)
}

// samePlan reports whether two texts plan the same, but for its changes.
func samePlan(a, b []byte) bool {
	x, y := jsontext.Value(planOf(a)), jsontext.Value(planOf(b))
	return x.Canonicalize() == nil && y.Canonicalize() == nil && bytes.Equal(x, y)
}

// partByPart puts each part of a plan in place of what another has there.
func partByPart(now, before []byte) ([]schema.PatchStep, error) {
	var is, was map[string]jsontext.Value
	if err := errors.Join(json.Unmarshal(now, &is), json.Unmarshal(before, &was)); err != nil {
		return nil, err
	}
	steps := []schema.PatchStep{}
	for _, name := range slices.Sorted(maps.Keys(is)) {
		if _, stays := was[name]; !stays {
			steps = append(steps, schema.PatchStep{Op: "remove", Path: schema.Pointer("/planned", name)})
		}
	}
	for _, name := range slices.Sorted(maps.Keys(was)) {
		if string(is[name]) != string(was[name]) {
			steps = append(steps, schema.PatchStep{Op: "add", Path: schema.Pointer("/planned", name), Value: json.RawMessage(was[name])})
		}
	}
	return steps, nil
}
