// Package table reads delimited text as spreadsheets write it, under headings
// that are known beforehand.
//
// [Read] takes the bytes of a file (UTF-8, UTF-16 with a byte-order mark, or
// Windows-1252; separated by commas, semicolons or tabs; any line ends) and
// gives its rows, each cell with its place. Headings may be written in any
// case and with spaces, underscores or hyphens. What is wrong comes as
// [schema.Problems], all of them at once.
//
// What is where: tables as spreadsheets write them, workbooks (workbook.go) and delimited
// text: encodings, delimiters, headings with their units, and the place of every cell. Our
// own reader, since encoding/csv knows no lone carriage returns, stops at the first error,
// and either refuses 34 1/2" or lets a quoted cell run on; tests hold the two against each
// other.
package table

import (
	"cmp"
	"fmt"
	"regexp"
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
	Length bool     // whether its cells are lengths, so that a heading may bear their unit: "reading (in)"
}

// Table is a table that was read.
type Table struct {
	File string
	Rows []Row
	// Bad holds the problems of rows that could not be told apart into cells. They are not among Rows.
	Bad schema.Problems

	headings []string          // as the file writes them
	index    map[string]int    // from the name of a column to its number, from 0
	units    map[string]string // that headings bear, by the name of the column
	leaveOut []string          // headings of columns that are not read
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
	Text    string // without white space around it, nor what kept a spreadsheet from taking it for a formula
	File    string
	Row     int    // line on which its row begins
	Line    int    // line on which it begins itself
	Column  int    // number of its column from 1; 0 for a column that the table does not have
	Heading string // of its column, as the file writes it
	Unit    string // that the heading bears, "" for none
}

// Problem says that something is wrong with the cell.
func (c Cell) Problem(kind schema.ProblemKind, found, expected, mend string) schema.Problem {
	return schema.Problem{Kind: kind, File: c.File, Line: c.Line, Column: c.Column, Words: c.Heading, Found: found, Expected: expected, Mend: mend}
}

// Cell returns the row's cell in the column called name. In a table without
// that column it is empty.
func (r Row) Cell(name string) Cell {
	i, ok := r.table.index[name]
	if !ok {
		return Cell{File: r.table.File, Row: r.Line, Line: r.Line, Heading: name}
	}
	p := r.cells[i]
	return Cell{Text: plaintext.Typed(p.text), File: r.table.File, Row: r.Line, Line: p.line, Column: i + 1, Heading: r.table.headings[i], Unit: r.table.units[name]}
}

// Table is the table that the row is of.
func (r Row) Table() *Table { return r.table }

// Read reads the table in file with the bytes data. The error is
// [schema.Problems] where there is no table to be had from it; rows that are
// broken each for itself are in Bad. Columns with one of the headings leaveOut
// are not read.
func Read(file string, data []byte, columns []Column, leaveOut ...string) (*Table, error) {
	next, more, problem := rowsOf(file, data)
	if problem != nil {
		problem.File = file
		return nil, schema.Problems{*problem}
	}
	nothing := schema.Problem{Kind: schema.OtherFile, File: file, Found: "nothing", Expected: "a table with a row of headings: " + headings(columns), Mend: "check that this is the file you meant"}
	if !more() {
		return nil, schema.Problems{nothing}
	}
	t := &Table{File: file, index: map[string]int{}, units: map[string]string{}, leaveOut: leaveOut}
	head := next()
	for head.problem == nil && isEmpty(head.cells) && more() {
		head = next()
	}
	if head.problem == nil && isEmpty(head.cells) { // nothing but delimiters
		head.problem = &schema.Problem{Kind: schema.Missing, File: file, Line: head.line, Found: "a first row without headings", Expected: headings(columns), Mend: "put the headings first"}
	}
	if head.problem != nil {
		return nil, schema.Problems{*head.problem}
	}
	if problems := t.head(head, columns); len(problems) > 0 {
		return nil, problems
	}
	for more() {
		r := next()
		switch {
		case r.problem != nil:
			t.Bad = append(t.Bad, *r.problem)
		case isEmpty(r.cells):
			continue
		default:
			t.body(r)
		}
		if r.open {
			return nil, t.Bad // what follows an open quotation mark cannot be told apart
		}
		if len(t.Rows)+len(t.Bad) > MaxRows {
			return nil, schema.Problems{{Kind: schema.TooLarge, File: file, Line: r.line, Found: fmt.Sprintf("more than %d rows", MaxRows), Expected: "a table of one job, which has far fewer", Mend: "check that this is the file you meant"}}
		}
	}
	return t, nil
}

