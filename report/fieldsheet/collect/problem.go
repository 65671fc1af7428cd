package collect

import (
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"

	"setline.example/schema/plaintext"
)

// Problem is one thing wrong with a filled sheet: where it is, what stands
// there, what was expected, and how to mend it.
type Problem struct {
	File  string
	Page  int    // of a PDF, from 1; 0 where it has no place
	Line  int    // of Markdown, from 1; 0 where it has no place
	Words string // what the sheet calls the box
	Field string // the name of the box; "" where the problem is not of one

	Found    string
	Expected string
	Mend     string
}

// Error gives the problem on one line, without its mend.
func (p Problem) Error() string {
	where := p.where()
	if p.Words != "" {
		where += ": " + p.Words
	}
	if p.Field != "" {
		where += " (" + p.Field + ")"
	}
	return fmt.Sprintf("%s: found %s, expected %s", where, p.Found, p.Expected)
}

func (p Problem) where() string {
	switch {
	case p.Page > 0:
		return fmt.Sprintf("%s: page %d", p.File, p.Page)
	case p.Line > 0:
		return fmt.Sprintf("%s:%d", p.File, p.Line)
	}
	return p.File
}

// Problems are all problems of the sheets, in the order of the sheets.
type Problems []Problem

// Error gives every problem, a line each.
func (ps Problems) Error() string {
	lines := make([]string, len(ps))
	for i, p := range ps {
		lines[i] = p.Error()
	}
	return strings.Join(lines, "\n")
}

// mostOfName is how many characters of a box's name a problem shows.
const mostOfName = 200

// shown writes what was typed into a box, cut where it is long.
func shown(text string) string {
	const most = 60
	quoted := strconv.Quote(plaintext.Cut(text, most))
	if n := utf8.RuneCountInString(text); n > most {
		return fmt.Sprintf("%s (%d characters)", quoted, n)
	}
	return quoted
}
