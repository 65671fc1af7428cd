package table

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"setline.example/schema"
	"setline.example/schema/plaintext"
)

// scanner tells a text apart into rows and cells by RFC 4180, with any of the
// three delimiters and line ends. A quotation mark inside a cell that does not
// begin with one is itself: 34 1/2" is how people write inches.
//
// It is our own, since encoding/csv knows no lone carriage returns, stops at
// the first error, and either refuses such a mark or lets a quoted cell run on
// past its end.
type scanner struct {
	file      string
	rest      string
	line      int
	delimiter rune
	open      bool // a quotation mark was never closed
	cells     []place
}

// row is a row as it stands in the file.
type row struct {
	open      bool // a quotation mark in it is never closed
	line      int
	delimiter string
	cells     []place
	problem   *schema.Problem
}

// newScanner begins at the first line that is not empty. A line "sep=;" there
// says outright what separates the cells, as some spreadsheets write it.
func newScanner(file, text string) *scanner {
	s := &scanner{file: file, rest: text, line: 1}
	for s.lineBreak() {
	}
	said, ok := strings.CutPrefix(s.rest, "sep=")
	if ok && len(said) > 1 && strings.IndexByte(",;\t", said[0]) >= 0 && (said[1] == '\r' || said[1] == '\n') {
		s.delimiter, s.rest = rune(said[0]), said[1:]
		s.lineBreak()
	} else {
		s.delimiter = delimiterOf(s.rest)
	}
	return s
}

func (s *scanner) more() bool { return s.rest != "" }

// lineBreak passes over the line end that comes next, if one does.
func (s *scanner) lineBreak() bool {
	for _, end := range []string{"\r\n", "\n", "\r"} {
		if rest, ok := strings.CutPrefix(s.rest, end); ok {
			s.rest = rest
			s.line++
			return true
		}
	}
	return false
}

// row reads one row and the line end behind it.
func (s *scanner) row() row {
	r := row{line: s.line, delimiter: string(s.delimiter)}
	s.cells = s.cells[:0]
	wrong := func(kind schema.ProblemKind, column, line int, found, expected, mend string) {
		if r.problem == nil {
			r.problem = &schema.Problem{Kind: kind, File: s.file, Line: line, Column: column, Found: found, Expected: expected, Mend: mend}
		}
	}
	for {
		column, line := len(s.cells)+1, s.line
		text, ok := s.cell()
		switch {
		case s.open:
			wrong(schema.Malformed, column, line, "a quotation mark that is never closed", "a second one at the end of the cell", `close it, or write a cell with a quotation mark in it as "34 1/2"""`)
			r.cells = s.cells
			return r
		case !ok:
			wrong(schema.Malformed, column, line, fmt.Sprintf("text behind the closing quotation mark of %q", plaintext.Cut(text, mostShown)), "the end of the cell", `double a quotation mark inside a quoted cell: "34 1/2"""`)
		case utf8.RuneCountInString(text) > MaxCell:
			wrong(schema.TooLarge, column, line, fmt.Sprintf("a cell of more than %d characters", MaxCell), "a cell that people read", "shorten it")
		case column > MaxColumns:
			wrong(schema.TooLarge, column, line, fmt.Sprintf("more than %d cells in a row", MaxColumns), "a table of one job, which has far fewer", "check that this is the file you meant")
		default:
			if i := strings.IndexFunc(text, unprintable); i >= 0 {
				c, _ := utf8.DecodeRuneInString(text[i:])
				wrong(schema.Malformed, column, line, fmt.Sprintf("the character %U in %q", c, plaintext.Cut(text, mostShown)), "text that can be printed", "write the cell anew")
			}
		}
		if column <= MaxColumns {
			s.cells = append(s.cells, place{strings.TrimSpace(text), line})
		}
		if s.rest == "" || s.lineBreak() {
			break
		}
		s.rest = s.rest[1:] // the delimiter
	}
	r.cells = s.cells
	return r
}

// unprintable reports whether r cannot be meant: a control, or the mark of a
// character that was lost.
func unprintable(r rune) bool {
	return unicode.IsControl(r) && !strings.ContainsRune("\r\n\t", r) || r == utf8.RuneError
}

// cell reads one cell, up to its delimiter or line end. It is not ok where
// text stands behind a closing quotation mark; that text is passed over.
func (s *scanner) cell() (text string, ok bool) {
	stops := string(s.delimiter) + "\r\n"
	if !strings.HasPrefix(s.rest, `"`) {
		end := strings.IndexAny(s.rest, stops)
		if end < 0 {
			end = len(s.rest)
		}
		text, s.rest = s.rest[:end], s.rest[end:]
		return text, true
	}
	s.rest = s.rest[1:]
	var b strings.Builder
	for {
		next := strings.IndexAny(s.rest, "\"\r\n")
		if next < 0 {
			s.open, s.rest = true, ""
			return b.String(), false
		}
		b.WriteString(s.rest[:next])
		s.rest = s.rest[next:]
		if s.lineBreak() {
			b.WriteByte('\n') // as encoding/csv gives it
			continue
		}
		s.rest = s.rest[1:]
		if !strings.HasPrefix(s.rest, `"`) {
			break
		}
		b.WriteByte('"')
		s.rest = s.rest[1:]
	}
	end := strings.IndexAny(s.rest, stops)
	if end < 0 {
		end = len(s.rest)
	}
	behind := s.rest[:end]
	s.rest = s.rest[end:]
	return b.String(), strings.Trim(behind, " ") == ""
}
