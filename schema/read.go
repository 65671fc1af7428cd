package schema

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/go-json-experiment/json/jsontext"
)

// Read reads the record named name with the bytes data. The error is
// [Problems] whenever the record cannot be used; the [Source] is there in any
// case.
func Read(name string, data []byte) (*Record, *Source, error) {
	src := NewSource(name, data)
	rec, problems := read(src)
	if len(problems) > 0 {
		problems.Sort()
		return nil, src, problems
	}
	return rec, src, nil
}

// ReadFrom is like [Read] for the bytes that r gives, of which it takes no
// more than [MaxBytes].
func ReadFrom(name string, r io.Reader) (*Record, *Source, error) {
	data, err := io.ReadAll(io.LimitReader(r, MaxBytes+1))
	if err != nil {
		return nil, NewSource(name, nil), fmt.Errorf("reading %s: %w", name, err)
	}
	if len(data) > MaxBytes {
		return nil, NewSource(name, nil), Problems{{
			Kind:     TooLarge,
			File:     name,
			Found:    fmt.Sprintf("more than %d MiB", MaxBytes>>20),
			Expected: "a job record, which is far smaller",
			Mend:     "check that this is the file you meant; split a job into one record per room",
		}}
	}
	return Read(name, data)
}

func read(src *Source) (*Record, Problems) {
	if rec, ok := decode(src.Data); ok {
		return rec, meaning(src, rec)
	}
	return readSlowly(src)
}

// readSlowly reads a record of which something is wrong, to say everything that is.
func readSlowly(src *Source) (*Record, Problems) {
	tree, problems, ok := record.tree(src)
	if !ok {
		return nil, problems
	}
	broken, rest := record.validate(src, tree)
	if problems = append(problems, broken...); len(problems) == 0 {
		return nil, Problems{disagreement(src)}
	}
	if rest {
		problems = append(problems, meaningOfTheRest(src, tree, broken)...)
	}
	return nil, problems
}

func (k *Kind) syntaxProblem(src *Source, err error) Problem {
	p := Problem{
		Kind:     Malformed,
		File:     src.Name,
		Expected: k.What + " in JSON (RFC 8259)",
		Mend:     "mend the text at this place; an editor that knows JSON shows it",
	}
	var syntax *jsontext.SyntacticError
	var long *longNumber
	switch {
	case foreign(src.Data) != "":
		p.Line, p.Column = 1, 1
		p.Found = foreign(src.Data)
		p.Expected = k.What + " in JSON, which is UTF-8 without one (RFC 8259, 8.1)"
		p.Mend = `save it as UTF-8 in your editor ("UTF-8", not "UTF-8 with BOM", "Unicode" or "UTF-16")`
		return p
	case another(src.Data) != nil:
		p.Found, p.Mend = another(src.Data).found, "name "+k.This+" itself"
		if k.Member == "setline" {
			p.Mend = another(src.Data).mend
		}
		return p
	case errors.As(err, &long):
		p.Line, p.Column = src.at(long.at)
		p.Pointer, p.Found = long.pointer, long.Error()
		p.Expected = fmt.Sprintf("numbers of at most %d characters", mostDigits)
		p.Mend = "write the number with the digits that it needs; a length stands in quotation marks, with its unit"
		return p
	case len(strings.TrimSpace(string(src.Data[:min(len(src.Data), 4096)]))) == 0 && len(src.Data) < 4096:
		p.Found, p.Mend = "nothing", k.Start
		return p
	case errors.As(err, &syntax):
		p.Line, p.Column = src.at(int(syntax.ByteOffset))
		p.Pointer = string(syntax.JSONPointer)
		p.Found = fmt.Sprintf("broken JSON (%v)", syntax.Err)
	case errors.Is(err, io.ErrUnexpectedEOF):
		p.Line, p.Column = src.at(len(src.Data))
		p.Found = "the end of the file in the middle of " + k.This
	default:
		p.Found = err.Error()
		if errors.Is(err, errTooDeep) {
			p.Mend = k.What + " needs no more than a dozen levels; check that this is the file you meant"
		}
	}
	return p
}

