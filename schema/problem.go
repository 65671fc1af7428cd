package schema

import (
	"fmt"
	"strings"
)

// Problem is one thing wrong with a job record: where it is, what was found
// there, what was expected, and how to mend it.
type Problem struct {
	File    string // name of the file, "-" for standard input
	Line    int    // from 1; 0 where the problem has no place in the file
	Column  int    // from 1, in characters, in a table the number of the column; 0 where a whole line is meant
	Pointer string // JSON Pointer (RFC 6901) to the value; "" is the whole record
	Heading string // in a table, the heading of the column; "" in a record

	Found    string // what stands there
	Expected string // what should
	Mend     string // what to do about it, may be empty
}

// Error gives the problem on one line, without its mend.
func (p Problem) Error() string {
	var b strings.Builder
	b.WriteString(p.File)
	if p.Line > 0 {
		fmt.Fprintf(&b, ":%d", p.Line)
		if p.Column > 0 {
			fmt.Fprintf(&b, ":%d", p.Column)
		}
	}
	b.WriteString(": ")
	if p.Pointer != "" {
		b.WriteString(p.Pointer + ": ")
	}
	if p.Heading != "" {
		b.WriteString(p.Heading + ": ")
	}
	b.WriteString("found " + p.Found + ", expected " + p.Expected)
	return b.String()
}

// Problems are all problems of one record, in the order of the file. It is
// the error that [Read] returns for a record that cannot be used.
type Problems []Problem

// Error gives every problem, a line each.
func (ps Problems) Error() string {
	lines := make([]string, len(ps))
	for i, p := range ps {
		lines[i] = p.Error()
	}
	return strings.Join(lines, "\n")
}
