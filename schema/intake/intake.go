// Package intake makes parts of a job record from tables, as spreadsheets
// write them: units as drawn, packing lists and receipts, floor readings,
// instruments, screws.
//
// [Bring] adds what the tables hold to the text of a record, by the smallest
// change (package [setline.example/schema/amend]), and reads the result with
// [schema.Read], so that what a row means is checked by the same code as what
// a record says. A problem that comes from a row names its file, line and
// column. What the record has already is not added again; what contradicts it
// is a problem. Nothing is brought in until all rows are right, unless the
// caller lets bad rows be skipped.
//
// What is where: headings.go lists the columns, units.go, catalog.go, packing.go, floor.go
// and tools.go read one kind of table each, facts.go holds what several rows say of one
// thing, plan.go compares a table with the plan and takes it over, with stands.go (where
// each unit stands) and former.go (what counts no more goes into the history of its
// visit), mark.go adds a set-height mark to the floor it belongs to, doubt.go asks which readings are likely slips, intake.go puts it into the
// record, reads the result with schema.Read, and gives its problems to the rows they come
// from.
package intake

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"setline.example/schema"
	"setline.example/schema/amend"
	"setline.example/schema/table"
)

// Base is the record to add to: its name, its text, and what the text says.
// The record may lack rooms, where the tables bring them.
type Base struct {
	Name   string
	Text   []byte
	Record *schema.Record
}

// Input is what to bring in. A table that is nil brings nothing.
type Input struct {
	Units, Tops, PackingList, Floor, Instruments, Screws *table.Table
	// Checks are the instruments that the floor was read with, and how each was
	// checked; they come on top of those of Visit.
	Checks *table.Table
	// Visit says when, by whom and with what the floor was read.
	Visit Visit
	// Doubts says which readings of a visit, a position in the record, are
	// likely slips; nil where nobody asks.
	Doubts func(rec *schema.Record, visit int) schema.Problems
	// AsRead names the rows whose readings stand though they are doubted:
	// "floor.csv:12".
	AsRead []string
}

// Visit is the occasion on which the floor was read.
type Visit struct {
	Date        string // as YYYY-MM-DD
	Purpose     string
	People      []schema.Party
	Instruments []Instrument
}

// Instrument is an instrument taken on a visit, and the date of its last
// check, "" where that is not known.
type Instrument struct {
	Name, Checked string
	use           []byte // all that is known of it, in JSON; nil for Checked alone
	cell          table.Cell
}

// Outcome is what came of it.
type Outcome struct {
	Text    []byte          // the record with what was added
	Added   []string        // what that was, such as "6 units"; none where the record had it all
	Skipped schema.Problems // why rows were skipped
	Rows    int             // how many rows were skipped
}

// Bring adds what in holds to base. The error is [schema.Problems], all of
// them at once, and then nothing is brought in. With skipBad, rows that have
// problems are left out instead, and come with them in the outcome.
func Bring(base Base, in Input, skipBad bool) (*Outcome, error) {
	skip := map[rowID]bool{}
	var skipped []problem
	for {
		b := &build{base: base, text: base.Text, skip: skip, origin: map[string]table.Cell{}}
		for _, t := range in.tables() {
			for _, p := range t.Bad {
				if row := (rowID{t.File, p.Line}); !skip[row] {
					b.problems = append(b.problems, problem{p, []rowID{row}})
				}
			}
		}
		if err := b.all(in); err != nil {
			return nil, err
		}
		if err := b.check(in); err != nil {
			return nil, err
		}
		found := b.problems
		if len(found) == 0 {
			return &Outcome{b.text, b.added, sorted(in, skipped), len(skip)}, nil
		}
		elsewhere := slices.ContainsFunc(found, func(p problem) bool { return len(p.rows) == 0 })
		if !skipBad || elsewhere {
			return nil, byColumn(sorted(in, append(skipped, found...)))
		}
		before := len(skip)
		for _, p := range found {
			for _, row := range p.rows {
				skip[row] = true
			}
		}
		skipped = append(skipped, found...)
		if len(skip) == before {
			return nil, byColumn(sorted(in, skipped))
		}
	}
}

func (in Input) tables() []*table.Table {
	all := []*table.Table{in.Instruments, in.Screws, in.Units, in.Tops, in.PackingList, in.Checks, in.Floor}
	return slices.DeleteFunc(all, func(t *table.Table) bool { return t == nil })
}

// rowID is a row of a table by its file and first line. The zero rowID is no row.
type rowID struct {
	file string
	line int
}

func rowOf(c table.Cell) rowID { return rowID{c.File, c.Row} }

// problem is a problem and the rows to skip for it. Without rows it comes from
// elsewhere.
type problem struct {
	schema.Problem
	rows []rowID
}

// sorted puts problems in the order of the tables and their lines.
func sorted(in Input, found []problem) schema.Problems {
	place := map[string]int{}
	for i, t := range in.tables() {
		place[t.File] = i + 1
	}
	slices.SortStableFunc(found, func(a, b problem) int {
		if a.File != b.File {
			return place[a.File] - place[b.File]
		}
		if a.Line != b.Line {
			return a.Line - b.Line
		}
		return a.Column - b.Column
	})
	out := make(schema.Problems, len(found))
	for i, p := range found {
		out[i] = p.Problem
	}
	return slices.Compact(out)
}

// mostRows is of how many rows a problem of one column is told one by one.
const mostRows = 3

