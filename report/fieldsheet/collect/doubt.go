package collect

import (
	"fmt"
	"slices"
	"strings"

	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/schema"
)

// doubts are the values of a visit that are likely slips, at their boxes, but
// for those that stand as read. rec holds the visit at the position at.
func (v *visit) doubts(rec *schema.Record, at int, asRead []string) (doubted schema.Problems, stand []string) {
	say := say.Writer{Lengths: rec.Planned.LengthsIn}
	for _, d := range checks.Doubts(rec, at) {
		p := v.atBox(strings.TrimPrefix(d.Pointer, schema.Pointer("/measured/visits", at)))
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
// the visit comes.
func (v *visit) atBox(pointer string) schema.Problem {
	a := v.answerAt(pointer)
	if a == nil {
		return schema.Problem{File: strings.Join(v.files, ", "), Box: strings.TrimPrefix(pointer, "/")}
	}
	p := a.problem()
	way := strings.TrimPrefix(pointer, schema.Pointer("", places(a)...))
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
