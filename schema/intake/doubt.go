package intake

import (
	"fmt"
	"slices"
	"strings"

	"setline.example/schema"
)

// doubt asks of the visit that was brought in which readings are likely slips.
// They are problems of their rows, but for those that stand as read.
func (b *build) doubt(rec *schema.Record, in Input) {
	visit := len(b.base.Record.Measured.Visits)
	if in.Doubts == nil || len(b.problems) > 0 || len(rec.Measured.Visits) == visit {
		return
	}
	needed := map[string]bool{}
	for _, d := range in.Doubts(rec, visit) {
		place, rows := b.placeOf(d, visit)
		if slices.Contains(in.AsRead, place) {
			needed[place] = true
			continue
		}
		p := schema.Problem{Kind: d.Kind, File: b.base.Name, Found: place + " " + d.Found, Expected: d.Expected}
		if len(rows) > 0 {
			c, _ := b.from(d.Pointer)
			p = c.Problem(d.Kind, d.Found, d.Expected, "")
		}
		p.Mend = asRead(d.Mend, place)
		b.problems = append(b.problems, problem{p, rows})
	}
	for _, place := range in.AsRead {
		if !needed[place] && len(b.skip) == 0 {
			b.problems = append(b.problems, problem{schema.Problem{Kind: schema.Unneeded, File: b.base.Name, Found: fmt.Sprintf("--as-read %q", place),
				Expected: "a row with a reading that is doubted", Mend: "leave it out; nothing else needs it"}, nil})
		}
	}
}

// placeOf names the row of a doubt, or what of the visit it is about.
func (b *build) placeOf(d schema.Problem, visit int) (place string, rows []rowID) {
	if c, ok := b.origin[d.Pointer]; ok {
		return fmt.Sprintf("%s:%d", c.File, c.Row), []rowID{rowOf(c)}
	}
	return strings.TrimPrefix(d.Pointer, schema.Pointer("/measured/visits", visit)+"/"), nil
}

// asRead says how to let a value stand.
func asRead(mend, place string) string {
	return mend + fmt.Sprintf("; if it stands as read, say --as-read %q", place)
}
