package object

import (
	"bytes"
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strconv"
)

// Limits on a file.
const (
	MaxRevisions = 64
	MaxObjects   = 1 << 20
	MaxKept      = 1 << 17 // of them, but for the elements of a structure
)

// Revision is what one writer appended: objects, table, trailer.
type Revision struct {
	Start, End int         // of its bytes in the file
	Table      int         // where its cross-reference table begins
	Offsets    map[int]int // where the table puts objects, by number
	Trailer    Value

	data    []byte
	objects map[int]Object // but for those that are parsed when they are asked for

	// Of a table that is a stream (7.5.8): its number, rows and packed length.
	table, tableLength int
	tableRows          []byte
	holders            []*holder // in the order of what they hold
}

// Numbers returns the numbers of the objects in their order. Streams of objects
// and a table are none of them.
func (r Revision) Numbers() []int {
	numbers := slices.Collect(maps.Keys(r.Offsets))
	for _, h := range r.holders {
		for i := range h.count {
			numbers = append(numbers, h.first+i)
		}
	}
	slices.Sort(numbers)
	return numbers
}

// Last returns the greatest number that the revision uses.
func (r Revision) Last() int {
	n := r.table
	for m := range r.Offsets {
		n = max(n, m)
	}
	for _, h := range r.holders {
		n = max(n, h.number, h.first+h.count-1)
	}
	return n
}

// Object returns object n of the revision.
func (r Revision) Object(n int) (Object, bool) {
	if o, ok := r.objects[n]; ok {
		return o, true
	}
	at, ok := r.Offsets[n]
	if !ok {
		return r.held(n)
	}
	s := scanner{r.data, at, r.Table}
	o, err := s.object(n)
	return o, err == nil // it was parsed before
}

// many reports whether an object is one of those of which a report has hundreds of
// thousands: the elements of its structure. They are parsed again when they are
// asked for, since one takes ten times as much memory as in the file.
func (o Object) many() bool {
	return !o.Stream && o.Kind == Dict && o.ofStructure() && o.Keys[0] == "S"
}

// Object is an indirect object.
type Object struct {
	Value
	Begin, Past int // of all its bytes in the file, from its number to its endobj
	Stream      bool
	From, To    int // of a stream's bytes in the file
}

// File is a PDF read to the last byte.
type File struct {
	Data      []byte
	Revisions []Revision // oldest first

	unpacked int // bytes of streams of objects
}

// Read reads a file from its end: each revision's table names the one before.
func Read(data []byte) (*File, error) {
	f := &File{Data: data}
	if !bytes.HasPrefix(data, []byte("%PDF-1.")) && !bytes.HasPrefix(data, []byte("%PDF-2.")) {
		return nil, fmt.Errorf("%w: the file does not begin with %%PDF-1 or %%PDF-2", ErrFile)
	}
	at, err := lastTable(data)
	if err != nil {
		return nil, err
	}
	for end := len(data); ; {
		r, err := readRevision(data, at, end)
		if err != nil {
			return nil, err
		}
		if len(f.Revisions) == 0 && r.End < len(data) {
			return nil, fmt.Errorf("%w: byte %d: %d bytes stand after the end of the last revision", ErrFile, r.End, len(data)-r.End)
		}
		f.Revisions = append(f.Revisions, r)
		if len(f.Revisions) > MaxRevisions {
			return nil, fmt.Errorf("%w: more than %d revisions", ErrFile, MaxRevisions)
		}
		prev := r.Trailer.Get("Prev")
		if prev.End == 0 {
			break
		}
		if prev.Kind != Integer || prev.Int < 0 || prev.Int >= int64(at) {
			return nil, fmt.Errorf("%w: byte %d: /Prev is %v, expected the place of an earlier table", ErrFile, prev.Start, prev)
		}
		at, end = int(prev.Int), at
	}
	slices.Reverse(f.Revisions)
	for i := range f.Revisions {
		r := &f.Revisions[i]
		if i > 0 {
			r.Start = f.Revisions[i-1].End
		}
		if err := f.readObjects(r); err != nil {
			return nil, err
		}
	}
	return f, nil
}

