package fieldsheet

import (
	"bytes"
	"compress/flate"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
	"sync"

	"setline.example/schema"
)

// mostPlan is the greatest size of a plan that a sheet carries, inflated: no
// record holds more.
const mostPlan = schema.MaxBytes

// carried is the part of a plan that a sheet has to carry for the elevations
// that keep wants: what [Changed] compares, and in what lengths are written.
func carried(p *schema.Planned, keep func(room, elevation string) bool) schema.Planned {
	slim := schema.Planned{
		Project:   schema.Project{Name: p.Project.Name, Number: p.Project.Number},
		LengthsIn: p.LengthsIn, Cabinets: map[string]schema.Cabinet{},
		Instruments: map[string]schema.Instrument{}, Fasteners: map[string]schema.Fastener{},
	}
	for name := range p.Instruments {
		slim.Instruments[name] = schema.Instrument{}
	}
	for name := range p.Fasteners {
		slim.Fasteners[name] = schema.Fastener{}
	}
	for _, r := range p.Rooms {
		room := schema.Room{Name: r.Name}
		for _, e := range r.Elevations {
			if !keep(r.Name, e.Name) {
				continue
			}
			room.Elevations = append(room.Elevations, schema.Elevation{Name: e.Name, Units: e.Units})
			for _, u := range e.Units {
				if c, ok := p.Cabinets[u.Part]; ok {
					slim.Cabinets[u.Part] = schema.Cabinet{Front: c.Front}
				}
			}
		}
		if room.Elevations != nil {
			slim.Rooms = append(slim.Rooms, room)
		}
	}
	return slim
}

// travelling is what a sheet carries: a plan, and what stands printed on it.
type travelling struct {
	schema.Planned
	Printed map[string]string `json:"printed,omitempty"`
	Boxes   [][]string        `json:"boxes,omitempty"` // of each page, by their names
}

// OnPages adds to the plan that a sheet carries which boxes are on which of its
// pages, so that pages that do not come back are missed.
func OnPages(plan string, boxes [][]string) (string, error) {
	carried, err := decode(plan)
	if err != nil {
		return "", err
	}
	carried.Boxes = boxes
	return encode(carried)
}

// PagesOf gives the boxes that a sheet had on each of its pages; nil where it does
// not say.
func PagesOf(plan string) [][]string {
	carried, err := decode(plan)
	if err != nil {
		return nil
	}
	return carried.Boxes
}

// encodePlan writes a plan, and what stands printed on a sheet of it, as JSON (RFC
// 8259), deflated (RFC 1951), in base64 (RFC 4648).
func encodePlan(p schema.Planned, printed map[string]string) (string, error) {
	return encode(&travelling{Planned: p, Printed: printed})
}

func encode(t *travelling) (string, error) {
	data, err := json.Marshal(t)
	if err != nil {
		return "", fmt.Errorf("write the plan into the sheet: %w", err)
	}
	if len(data) > mostPlan {
		return "", fmt.Errorf("the plan is %d MiB and a sheet carries at most %d", len(data)>>20, mostPlan>>20)
	}
	return pack(data)
}

// deflates keeps what packs, which is large: a job may have a thousand sheets.
var deflates = sync.Pool{New: func() any {
	w, _ := flate.NewWriter(nil, flate.BestCompression) // the level is one
	return w
}}

// pack makes data small, and text that an editor leaves alone.
func pack(data []byte) (string, error) {
	var packed bytes.Buffer
	w := deflates.Get().(*flate.Writer)
	defer deflates.Put(w)
	w.Reset(&packed)
	if _, err := w.Write(data); err != nil {
		return "", err
	}
	if err := w.Close(); err != nil {
		return "", err
	}
	return base64.StdEncoding.EncodeToString(packed.Bytes()), nil
}

// ErrPlan says that what stands in the place of a sheet's plan is none.
var ErrPlan = errors.New("the plan that the sheet carries cannot be read")

// DecodePlan reads what a sheet carries.
func DecodePlan(text string) (*schema.Planned, error) {
	plan, _, err := DecodePrinted(text)
	return plan, err
}

// DecodePrinted reads what a sheet carries, and what stands printed on it, by the
// names that boxes for it would have.
func DecodePrinted(text string) (*schema.Planned, map[string]string, error) {
	carried, err := decode(text)
	if err != nil {
		return nil, nil, err
	}
	return &carried.Planned, carried.Printed, nil
}