// anotherKind is a kind of file that is none in JSON, and what people mean by naming it.
type anotherKind struct{ begins, found, mend string }

var anotherKinds = []anotherKind{
	{"%PDF-", "a PDF", `take the record out of a report with "setline verify FILE --extract record.json"; bring back a filled sheet with "setline collect"`},
	{"PK\x03\x04", "a workbook or an archive", `make a record of tables with "setline start", or add them to one with "setline add"`},
	{"<", "a page of HTML or XML", `bring back a filled sheet with "setline collect", and name the record itself here`},
	{"#", "Markdown", `bring back a filled sheet with "setline collect", and name the record itself here`},
}

// another says of a text that is no JSON what kind of file it is, nil where it is none
// of those that are named by mistake.
func another(data []byte) *anotherKind {
	for i := range anotherKinds {
		if bytes.HasPrefix(bytes.TrimLeft(data[:min(len(data), 64)], " \t\r\n"), []byte(anotherKinds[i].begins)) {
			return &anotherKinds[i]
		}
	}
	return nil
}

// foreign names the encoding of a text that is not the one of JSON, "" where
// it may be: by its byte-order mark, or by zero bytes where JSON has none.
func foreign(data []byte) string {
	head := append(slices.Clone(data[:min(len(data), 4)]), "    "...)[:4]
	switch {
	case bytes.HasPrefix(head, []byte{0xEF, 0xBB, 0xBF}):
		return "a byte-order mark before the text"
	case bytes.HasPrefix(head, []byte{0xFF, 0xFE}), bytes.HasPrefix(head, []byte{0xFE, 0xFF}):
		return "text in UTF-16 with a byte-order mark"
	case len(data) > 3 && (head[0] == 0) != (head[1] == 0) && (head[2] == 0) != (head[3] == 0):
		return "text in UTF-16"
	case len(data) > 3 && bytes.Count(head, []byte{0}) == 3:
		return "text in UTF-32"
	}
	return ""
}

func duplicateName(src *Source, pointer string) Problem {
	line, column := src.PlaceOfName(pointer)
	all := Steps(pointer)
	return Problem{
		Kind: Twice, File: src.Name, Line: line, Column: column, Pointer: pointer,
		Found:    fmt.Sprintf("%q a second time in the same object", all[len(all)-1]),
		Expected: "each name once, since only one of the two could count",
		Mend:     "join the two, or rename one",
	}
}

// versionProblem looks at the format version before anything else.
func (k *Kind) versionProblem(src *Source, tree any) (Problem, bool) {
	p := Problem{Kind: OtherFile, File: src.Name, Expected: fmt.Sprintf("%q: %d, the format version this program knows", k.Member, k.Version)}
	object, ok := tree.(map[string]any)
	if !ok {
		p.Line, p.Column = src.Place("")
		p.Found, p.Mend = kindOf(tree), k.What+" is one JSON object"
		return p, true
	}
	v, ok := object[k.Member]
	if !ok {
		p.Line, p.Column = src.Place("")
		p.Found, p.Mend = "no format version", fmt.Sprintf("put %q: %d first in %s", k.Member, k.Version, k.This)
		return p, true
	}
	if number, ok := v.(json.Number); ok {
		if n, ok := whole(string(number)); ok && n == int64(k.Version) {
			return Problem{}, false
		}
	}
	p.Pointer = Pointer("", k.Member)
	p.Line, p.Column = src.Place(p.Pointer)
	p.Found, p.Mend = "format version "+shown(v), "use a Setline that knows this version, or correct it if it is a slip"
	return p, true
}

// disagreement is the problem of a record that the one pass refuses and the
// schema allows: a fault of this package, which is told and not smoothed over.
func disagreement(src *Source) Problem {
	return Problem{
		Kind: OwnFault, File: src.Name, Found: "a record that fits the schema, and that Setline cannot read",
		Expected: "that it reads whatever fits, and nothing else",
		Mend:     "this is a fault of Setline and not of the record: send the record to those who maintain it",
	}
}
