package intake

import (
	"fmt"
	"maps"
	"strings"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"
	"setline.example/schema"
	"setline.example/schema/amend"
	"setline.example/schema/plaintext"
	"setline.example/schema/table"
)

// shipment is what a table says of one packing list.
type shipment struct {
	subject
	number  string
	lines   object
	numbers map[string]table.Cell
	counts  []count // in the order of the table
}

// count is what was counted of one line.
type count struct {
	by, on, line string
	value        []byte
	cell         table.Cell
}

// packing brings in a table of packing lists and receipts.
func (b *build) packing(t *table.Table) error {
	var all []*shipment
	byNumber := map[string]*shipment{}
	for r := range b.rows(t) {
		number := r.needed("packing list")
		s, ok := byNumber[number]
		if !ok {
			s = &shipment{subject: subject{what: fmt.Sprintf("packing list %q", number), first: r.Cell("packing list")}, number: number, numbers: map[string]table.Cell{}}
		}
		if s.row(r) && !ok {
			all = append(all, s)
			byNumber[number] = s
		}
	}
	var fresh []amend.Member
	var good []*shipment
	for _, s := range all {
		at := schema.Pointer("/arrived/packing_lists", s.number)
		b.origin[at] = s.first
		value := s.list(b, at)
		if old, ok := b.base.Record.Arrived.PackingLists[s.number]; ok {
			if b.differs(s, &old, value) {
				continue
			}
		} else {
			fresh = append(fresh, amend.Member{Name: s.number, Value: append(value[:len(value)-1:len(value)-1], fmt.Sprintf(`,"entered":%s}`, b.entry())...)})
		}
		good = append(good, s)
	}
	if err := b.append("/arrived/packing_lists", false, fresh); err != nil {
		return err
	}
	b.say(len(fresh), "packing list", "packing lists")
	return b.receipts(good)
}

func (c count) key(number string) string { return strings.Join([]string{number, c.on, c.by}, "\x00") }

// row reads one row and reports whether it is good.
func (s *shipment) row(r *reader) bool {
	line := r.needed("line")
	if old, twice := s.numbers[line]; twice && line != "" {
		r.wrong(schema.Twice, r.Cell("line"), fmt.Sprintf("line %q of %s a second time", line, s.what), fmt.Sprintf("each line once; the first is on line %d of the file", old.Line), "remove one of the two, or correct its number")
	}
	r.sayText(&s.subject, "order", "order", r.text("order"))
	if date := r.date("date"); date != "" {
		r.say(&s.subject, "date", "date", quote(date), string(quote(date)))
	}
	var o object
	need := r.needed
	if _, known := r.b.base.Record.Arrived.PackingLists[s.number].Lines[line]; known {
		need = r.text // a second count need not say again what the list says
	}
	o.text("part", need("part"))
	if need("quantity") != "" {
		r.putCount(&o, "quantity", "quantity")
	}
	o.text("room", r.text("room"))
	o.text("elevation", r.text("elevation"))
	c, counted := s.count(r, line)
	if r.bad {
		return false
	}
	s.rows = append(s.rows, rowOf(r.Cell("line")))
	s.numbers[line] = r.Cell("line")
	s.lines.put(line, o.json())
	for _, f := range []struct{ member, column string }{{"part", "part"}, {"quantity", "quantity"}, {"room", "room"}, {"elevation", "elevation"}} {
		r.b.origin[schema.Pointer("/arrived/packing_lists", s.number, "lines", line, f.member)] = r.Cell(f.column)
	}
	r.b.origin[schema.Pointer("/arrived/packing_lists", s.number, "lines", line)] = r.Cell("line")
	if counted {
		s.counts = append(s.counts, c)
	}
	return true
}

// count reads what was counted, where anything was.
func (s *shipment) count(r *reader, line string) (count, bool) {
	c := count{by: r.text("counted by"), on: r.date("counted on"), line: line, cell: r.Cell("good")}
	var o object
	r.putCount(&o, "good", "good")
	if len(o) == 0 {
		for _, name := range []string{"damaged", "remark"} { // a count sheet has who counts and when on every line
			if cell := r.Cell(name); cell.Text != "" && r.text("good") == "" {
				r.wrong(schema.Missing, cell, fmt.Sprintf("%q without a count of what came whole", cell.Text), "a number in column good, 0 where none did", "fill it, or leave this cell empty")
				break
			}
		}
		return c, false
	}
	r.putCount(&o, "damaged", "damaged")
	o.text("remark", r.Cell("remark").Text)
	for _, need := range []struct{ name, value string }{{"counted by", c.by}, {"counted on", c.on}} {
		if need.value == "" && r.text(need.name) == "" {
			r.wrong(schema.Missing, r.Cell(need.name), "a count without "+need.name, "who counted and on what day", "fill column "+need.name)
		}
	}
	c.value = o.json()
	return c, true
}

