package sign

import (
	"bytes"
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strconv"
)

const (
	maxRevisions = 64
	maxObjects   = 1 << 20
)

// revision is what one writer appended: objects, table, trailer.
type revision struct {
	start, end int // of its bytes in the file
	table      int // where its cross-reference table begins
	offsets    map[int]int
	trailer    value
	objects    map[int]object
}

// object is an indirect object.
type object struct {
	value
	stream   bool
	from, to int // of a stream's bytes in the file
}

// file is a PDF read to the last byte.
type file struct {
	data      []byte
	revisions []revision // oldest first
}

// read reads a file from its end: each revision's table names the one before.
func read(data []byte) (*file, error) {
	f := &file{data: data}
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
		if len(f.revisions) == 0 && r.end < len(data) {
			return nil, fmt.Errorf("%w: byte %d: %d bytes stand after the end of the last revision", ErrFile, r.end, len(data)-r.end)
		}
		f.revisions = append(f.revisions, r)
		if len(f.revisions) > maxRevisions {
			return nil, fmt.Errorf("%w: more than %d revisions", ErrFile, maxRevisions)
		}
		prev := r.trailer.get("Prev")
		if prev.end == 0 {
			break
		}
		if prev.kind != integer || prev.integer < 0 || prev.integer >= int64(at) {
			return nil, fmt.Errorf("%w: byte %d: /Prev is %v, expected the place of an earlier table", ErrFile, prev.start, prev)
		}
		at, end = int(prev.integer), at
	}
	slices.Reverse(f.revisions)
	for i := range f.revisions {
		r := &f.revisions[i]
		if i > 0 {
			r.start = f.revisions[i-1].end
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
func readRevision(data []byte, at, limit int) (revision, error) {
	s := scanner{data, min(at, limit), limit}
	r := revision{table: at, offsets: make(map[int]int)}
	if err := s.word("xref"); err != nil {
		return r, fmt.Errorf("%w (a cross-reference table; reports have no cross-reference streams)", err)
	}
	if err := s.endOfLine(); err != nil {
		return r, err
	}
	for next := 0; !s.at("trailer"); {
		var err error
		if next, err = s.section(r.offsets, next); err != nil {
			return r, err
		}
	}
	s.pos += len("trailer")
	var err error
	if r.trailer, err = s.value(0); err != nil {
		return r, err
	}
	if r.trailer.kind != dict {
		return r, s.errorf("the trailer is no dictionary")
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
	r.end = s.pos
	return r, nil
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
	if first < next || count < 1 || first+count > maxObjects || count > (s.limit-s.pos)/20 {
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
func (f *file) readObjects(r *revision) error {
	r.objects = make(map[int]object)
	numbers := slices.SortedFunc(maps.Keys(r.offsets), func(a, b int) int { return cmp.Compare(r.offsets[a], r.offsets[b]) })
	s := scanner{f.data, r.start, r.table}
	if r.table < r.start {
		return s.errorf("revisions overlap")
	}
	if r.start == 0 {
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
		if r.offsets[n] != s.pos {
			return s.errorf("found %q, expected object %d, which the table puts at byte %d", s.peek(), n, r.offsets[n])
		}
		o, err := s.object(n)
		if err != nil {
			return err
		}
		r.objects[n] = o
	}
	if s.space(); s.pos != r.table {
		return s.errorf("found %q, which no table lists", s.peek())
	}
	return nil
}

func (s *scanner) object(n int) (object, error) {
	var o object
	if err := s.word(strconv.Itoa(n) + " 0 obj"); err != nil {
		return o, err
	}
	var err error
	if o.value, err = s.value(0); err != nil {
		return o, err
	}
	s.space()
	if s.at("stream") {
		if err := s.skipStream(&o); err != nil {
			return o, err
		}
	}
	s.space()
	return o, s.word("endobj")
}

func (s *scanner) skipStream(o *object) error {
	o.stream = true
	s.pos += len("stream")
	length := o.get("Length")
	if o.kind != dict || length.kind != integer || length.integer < 0 || length.integer > int64(s.limit-s.pos) {
		return s.errorf("a stream's /Length is %v, expected a number that fits the file", length)
	}
	if !s.at("\n") && !s.at("\r\n") {
		return s.errorf("found %q, expected the end of a line before a stream", s.peek())
	}
	if err := s.endOfLine(); err != nil {
		return err
	}
	if length.integer > int64(s.limit-s.pos) {
		return s.errorf("a stream's /Length is %v, more than is there", length)
	}
	o.from, o.to = s.pos, s.pos+int(length.integer)
	s.pos = o.to
	s.space()
	return s.word("endstream")
}

// find returns object n as revision k (from 0) has it.
func (f *file) find(n int64, k int) (object, bool) {
	for ; k >= 0; k-- {
		if o, ok := f.revisions[k].objects[int(n)]; ok {
			return o, true
		}
	}
	return object{}, false
}

// resolve follows one reference.
func (f *file) resolve(v value, k int) value {
	if v.kind == ref {
		o, _ := f.find(v.integer, k)
		return o.value
	}
	return v
}
