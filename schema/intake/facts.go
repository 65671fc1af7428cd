package intake

import (
	"fmt"
	"strconv"

	"setline.example/schema"
	"setline.example/schema/table"
)

// subject is a room, an elevation or a part, and what the rows of a table say
// of it. Any of its rows may say a thing; two must not contradict each other.
type subject struct {
	what  string     // as a message names it: part "B24"
	first table.Cell // where it is first named
	rows  []rowID    // that name it
	facts []fact
}

// fact is one thing that is said of a subject.
type fact struct {
	member string // its name in the record
	value  []byte // JSON, as it was typed
	same   string // the same however it was typed
	cell   table.Cell
	rows   []rowID // that say so
}

// get returns what is said of the member.
func (s *subject) get(member string) (fact, bool) {
	for _, f := range s.facts {
		if f.member == member {
			return f, true
		}
	}
	return fact{}, false
}

// say notes that the cell called name says value of s.
func (r *reader) say(s *subject, member, name string, value []byte, same string) {
	if value == nil {
		return
	}
	f := fact{member, value, same, r.Cell(name), []rowID{rowOf(r.Cell(name))}}
	i, ok := indexOf(s.facts, func(f *fact) bool { return f.member == member })
	if !ok {
		s.facts = append(s.facts, f)
		return
	}
	switch old := &s.facts[i]; {
	case old.same == f.same:
		old.rows = append(old.rows, f.rows...)
	default:
		r.wrong(schema.Contradiction, f.cell, fmt.Sprintf("%q for %s", f.cell.Text, s.what), fmt.Sprintf("%q, as line %d says of it", old.cell.Text, old.cell.Line),
			"correct one of the two rows")
	}
}

func (r *reader) sayText(s *subject, member, name, text string) {
	if text != "" {
		r.say(s, member, name, quote(text), string(quote(text)))
	}
}

func (r *reader) sayLength(s *subject, member, name string) {
	if text, l, ok := r.length(name); ok {
		r.say(s, member, name, quote(text), string(quote(l.String())))
	}
}

func (r *reader) sayCount(s *subject, member, name string) {
	if n, ok := r.count(name); ok {
		text := fmt.Sprint(n)
		r.say(s, member, name, []byte(text), text)
	}
}

// compare holds facts against what the record says of the same thing, and
// returns those that it does not say yet.
func (b *build) compare(s *subject, facts []fact, has map[string]string) (missing []fact) {
	for _, f := range facts {
		switch old, ok := has[f.member]; {
		case !ok:
			missing = append(missing, f)
		case old != f.same:
			if f.member == "front" {
				old = strconv.Quote(frontWords(frontOf(old)))
			}
			b.wrong(schema.Contradiction, f.cell, fmt.Sprintf("%q for %s", f.cell.Text, s.what), fmt.Sprintf("%s, as the record has it", old), "correct the row, or the record where it is wrong", f.rows...)
		}
	}
	return missing
}
