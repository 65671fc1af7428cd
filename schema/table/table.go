// Package table reads delimited text as spreadsheets write it, under headings
// that are known beforehand.
//
// [Read] takes the bytes of a file (UTF-8, UTF-16 with a byte-order mark, or
// Windows-1252; separated by commas, semicolons or tabs; any line ends) and
// gives its rows, each cell with its place. Headings may be written in any
// case and with spaces, underscores or hyphens. What is wrong comes as
// [schema.Problems], all of them at once.
package table

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"setline.example/schema"
	"setline.example/schema/plaintext"
)

// Limits on a table. They are far above what a real job needs, and keep a
// hostile or broken file from taking the machine with it.
const (
	MaxBytes   = 16 << 20 // size of one file
	MaxRows    = 100_000  // rows under the headings
	MaxColumns = 200      // cells in one row
	MaxCell    = 4000     // characters in one cell
)

// mostShown is how many characters of a cell a message shows.
const mostShown = 40

// Column is a column that a table may have.
type Column struct {
	Name   string   // its heading
	Also   []string // other words the trade heads it with
	Needed bool     // whether a table without it is refused
}

// Table is a table that was read.
type Table struct {
	File string
	Rows []Row
	// Bad holds the problems of rows that could not be told apart into cells. They are not among Rows.
	Bad schema.Problems

	headings []string       // as the file writes them
	index    map[string]int // from the name of a column to its number, from 0
}

// Row is a row under the headings that is not empty.
type Row struct {
	Line  int // line of the file on which it begins
	table *Table
	cells []place
}

// place is a text and the line on which it begins.
type place struct {
	text string
	line int
}

// Cell is one cell of a row.
type Cell struct {
	Text    string // without white space around it
	File    string
	Row     int    // line on which its row begins
	Line    int    // line on which it begins itself
	Column  int    // number of its column from 1; 0 for a column that the table does not have
	Heading string // of its column, as the file writes it
}

// Problem says that something is wrong with the cell.
func (c Cell) Problem(found, expected, mend string) schema.Problem {
	return schema.Problem{File: c.File, Line: c.Line, Column: c.Column, Heading: c.Heading, Found: found, Expected: expected, Mend: mend}
}

// Cell returns the row's cell in the column called name. In a table without
// that column it is empty.
func (r Row) Cell(name string) Cell {
	i, ok := r.table.index[name]
	if !ok {
		return Cell{File: r.table.File, Row: r.Line, Line: r.Line, Heading: name}
	}
	p := r.cells[i]
	return Cell{Text: p.text, File: r.table.File, Row: r.Line, Line: p.line, Column: i + 1, Heading: r.table.headings[i]}
}

// Read reads the table in file with the bytes data. The error is
// [schema.Problems] where there is no table to be had from it; rows that are
// broken each for itself are in Bad.
func Read(file string, data []byte, columns []Column) (*Table, error) {
	text, problem := decode(data)
	if problem == nil && strings.TrimSpace(text) == "" {
		problem = &schema.Problem{Found: "nothing", Expected: "a table with a row of headings: " + headings(columns), Mend: "check that this is the file you meant"}
	}
	if problem != nil {
		problem.File = file
		return nil, schema.Problems{*problem}
	}
	t := &Table{File: file, index: map[string]int{}}
	s := newScanner(file, text)
	head := s.row()
	for head.problem == nil && isEmpty(head.cells) && s.more() {
		head = s.row()
	}
	if head.problem == nil && isEmpty(head.cells) { // nothing but delimiters
		head.problem = &schema.Problem{File: file, Line: head.line, Found: "a first row without headings", Expected: headings(columns), Mend: "put the headings first"}
	}
	if head.problem != nil {
		return nil, schema.Problems{*head.problem}
	}
	if problems := t.head(head, columns); len(problems) > 0 {
		return nil, problems
	}
	for s.more() {
		r := s.row()
		switch {
		case r.problem != nil:
			t.Bad = append(t.Bad, *r.problem)
		case isEmpty(r.cells):
			continue
		default:
			t.body(r)
		}
		if s.open {
			return nil, t.Bad // what follows an open quotation mark cannot be told apart
		}
		if len(t.Rows)+len(t.Bad) > MaxRows {
			return nil, schema.Problems{{File: file, Line: r.line, Found: fmt.Sprintf("more than %d rows", MaxRows), Expected: "a table of one job, which has far fewer", Mend: "check that this is the file you meant"}}
		}
	}
	return t, nil
}

