package intake

import (
	"fmt"

	"setline.example/schema"
	"setline.example/schema/amend"
)

// A table of floor readings has a row for each set-height mark too: read on the
// same visit, it ties later readings of the floor to these. It is made when the
// readings have said where, so that the same table may come again with it.

// markLine is what stands in place of a floor line in the row of a mark.
const markLine = "mark"

// markedTwice tells of a second mark of an elevation.
func (s *surveyed) markedTwice(r *reader) bool {
	marks := s.lines[markLine]
	if len(marks) == 0 {
		return false
	}
	r.wrong(schema.Twice, r.Cell("line"), fmt.Sprintf("a second mark for %s", s.says.what), "one set-height mark for an elevation", fmt.Sprintf("take this row out, or the one on line %d", marks[0].row.Line))
	return true
}

// members are those of an elevation that a mark sets, with the columns they come from.
func (r floorReading) members() []fact {
	all := []fact{{member: "mark", value: quote(r.downText), cell: r.row.Cell("reading")}}
	if r.atText != "" {
		all = append(all, fact{member: "mark_at", value: quote(r.atText), cell: r.row.Cell("at")})
	}
	return all
}

func (b *build) sayMarks(n int) { b.say(n, "set-height mark", "set-height marks") }

// lateMark adds a mark to the visit that read the floor which the table has too.
// Once something else was entered since, that would change what was known then:
// it is a correction, which says by whom and why.
func (b *build) lateMark(s *surveyed, visit int) (added bool, err error) {
	if len(s.lines[markLine]) == 0 {
		return false, nil
	}
	mark, old := s.lines[markLine][0], &b.base.Record.Measured.Visits[visit]
	seen := old.Rooms[s.room].Elevations[s.name]
	cell := mark.row.Cell("reading")
	switch {
	case seen.Mark != nil && *seen.Mark == mark.down:
		return false, nil
	case seen.Mark != nil:
		b.wrong(schema.Contradiction, cell, fmt.Sprintf("another mark for %s", s.says.what), fmt.Sprintf("%s, as the visit of %s has it", *seen.Mark, old.Date), `correct the row, or the visit by "setline correct"`)
		return false, nil
	case old.Entered+1 != b.base.Record.NextEntry():
		b.wrong(schema.NotAllowed, cell, fmt.Sprintf("a mark for the visit of %s, and more was entered since", old.Date), "a mark that comes before anything else is entered", fmt.Sprintf(`say by "setline correct --visit %s --at %s/%s/mark" who adds it, and why`, old.Date, s.room, s.name))
		return false, nil
	}
	for _, f := range mark.members() {
		at := schema.Pointer("/measured/visits", visit, "rooms", s.room, "elevations", s.name, f.member)
		b.origin[at] = f.cell
		if b.text, err = amend.Add(b.text, at, f.value); err != nil {
			return false, fmt.Errorf("%s: %w", b.base.Name, err)
		}
	}
	return true, nil
}
