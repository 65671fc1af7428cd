package schema

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"setline.example/schema/plaintext"
)

// Problem is one thing wrong with what Setline was given: where it is, what was
// found there, what was expected, and how to mend it. A record, a table, a
// filled sheet, a trust list and a file that cannot be read all have problems of
// this one type.
type Problem struct {
	// What kind of trouble it is.
	Kind ProblemKind `json:"kind" jsonschema:"enum=unreadable,enum=too-large,enum=malformed,enum=other-file,enum=missing,enum=unknown,enum=twice,enum=wrong-form,enum=impossible,enum=contradiction,enum=doubted,enum=not-allowed,enum=unneeded,enum=own-fault"`
	File string      `json:"-"` // its name, "-" for standard input
	Page int         `json:"-"` // from 1, of a filled sheet in PDF; 0 for none
	// Line from 1; none where the problem has no place in the file.
	Line int `json:"line,omitempty"`
	// Column from 1, in characters.
	Column int `json:"column,omitempty"` // in a table the number of the column; 0 where a whole line is meant
	// JSON Pointer (RFC 6901) to the value; none is the whole record.
	Pointer string `json:"pointer,omitempty"`
	Words   string `json:"-"` // what people call the place: the heading of a table's column, the words beside a box, a flag
	Box     string `json:"-"` // its name in a filled sheet

	Found    string `json:"-"` // what stands there
	Expected string `json:"-"` // what should
	// What to do about it.
	Mend string `json:"mend,omitempty"`
}

// ProblemKind is what kind of trouble a problem is, by a name that stays.
type ProblemKind string

// The kinds of problems, from what keeps a file from being read to what only a
// person can decide.
const (
	Unreadable    ProblemKind = "unreadable"    // the file cannot be read, or is none
	TooLarge      ProblemKind = "too-large"     // it, or a part of it, is larger than any real one
	Malformed     ProblemKind = "malformed"     // it is broken JSON, a broken table, a broken PDF
	OtherFile     ProblemKind = "other-file"    // it is a file of another kind, version or job
	Missing       ProblemKind = "missing"       // what is needed is not there
	Unknown       ProblemKind = "unknown"       // a name that nothing here has
	Twice         ProblemKind = "twice"         // what can be there once is there again
	WrongForm     ProblemKind = "wrong-form"    // no value of the form that is asked for
	Impossible    ProblemKind = "impossible"    // a value that cannot be
	Contradiction ProblemKind = "contradiction" // two places that cannot both be right
	Doubted       ProblemKind = "doubted"       // a value that is likely a slip
	NotAllowed    ProblemKind = "not-allowed"   // what the rules let nobody do
	Unneeded      ProblemKind = "unneeded"      // what nothing asks for
	OwnFault      ProblemKind = "own-fault"     // Setline is wrong, and not the file
)

// Error gives the problem on one line, without its mend.
func (p Problem) Error() string { return p.place() + ": " + p.Text() }

// place names the file and where in it, as compilers do.
func (p Problem) place() string {
	switch {
	case p.Page > 0:
		return fmt.Sprintf("%s: page %d", p.File, p.Page)
	case p.Line > 0 && p.Column > 0:
		return fmt.Sprintf("%s:%d:%d", p.File, p.Line, p.Column)
	case p.Line > 0:
		return fmt.Sprintf("%s:%d", p.File, p.Line)
	}
	return p.File
}

// Text says what is wrong with what, for whoever knows the file and the line.
func (p Problem) Text() string {
	of := cmp.Or(p.Pointer, p.Words, p.Box)
	if of == "" {
		return p.Message()
	}
	if of != p.Box && p.Box != "" {
		of += " (" + p.Box + ")"
	}
	return of + ": " + p.Message()
}

// Message says what is wrong, in one sentence.
func (p Problem) Message() string { return "found " + p.Found + ", expected " + p.Expected }

// Short is p with words in it cut that are longer than anybody reads.
func (p Problem) Short() Problem {
	for _, text := range []*string{&p.Found, &p.Expected, &p.Mend} {
		*text = plaintext.ShortWords(*text)
	}
	return p
}

// Problems are all problems of one file, or of several. It is the error of
// whatever reads one that cannot be used.
type Problems []Problem

// Error gives every problem, a line each.
func (ps Problems) Error() string {
	lines := make([]string, len(ps))
	for i, p := range ps {
		lines[i] = p.Error()
	}
	return strings.Join(lines, "\n")
}

// Sort puts the problems of one file in its order.
func (ps Problems) Sort() {
	slices.SortStableFunc(ps, func(a, b Problem) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
}