func isEmpty(cells []place) bool {
	return !slices.ContainsFunc(cells, func(p place) bool { return p.text != "" })
}

// trimmed leaves out the run of empty cells at the end of a row.
func trimmed(cells []place) []place {
	n := len(cells)
	for n > 0 && cells[n-1].text == "" {
		n--
	}
	return cells[:n]
}

// plain is a heading without what may be written one way or another.
func plain(heading string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsNumber(r) {
			return unicode.ToLower(r)
		}
		return -1
	}, heading)
}

func headings(columns []Column) string {
	names := make([]string, len(columns))
	for i, c := range columns {
		names[i] = c.Name
	}
	return strings.Join(names, ", ")
}

// head reads the headings.
func (t *Table) head(r row, columns []Column) (problems schema.Problems) {
	known := map[string]string{} // from a plain heading to the column's name
	var words []string
	for _, c := range columns {
		for _, w := range append([]string{c.Name}, c.Also...) {
			known[plain(w)] = c.Name
			words = append(words, w)
		}
	}
	for i, cell := range trimmed(r.cells) {
		t.headings = append(t.headings, strings.Join(strings.Fields(cell.text), " "))
		at := Cell{File: t.File, Line: cell.line, Column: i + 1}
		name, ok := known[plain(cell.text)]
		first, twice := t.index[name]
		switch {
		case cell.text == "":
			problems = append(problems, at.Problem("a column without a heading", "a heading over every column", "write one, or remove the column"))
		case !ok:
			mend := "remove the column; nothing reads it, and what was meant by it would be lost"
			if near := schema.Nearest(t.headings[i], words); near != "" {
				mend = fmt.Sprintf("write %q if that is meant, else remove the column", near)
			}
			problems = append(problems, at.Problem(fmt.Sprintf("the unknown heading %q", t.headings[i]), "one of "+headings(columns), mend))
		case twice:
			problems = append(problems, at.Problem(fmt.Sprintf("the heading %q a second time, after %q in column %d", t.headings[i], t.headings[first], first+1),
				"each column once", "remove one of the two, or correct its heading"))
		default:
			t.index[name] = i
		}
	}
	var missing schema.Problems
	for _, c := range columns {
		if _, ok := t.index[c.Name]; c.Needed && !ok {
			missing = append(missing, schema.Problem{File: t.File, Line: r.line, Found: fmt.Sprintf("no column %q", c.Name),
				Expected: "a column with that heading", Mend: fmt.Sprintf("add a column %q", c.Name)})
		}
	}
	return append(missing, problems...)
}

// body reads a row under the headings.
func (t *Table) body(r row) {
	want := len(t.headings)
	cells := r.cells
	if len(cells) > want {
		cells = cells[:max(want, len(trimmed(cells)))]
	}
	p := schema.Problem{File: t.File, Line: r.line, Expected: fmt.Sprintf("%d, one for each heading", want)}
	switch {
	case len(cells) < want:
		p.Found = fmt.Sprintf("a row of %d cells, nothing for %s", len(cells), strings.Join(t.headings[len(cells):], ", "))
		p.Mend = "write a delimiter for an empty cell too; a spreadsheet does so when it saves"
	case len(cells) > want:
		p.Found = fmt.Sprintf("a row of %d cells, %q beyond the last heading", len(cells), plaintext.Cut(cells[want].text, mostShown))
		p.Mend = fmt.Sprintf("put a cell that holds the delimiter %q in quotation marks, or give the column a heading", r.delimiter)
	default:
		t.Rows = append(t.Rows, Row{Line: r.line, table: t, cells: slices.Clone(cells)})
		return
	}
	t.Bad = append(t.Bad, p)
}