// lastTable returns where the file's end says that the last table begins. That
// nothing follows is for the caller to see.
func lastTable(data []byte) (int, error) {
	i := bytes.LastIndex(data, []byte("%%EOF"))
	j := bytes.LastIndex(data[:max(i, 0)], []byte("startxref"))
	if i < 0 || j < 0 {
		return 0, fmt.Errorf("%w: the file has no end (startxref, %%%%EOF); it is cut short or damaged", ErrFile)
	}
	s := scanner{data, j + len("startxref"), i}
	s.space()
	return s.whole()
}

// readRevision reads the table at a place, its trailer, and the end of its revision.
func readRevision(data []byte, at, limit int) (Revision, error) {
	s := scanner{data, min(at, limit), limit}
	r := Revision{Table: at, Offsets: make(map[int]int)}
	read := s.readSections
	if c := s.peek(); c != "" && c[0] >= '1' && c[0] <= '9' {
		read = s.readTable
	}
	if err := read(&r); err != nil {
		return r, err
	}
	s.space()
	if err := s.word("startxref"); err != nil {
		return r, err
	}
	if err := s.endOfLine(); err != nil {
		return r, err
	}
	if err := s.word(strconv.Itoa(at)); err != nil {
		return r, err
	}
	if err := s.endOfLine(); err != nil {
		return r, err
	}
	if err := s.word("%%EOF"); err != nil {
		return r, err
	}
	if s.at("\n") || s.at("\r") {
		_ = s.endOfLine() // it is there
	}
	r.End = s.pos
	return r, nil
}

// readSections reads a table (7.5.4) and its trailer.
func (s *scanner) readSections(r *Revision) error {
	if err := s.word("xref"); err != nil {
		return fmt.Errorf("%w (a cross-reference table)", err)
	}
	if err := s.endOfLine(); err != nil {
		return err
	}
	for next := 0; !s.at("trailer"); {
		var err error
		if next, err = s.section(r.Offsets, next); err != nil {
			return err
		}
	}
	s.pos += len("trailer")
	var err error
	if r.Trailer, err = s.value(0); err == nil && r.Trailer.Kind != Dict {
		err = s.errorf("the trailer is no dictionary")
	}
	return err
}

func (s *scanner) endOfLine() error {
	switch {
	case s.at("\r\n"):
		s.pos += 2
	case s.at("\n"), s.at("\r"):
		s.pos++
	default:
		return s.errorf("found %q, expected the end of a line", s.peek())
	}
	return nil
}

// section reads one run of table entries, numbered from next or later.
func (s *scanner) section(offsets map[int]int, next int) (int, error) {
	first, err := s.whole()
	if err != nil {
		return 0, err
	}
	if err := s.word(" "); err != nil {
		return 0, err
	}
	count, err := s.whole()
	if err != nil {
		return 0, err
	}
	if err := s.endOfLine(); err != nil {
		return 0, err
	}
	if first < next || count < 1 || first+count > MaxObjects || count > (s.limit-s.pos)/20 {
		return 0, s.errorf("the table lists %d objects from %d on, expected objects from %d on that fit the file", count, first, next)
	}
	for n := first; n < first+count; n++ {
		e := string(s.data[s.pos : s.pos+20])
		offset, err := strconv.ParseUint(e[:10], 10, 31)
		end := e[18:]
		switch {
		case err != nil || end != " \n" && end != "\r\n" && end != " \r":
			return 0, s.errorf("%q is no table entry", e)
		case n == 0 && e == "0000000000 65535 f"+end:
		case n > 0 && e[10:18] == " 00000 n":
			offsets[n] = int(offset)
		default:
			return 0, s.errorf("%q is no table entry of object %d in use", e, n)
		}
		s.pos += 20
	}
	return first + count, nil
}