// rowsOf gives the rows of a file, one after the other: of delimited text, or of
// a sheet of a workbook, which a "#" in the name names.
func rowsOf(file string, data []byte) (next func() row, more func() bool, problem *schema.Problem) {
	if len(data) <= MaxBytes && IsWorkbook(data) {
		_, sheet, _ := strings.Cut(file, "#")
		rows, problem := workbook(file, sheet, data)
		return func() row { r := rows[0]; rows = rows[1:]; return r }, func() bool { return len(rows) > 0 }, problem
	}
	text, problem := decode(data)
	if problem != nil {
		return nil, nil, problem
	}
	if strings.TrimSpace(text) == "" {
		return nil, func() bool { return false }, nil
	}
	s := newScanner(file, text)
	return func() row { r := s.row(); r.open = s.open; return r }, s.more, nil
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

// withUnit fits a heading that bears the unit of its cells.
var withUnit = regexp.MustCompile(`(?i)^(.*\S)\s*[(\[]\s*(in|inch|inches|"|ft|feet|mm|cm|m)\.?\s*[)\]]$`)

// unitWords are units as lengths are written with them.
var unitWords = map[string]string{"inch": "in", "inches": "in", `"`: "in", "feet": "ft"}

// known are the columns by their headings without what may be written one way
// or another, and all those words.
func known(columns []Column) (byWord map[string]Column, words []string) {
	byWord = map[string]Column{}
	for _, c := range columns {
		for _, w := range append([]string{c.Name}, c.Also...) {
			byWord[plain(w)] = c
			words = append(words, w)
		}
	}
	return byWord, words
}

// head reads the headings.
func (t *Table) head(r row, columns []Column) (problems schema.Problems) {
	byWord, words := known(columns)
	var unknown []Cell
	for i, cell := range trimmed(r.cells) {
		t.headings = append(t.headings, strings.Join(strings.Fields(cell.text), " "))
		at := Cell{File: t.File, Line: cell.line, Column: i + 1, Text: t.headings[i]}
		column, ok := byWord[plain(cell.text)]
		if m := withUnit.FindStringSubmatch(at.Text); m != nil && !ok {
			if column, ok = byWord[plain(m[1])]; ok && column.Length {
				unit := strings.ToLower(m[2])
				t.units[column.Name] = cmp.Or(unitWords[unit], unit)
			} else {
				ok = false
			}
		}
		first, twice := t.index[column.Name]
		switch {
		case cell.text == "":
			problems = append(problems, at.Problem(schema.Missing, "a column without a heading", "a heading over every column", "write one, or remove the column"))
		case !ok && slices.ContainsFunc(t.leaveOut, func(name string) bool { return plain(name) == plain(at.Text) }):
		case !ok:
			unknown = append(unknown, at)
		case twice:
			problems = append(problems, at.Problem(schema.Twice, fmt.Sprintf("the heading %q a second time, after %q in column %d", t.headings[i], t.headings[first], first+1),
				"each column once", "remove one of the two, or correct its heading"))
		default:
			t.index[column.Name] = i
		}
	}
	var missing schema.Problems
	var needed []string
	for _, c := range columns {
		if _, ok := t.index[c.Name]; c.Needed && !ok {
			needed = append(needed, append([]string{c.Name}, c.Also...)...)
			missing = append(missing, schema.Problem{Kind: schema.Missing, File: t.File, Line: r.line, Found: fmt.Sprintf("no column %q", c.Name),
				Expected: "a column with that heading", Mend: fmt.Sprintf("add a column %q", c.Name)})
		}
	}
	for _, at := range unknown {
		problems = append(problems, at.Problem(schema.Unknown, fmt.Sprintf("the unknown heading %q", at.Text), "one of "+headings(columns), mendHeading(at.Text, needed, words)))
	}
	return append(missing, problems...)
}

// mendHeading says what to do about an unknown heading: one that is missing is
// meant before one that is there.
func mendHeading(heading string, needed, words []string) string {
	bare := heading
	if m := withUnit.FindStringSubmatch(heading); m != nil {
		bare = m[1]
	}
	for _, from := range [][]string{needed, words} {
		if near := schema.Nearest(bare, from); near != "" {
			return fmt.Sprintf("write %q if that is meant, else remove the column", near)
		}
	}
	for _, w := range needed {
		if strings.Contains(plain(heading), plain(w)) {
			return fmt.Sprintf("write %q if that is meant, else remove the column", w)
		}
	}
	return "remove the column; nothing reads it, and what was meant by it would be lost"
}

// body reads a row under the headings.
func (t *Table) body(r row) {
	want := len(t.headings)
	cells := r.cells
	if len(cells) > want {
		cells = cells[:max(want, len(trimmed(cells)))]
	}
	p := schema.Problem{Kind: schema.Malformed, File: t.File, Line: r.line, Expected: fmt.Sprintf("%d, one for each heading", want)}
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
