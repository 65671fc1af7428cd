package schema

import (
	"bytes"
	"cmp"
	"slices"
	"strings"
	"sync"
	"unicode/utf8"
)

// Limits on a job record. They are far above what a real job needs, and keep
// a hostile or broken file from taking the machine with it.
const (
	MaxBytes = 64 << 20 // size of one record
	MaxDepth = 64       // nesting of objects and lists
)

// Source is the text a record was read from, and finds places in it.
type Source struct {
	Name string // file name, "-" for standard input
	Data []byte

	index func() map[string]span
	marks func() []mark
}

// mark is the line and column of an offset. There is one about every
// [betweenMarks] bytes, so that a place is found without counting from the
// beginning: a file can have as many problems as values.
type mark struct{ offset, line, column int }

const betweenMarks = 1 << 12

// span is where a member or element stands: offsets of its name (for a member
// of an object) and of its value.
type span struct{ name, value int }

// NewSource returns the source named name with the bytes data.
func NewSource(name string, data []byte) *Source {
	s := &Source{Name: name, Data: data}
	s.index = sync.OnceValue(s.scan)
	s.marks = sync.OnceValue(s.mark)
	return s
}

// Place gives line and column, both from 1, of the value that pointer (RFC
// 6901) names, or of the nearest value around it that the text has.
func (s *Source) Place(pointer string) (line, column int) {
	return s.at(s.find(pointer).value)
}

// PlaceOfName is like [Source.Place] for the name of a member of an object.
func (s *Source) PlaceOfName(pointer string) (line, column int) {
	return s.at(s.find(pointer).name)
}

// Problem says that something is wrong with the value that pointer names.
func (s *Source) Problem(kind ProblemKind, pointer, found, expected, mend string) Problem {
	p := Problem{Kind: kind, File: s.Name, Pointer: pointer, Found: found, Expected: expected, Mend: mend}
	p.Line, p.Column = s.Place(pointer)
	return p
}

func (s *Source) find(pointer string) span {
	places := s.index()
	for {
		if p, ok := places[pointer]; ok {
			return p
		}
		cut := strings.LastIndexByte(pointer, '/')
		if cut < 0 {
			return span{}
		}
		pointer = pointer[:cut]
	}
}

// at turns an offset into line and column. Columns count characters, as
// editors do.
func (s *Source) at(offset int) (line, column int) {
	offset = min(offset, len(s.Data))
	marks := s.marks()
	after, _ := slices.BinarySearchFunc(marks, offset, func(m mark, offset int) int { return cmp.Compare(m.offset, offset+1) })
	m := marks[after-1].to(s.Data, offset)
	return m.line, m.column
}

// mark counts lines and columns from the beginning.
func (s *Source) mark() []mark {
	m := mark{0, 1, 1}
	marks := []mark{m}
	for m.offset+betweenMarks < len(s.Data) {
		end := m.offset + betweenMarks
		for end < len(s.Data) && !utf8.RuneStart(s.Data[end]) {
			end++
		}
		m = m.to(s.Data, end)
		marks = append(marks, m)
	}
	return marks
}

// to counts on from m to an offset.
func (m mark) to(data []byte, offset int) mark {
	between := data[m.offset:offset]
	if lines := bytes.Count(between, []byte{'\n'}); lines > 0 {
		m.line, m.column = m.line+lines, 1
		between = between[bytes.LastIndexByte(between, '\n')+1:]
	}
	return mark{offset, m.line, m.column + utf8.RuneCount(between)}
}

// scan finds every value of the text up to its first syntax error.
func (s *Source) scan() map[string]span {
	b := newTreeBuilder(s)
	b.places = map[string]span{}
	_, _ = b.value(0) // what stands before a syntax error is still found
	return b.places
}

// skip gives the offset of the next token at or after offset.
func (s *Source) skip(offset int) int {
	for offset < len(s.Data) && strings.IndexByte(" \t\r\n,:", s.Data[offset]) >= 0 {
		offset++
	}
	return offset
}