// saidOf gives the members that the text of a line has.
func saidOf(text []byte) (map[string]string, error) {
	var members map[string]jsontext.Value
	if err := json.Unmarshal(text, &members); err != nil {
		return nil, err
	}
	all, err := canonicalText[schema.PackingLine](text)
	for name := range all {
		if _, said := members[name]; !said {
			delete(all, name)
		}
	}
	return all, err
}

// list gives the packing list that will stand at pointer.
func (s *shipment) list(b *build, at string) []byte {
	var o object
	b.putFacts(&o, at, s.facts)
	o.put("lines", s.lines.json())
	return o.json()
}

// differs reports whether the record has something else under the number, and
// notes what. Lines, and what of a line, the table says nothing of are no
// difference: a second count has its own rows only.
func (b *build) differs(s *shipment, old *schema.PackingList, value []byte) bool {
	found := len(b.problems)
	mend := "correct the rows, or give another packing list its own number"
	const most = 20 // differences that are told one by one
	differ := func(c table.Cell, what, expected string) {
		if len(b.problems) < found+most {
			b.wrong(schema.Contradiction, c, what, expected, mend, s.rows...)
		}
	}
	said := map[string]fact{}
	for _, f := range s.facts {
		said[f.member] = f
	}
	for _, f := range []struct{ member, has string }{{"order", old.Order}, {"date", string(old.Date)}} {
		now, ok := said[f.member]
		if !ok {
			continue
		}
		has := ""
		if f.has != "" {
			has = string(quote(f.has))
		}
		if now.same != has {
			differ(now.cell, fmt.Sprintf("%s with %s %s", s.what, f.member, orNone(now.same)), orNone(has)+", as the record has it")
		}
	}
	for _, m := range s.lines {
		line, err := saidOf(m.Value)
		if err != nil { // the schema refuses it, and says why better
			return false
		}
		was, ok := old.Lines[m.Name]
		if !ok {
			differ(s.numbers[m.Name], fmt.Sprintf("line %q of %s", m.Name, s.what), "a line that the record has under that number")
			continue
		}
		has := canonical(was)
		for _, member := range []string{"part", "quantity", "room", "elevation"} {
			if now, said := line[member]; said && now != has[member] {
				differ(s.numbers[m.Name], fmt.Sprintf("line %q of %s with %s %s", m.Name, s.what, member, now), fmt.Sprintf("%s, as the record has it", orNone(has[member])))
			}
		}
	}
	return len(b.problems) > found
}

// receipts adds the counts that are new.
func (b *build) receipts(all []*shipment) error {
	type receipt struct {
		number, on, by, at string
		lines              object
	}
	var fresh []*receipt
	byKey := map[string]*receipt{}
	known := map[string]map[string]schema.Received{} // what the record has, by count and line
	for _, old := range b.base.Record.Arrived.Receipts {
		key := count{by: old.By, on: string(old.Date)}.key(old.PackingList)
		if known[key] == nil {
			known[key] = map[string]schema.Received{}
		}
		maps.Copy(known[key], old.Lines)
	}
	had := len(b.base.Record.Arrived.Receipts)
	lines := 0
	for _, s := range all {
		for _, c := range s.counts {
			key := c.key(s.number)
			if old, ok := known[key][c.line]; ok {
				now, err := canonicalText[schema.Received](c.value)
				if has := canonical(old); err == nil && !maps.Equal(now, has) {
					b.wrong(schema.Contradiction, c.cell, fmt.Sprintf("another count of line %q by %s on %s", c.line, c.by, c.on), fmt.Sprintf("%d good and %d damaged, as the record has it", old.Good, old.Damaged),
						"correct the row; give a count that comes on top its own day or counter")
				}
				continue
			}
			r, ok := byKey[key]
			if !ok {
				r = &receipt{number: s.number, on: c.on, by: c.by, at: schema.Pointer("/arrived/receipts", had+len(fresh))}
				byKey[key] = r
				fresh = append(fresh, r)
				b.origin[r.at] = c.cell
			}
			r.lines.put(c.line, c.value)
			b.origin[schema.Pointer(r.at, "lines", c.line)] = c.cell
			lines++
		}
	}
	values := make([][]byte, len(fresh))
	for i, r := range fresh {
		var o object
		o.text("packing_list", r.number)
		o.text("date", r.on)
		o.text("by", r.by)
		o.put("lines", r.lines.json())
		o.put("entered", b.entry())
		values[i] = o.json()
	}
	b.say(len(fresh), fmt.Sprintf("receipt (%s counted)", plaintext.Count(lines, "line")), fmt.Sprintf("receipts (%s counted)", plaintext.Count(lines, "line")))
	return b.append("/arrived/receipts", true, elements(values))
}
