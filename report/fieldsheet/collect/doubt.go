package collect

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/report/fieldsheet"
	"setline.example/schema"
)

// doubted are the values of a visit that are likely slips, at their boxes, but
// for those that stand as read. rec holds the visit at the position at, where it is
// whole, see [visit.onSheet], and the rules have those doubts about it.
func (v *visit) doubted(rec *schema.Record, at int, whole any, doubts []checks.Doubt, asRead []string) (doubted schema.Problems, stand []string) {
	say := say.Writer{Lengths: rec.Planned.LengthsIn}
	for _, d := range doubts {
		p := v.atBox(whole, strings.TrimPrefix(d.Pointer, schema.Pointer("/measured/visits", at)))
		place := p.File + ":" + p.Box
		if slices.Contains(asRead, place) {
			stand = append(stand, place)
			continue
		}
		p.Kind, p.Found, p.Expected = schema.Doubted, say.Text(d.Found), say.Text(d.Expected)
		p.Mend = say.Text(d.Mend()) + fmt.Sprintf("; if it stands as read, say --as-read %q", place)
		doubted = append(doubted, p)
	}
	return doubted, stand
}

// atBox is a problem at the box from which the value at a JSON Pointer into
// the visit, which is whole in the record, comes.
func (v *visit) atBox(whole any, pointer string) schema.Problem {
	own, ok := v.onSheet(whole, pointer)
	a := v.answerAt(own)
	if a == nil || !ok {
		return schema.Problem{File: strings.Join(v.files, ", "), Box: strings.TrimPrefix(pointer, "/")}
	}
	p := a.problem()
	way := strings.TrimPrefix(own, schema.Pointer("", places(a)...))
	if b, ok := a.boxes[way]; ok {
		p.Page, p.Line, p.Box = b.entry.Page, b.entry.Line, b.name
	}
	return p
}

func places(a *Answer) []any {
	all := make([]any, len(a.Ask.Place))
	for i, s := range a.Ask.Place {
		all[i] = s
	}
	return all
}

// unsureTicks are the boxes of a sheet that show a tick and say none, or say one
// and show none, but for those that stand as read: by what they say.
func unsureTicks(f *fieldsheet.Filled, asRead []string) (doubted schema.Problems, stand []string) {
	for _, name := range slices.Sorted(maps.Keys(f.Entries)) {
		e := f.Entries[name]
		if !e.Unsure {
			continue
		}
		place := f.File + ":" + name
		if slices.Contains(asRead, place) {
			stand = append(stand, place)
			continue
		}
		found := "a tick by its value, and none on the page"
		if !e.On {
			found = "a tick on the page, and none by its value"
		}
		doubted = append(doubted, schema.Problem{Kind: schema.Doubted, File: f.File, Page: e.Page, Box: fieldsheet.NameShown(name),
			Found: found, Expected: "both alike",
			Mend: fmt.Sprintf("open the sheet, tick or clear the box, and save it again; if its value stands, say --as-read %q", place)})
	}
	return doubted, stand
}
