package intake

import (
	"fmt"
	"slices"
	"strings"

	"github.com/go-json-experiment/json"
	"setline.example/schema"
	"setline.example/schema/amend"
	"setline.example/schema/length"
	"setline.example/schema/table"
)

// drawnTops are the pieces of top that a table has along one elevation, in its
// order.
type drawnTops struct {
	room, name string
	first      *reader
	pieces     []schema.Top
	values     [][]byte
	rows       []*reader
}

// readTops reads a table of tops.
func (b *build) readTops(t *table.Table) (all []*drawnTops) {
	byName := map[[2]string]*drawnTops{}
	for r := range b.rows(t) {
		room, name := r.needed("room"), r.needed("elevation")
		top := schema.Top{From: r.needed("from"), To: r.needed("to")}
		var o object
		o.text("from", top.From)
		o.text("to", top.To)
		if text, l, ok := r.length("overhang"); ok {
			top.Overhang = &l
			o.put("overhang", quote(text))
		}
		if r.bad {
			continue
		}
		d, ok := byName[[2]string{room, name}]
		if !ok {
			d = &drawnTops{room: room, name: name, first: r}
			byName[[2]string{room, name}] = d
			all = append(all, d)
		}
		d.pieces, d.values, d.rows = append(d.pieces, top), append(d.values, o.json()), append(d.rows, r)
	}
	return all
}

// tops brings in a table of tops: for elevations that have none yet, and those
// that have the same.
func (b *build) tops(t *table.Table) error {
	added := 0
	for _, d := range b.readTops(t) {
		e, at, err := b.elevationNow(d)
		if err != nil || e == nil {
			return err
		}
		switch {
		case sameTops(e.Tops, d.pieces):
		case len(e.Tops) > 0:
			b.wrong(schema.Contradiction, d.first.Cell("elevation"), fmt.Sprintf("tops of elevation %q of room %q, which the record has otherwise: %s", d.name, d.room, topWords(e.Tops)),
				"the same tops, or an elevation that has none yet", `correct the rows, or take them over with "setline plan"`)
		default:
			added += len(d.pieces)
			if err := b.putTops(d, at); err != nil {
				return err
			}
		}
	}
	b.say(added, "top", "tops")
	return nil
}

// putTops puts pieces in place of those that an elevation has.
func (b *build) putTops(d *drawnTops, at string) (err error) {
	for i, r := range d.rows {
		here := schema.Pointer(at, "tops", i)
		b.origin[here] = r.Cell("from")
		for _, member := range []string{"from", "to", "overhang"} {
			b.origin[schema.Pointer(here, member)] = r.Cell(member)
		}
	}
	b.text, err = amend.Add(b.text, schema.Pointer(at, "tops"), listOf(d.values))
	return err
}

// elevationNow finds the elevation that pieces are of in the text as it is now;
// nil where there is none, which is told.
func (b *build) elevationNow(d *drawnTops) (e *schema.Elevation, at string, err error) {
	now := new(schema.Record)
	if err := json.Unmarshal(b.text, now); err != nil {
		return nil, "", fmt.Errorf("%s: %w", b.base.Name, err)
	}
	var known []string
	for i := range now.Planned.Rooms {
		room := &now.Planned.Rooms[i]
		for j := range room.Elevations {
			known = append(known, room.Name+"/"+room.Elevations[j].Name)
			if room.Name == d.room && room.Elevations[j].Name == d.name {
				return &room.Elevations[j], schema.Pointer("/planned/rooms", i, "elevations", j), nil
			}
		}
	}
	mend := "correct the name, or plan it with its units first"
	if near := schema.Nearest(d.room+"/"+d.name, known); near != "" {
		mend = fmt.Sprintf("write %q if that is meant", near)
	}
	b.wrong(schema.Unknown, d.first.Cell("elevation"), fmt.Sprintf("elevation %q of room %q, which is not planned", d.name, d.room), "a planned elevation", mend)
	return nil, "", nil
}

// replanTops takes over what a table has otherwise.
func (r *replanner) replanTops(t *table.Table) error {
	if t == nil {
		return nil
	}
	for _, d := range r.readTops(t) {
		e, at, err := r.elevationNow(d)
		if err != nil {
			return err
		}
		if e == nil || sameTops(e.Tops, d.pieces) {
			continue
		}
		if err := r.putTops(d, at); err != nil {
			return err
		}
		r.change(d.room+"/"+d.name, "otherwise", "tops", topWords(e.Tops), topWords(d.pieces))
	}
	return r.put(r.text, nil)
}

func sameTops(a, b []schema.Top) bool {
	value := func(l *length.Length) length.Length {
		if l == nil {
			return 0
		}
		return *l
	}
	return slices.EqualFunc(a, b, func(x, y schema.Top) bool {
		return x.From == y.From && x.To == y.To && value(x.Overhang) == value(y.Overhang)
	})
}

// topWords are pieces of top in words, "" for none.
func topWords(tops []schema.Top) string {
	words := make([]string, len(tops))
	for i, t := range tops {
		words[i] = t.From + " to " + t.To
		if t.Overhang != nil {
			words[i] += " standing out " + t.Overhang.String()
		}
	}
	return strings.Join(words, "; ")
}