// byColumn tells what is wrong alike in many rows of a column once.
func byColumn(all schema.Problems) schema.Problems {
	type column struct {
		file, heading, expected string
	}
	rows, last := map[column]int{}, map[column]int{}
	of := func(p schema.Problem) column { return column{p.File, p.Words, p.Expected} }
	for _, p := range all {
		rows[of(p)]++
		last[of(p)] = p.Line
	}
	told := map[column]bool{}
	var out schema.Problems
	for _, p := range all {
		k := of(p)
		many := p.Words != "" && rows[k] > mostRows
		if many && told[k] {
			continue
		}
		told[k] = true
		if many {
			p.Found += fmt.Sprintf(" (and %d more of this column alike, the last on line %d)", rows[k]-1, last[k])
		}
		out = append(out, p)
	}
	return out
}

// build is one attempt to bring everything in.
type build struct {
	base     Base
	text     []byte
	skip     map[rowID]bool
	origin   map[string]table.Cell // the cell that a place of the record comes from
	problems []problem
	added    []string
	facts    int // that were added to what the record has already
	entered  int // entries that these tables make
	// replan says what becomes of an instrument or a screw that is new, or that
	// the record has otherwise; nil where the record has to agree.
	replan func(what, at string, was, value []byte) error
}

// entry is the place in the order of entry of what is entered next.
func (b *build) entry() []byte {
	b.entered++
	return strconv.AppendInt(nil, int64(b.base.Record.NextEntry()+b.entered-1), 10)
}

func (b *build) all(in Input) error {
	err := b.steps([]step{{in.Instruments, b.instruments}, {in.Screws, b.screws}, {in.Units, b.units}, {in.Tops, b.tops}})
	if err == nil {
		err = b.plannedSince()
	}
	if err == nil {
		err = b.steps([]step{{in.PackingList, b.packing}, {in.Floor, func(t *table.Table) error { return b.floor(t, b.checked(in)) }}})
	}
	b.say(b.facts, "fact that the record lacked", "facts that the record lacked")
	return err
}

// step brings in one table, where there is one.
type step struct {
	table *table.Table
	bring func(*table.Table) error
}

func (b *build) steps(all []step) error {
	for _, s := range all {
		if s.table == nil {
			continue
		}
		if err := s.bring(s.table); err != nil {
			return err
		}
	}
	return nil
}

// check reads the record that was made and gives its problems to the rows
// they come from.
func (b *build) check(in Input) error {
	if len(b.text) > schema.MaxBytes {
		return schema.Problems{{Kind: schema.TooLarge, File: b.base.Name, Found: fmt.Sprintf("a record of more than %d MiB with what the tables hold", schema.MaxBytes>>20), Expected: "a record that can be read again", Mend: "make one record per room"}}
	}
	rec, _, err := schema.Read(b.base.Name, b.text)
	if err == nil {
		b.doubt(rec, in)
		return nil
	}
	var problems schema.Problems
	if !errors.As(err, &problems) {
		return err
	}
	has := map[rowID]bool{}
	for _, p := range b.problems {
		for _, row := range p.rows {
			has[row] = true
		}
	}
	// Where units have problems, what refers to them looks wrong too.
	unsure := in.Floor != nil && in.Units != nil && slices.ContainsFunc(b.problems, func(p problem) bool { return p.File == in.Units.File })
	incomplete := len(b.problems) > 0
	for _, p := range problems {
		c, ok := b.from(p.Pointer)
		switch {
		case ok && has[rowOf(c)], ok && unsure && c.File == in.Floor.File:
		case ok:
			b.problems = append(b.problems, problem{c.Problem(p.Kind, p.Found, p.Expected, p.Mend), []rowID{rowOf(c)}})
		case !incomplete:
			p.Line, p.Column = 0, 0 // the text is not written yet, so it has no lines to look at
			b.problems = append(b.problems, problem{p, nil})
		}
	}
	return nil
}

// from gives the cell that the value at pointer, or what holds it, comes from.
func (b *build) from(pointer string) (table.Cell, bool) {
	for {
		if c, ok := b.origin[pointer]; ok {
			return c, true
		}
		cut := strings.LastIndexByte(pointer, '/')
		if cut < 0 {
			return table.Cell{}, false
		}
		pointer = pointer[:cut]
	}
}

// append adds members at the end of the object or list at pointer.
func (b *build) append(pointer string, list bool, members []amend.Member) error {
	text, err := amend.Append(b.text, pointer, list, members)
	if err != nil {
		return fmt.Errorf("%s: %w", b.base.Name, err)
	}
	b.text = text
	return nil
}

// say notes how many of what were added.
func (b *build) say(n int, one, many string) {
	switch {
	case n == 1:
		b.added = append(b.added, "1 "+one)
	case n > 1:
		b.added = append(b.added, fmt.Sprintf("%d %s", n, many))
	}
}

// wrong notes that something is wrong with a cell, for which the rows are bad,
// its own row without others.
func (b *build) wrong(kind schema.ProblemKind, c table.Cell, found, expected, mend string, rows ...rowID) {
	if len(rows) == 0 {
		rows = []rowID{rowOf(c)}
	}
	if more := len(rows) - 1; more > 0 {
		found += fmt.Sprintf(" (%d rows, the last on line %d)", len(rows), rows[more].line)
	}
	b.problems = append(b.problems, problem{c.Problem(kind, found, expected, mend), rows})
}