// readObjects reads all objects of a revision and holds that they fill it.
func (f *File) readObjects(r *Revision) error {
	r.data, r.objects = f.Data, make(map[int]Object)
	offsets, holders := maps.Clone(r.Offsets), make(map[int]*holder)
	for _, h := range r.holders {
		offsets[h.number], holders[h.number] = h.offset, h
	}
	numbers := slices.SortedFunc(maps.Keys(offsets), func(a, b int) int { return cmp.Or(cmp.Compare(offsets[a], offsets[b]), cmp.Compare(a, b)) })
	s := scanner{f.Data, r.Start, r.Table}
	if r.Table < r.Start {
		return s.errorf("revisions overlap")
	}
	if r.Start == 0 {
		for s.pos < s.limit && s.at("%") { // the header: lines of comment
			n := bytes.IndexAny(s.data[s.pos:s.limit], "\r\n")
			if n < 0 {
				return s.errorf("the header has no end")
			}
			s.pos += n
			s.space()
		}
	}
	for _, n := range numbers {
		s.space()
		if offsets[n] != s.pos {
			return s.errorf("found %q, expected object %d, which the table puts at byte %d", s.peek(), n, offsets[n])
		}
		o, err := s.object(n)
		if err != nil {
			return err
		}
		if h := holders[n]; h != nil {
			if err := h.unpack(o, f.Data, mostHeldAll-f.unpacked); err != nil {
				return err
			}
			f.unpacked += len(h.plain)
			continue
		}
		if o.many() {
			continue
		}
		if r.objects[n] = o; len(r.objects) > MaxKept {
			return s.errorf("there are more than %d objects beside those of the structure", MaxKept)
		}
	}
	if s.space(); s.pos != r.Table {
		return s.errorf("found %q, which no table lists", s.peek())
	}
	return nil
}

func (s *scanner) object(n int) (Object, error) {
	o := Object{Begin: s.pos}
	if err := s.word(strconv.Itoa(n) + " 0 obj"); err != nil {
		return o, err
	}
	var err error
	if o.Value, err = s.value(0); err != nil {
		return o, err
	}
	s.space()
	if s.at("stream") {
		if err := s.skipStream(&o); err != nil {
			return o, err
		}
	}
	s.space()
	err = s.word("endobj")
	o.Past = s.pos
	return o, err
}

func (s *scanner) skipStream(o *Object) error {
	o.Stream = true
	s.pos += len("stream")
	length := o.Get("Length")
	if o.Kind != Dict || length.Kind != Integer || length.Int < 0 || length.Int > int64(s.limit-s.pos) {
		return s.errorf("a stream's /Length is %v, expected a number that fits the file", length)
	}
	if !s.at("\n") && !s.at("\r\n") {
		return s.errorf("found %q, expected the end of a line before a stream", s.peek())
	}
	if err := s.endOfLine(); err != nil {
		return err
	}
	if length.Int > int64(s.limit-s.pos) {
		return s.errorf("a stream's /Length is %v, more than is there", length)
	}
	o.From, o.To = s.pos, s.pos+int(length.Int)
	s.pos = o.To
	s.space()
	return s.word("endstream")
}

// Find returns object n as revision k (from 0) has it.
func (f *File) Find(n int64, k int) (Object, bool) {
	for ; k >= 0; k-- {
		if o, ok := f.Revisions[k].Object(int(n)); ok {
			return o, true
		}
	}
	return Object{}, false
}

// Resolve follows one reference.
func (f *File) Resolve(v Value, k int) Value {
	if v.Kind == Ref {
		o, _ := f.Find(v.Int, k)
		return o.Value
	}
	return v
}

// ParseObject reads one indirect object and returns its number; it has to be all of the text.
func ParseObject(text []byte) (int, Object, error) {
	s := scanner{text, 0, len(text)}
	n, err := s.whole()
	if err != nil {
		return 0, Object{}, err
	}
	s.pos = 0
	o, err := s.object(n)
	if s.space(); err == nil && s.pos != s.limit {
		err = s.errorf("found %q behind an object", s.peek())
	}
	return n, o, err
}