func decode(text string) (*travelling, error) {
	data, err := unpack(text)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrPlan, err)
	}
	carried := new(travelling)
	if err := json.Unmarshal(data, carried); err != nil {
		return nil, fmt.Errorf("%w: %w", ErrPlan, err)
	}
	return carried, nil
}

// unpack gives what was packed, within a bound.
func unpack(text string) ([]byte, error) {
	packed, err := base64.StdEncoding.DecodeString(text)
	if err != nil {
		return nil, err
	}
	data, err := io.ReadAll(io.LimitReader(flate.NewReader(bytes.NewReader(packed)), mostPlan+1))
	if err != nil {
		return nil, err
	}
	if len(data) > mostPlan {
		return nil, fmt.Errorf("it is larger than %d MiB", mostPlan>>20)
	}
	return data, nil
}

// Changed says what of a plan on which the answers of a sheet rest is another
// now: the job, its rooms, elevations and units in their order, what their
// parts are, and instruments and screws that an answer may name. Limits,
// widths and heights may change: what was observed stays what it was.
func Changed(then, now *schema.Planned) []string {
	if a, b := jobName(then), jobName(now); a != b {
		return []string{fmt.Sprintf("the sheet is of job %s, the record of job %s", a, b)}
	}
	var all []string
	add := func(format string, args ...any) { all = append(all, fmt.Sprintf(format, args...)) }
	rooms := map[string]*schema.Room{}
	for i := range now.Rooms {
		rooms[now.Rooms[i].Name] = &now.Rooms[i]
	}
	for i := range then.Rooms {
		was := &then.Rooms[i]
		is, ok := rooms[was.Name]
		if !ok {
			add("room %s: planned then, not now", was.Name)
			continue
		}
		changedRoom(then, now, was, is, add)
	}
	for _, name := range gone(then.Instruments, now.Instruments) {
		add("instrument %s: planned then, not now", name)
	}
	for _, name := range gone(then.Fasteners, now.Fasteners) {
		add("screw %s: planned then, not now", name)
	}
	return all
}

func jobName(p *schema.Planned) string {
	if p.Project.Number == "" {
		return fmt.Sprintf("%q", p.Project.Name)
	}
	return fmt.Sprintf("%q (%s)", p.Project.Name, p.Project.Number)
}

func gone[V any](then, now map[string]V) []string {
	return slices.DeleteFunc(slices.Sorted(maps.Keys(then)), func(name string) bool {
		_, ok := now[name]
		return ok
	})
}

func changedRoom(then, now *schema.Planned, was, is *schema.Room, add func(string, ...any)) {
	for i := range was.Elevations {
		e := &was.Elevations[i]
		at := slices.IndexFunc(is.Elevations, func(x schema.Elevation) bool { return x.Name == e.Name })
		if at < 0 {
			add("room %s elevation %s: planned then, not now", was.Name, e.Name)
			continue
		}
		f := &is.Elevations[at]
		for n := range max(len(e.Units), len(f.Units)) {
			where := fmt.Sprintf("room %s elevation %s, place %d from the left", was.Name, e.Name, n+1)
			switch {
			case n >= len(e.Units):
				add("%s: nothing then, unit %s now", where, f.Units[n].Tag)
				continue
			case n >= len(f.Units):
				add("%s: unit %s then, nothing now", where, e.Units[n].Tag)
				continue
			}
			u, v := e.Units[n], f.Units[n]
			switch {
			case u.Tag != v.Tag:
				add("%s: unit %s then, unit %s now", where, u.Tag, v.Tag)
			case u.Part != v.Part:
				add("unit %s/%s: part %s then, part %s now", was.Name, u.Tag, u.Part, v.Part)
			case (u.SpaceBefore == nil) != (v.SpaceBefore == nil):
				add("unit %s/%s: the space to its left is another now, and with it the joints", was.Name, u.Tag)
			case !slices.Equal(frontsOf(then, u.Part), frontsOf(now, v.Part)):
				add("unit %s/%s: part %s has other doors and drawers now", was.Name, u.Tag, u.Part)
			}
		}
	}
}

// frontsOf names what a part is and what its front has.
func frontsOf(p *schema.Planned, part string) []string {
	if c, ok := p.Cabinets[part]; ok {
		return append([]string{"cabinet"}, c.FrontNames()...)
	}
	return []string{"filler"}
}
