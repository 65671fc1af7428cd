package object

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"fmt"
	"hash"
	"io"
	"maps"
	"slices"
	"strconv"
)

// header begins every file. The second line tells programs that copy files
// that this one is binary (7.5.2).
const header = "%PDF-1.7\n%\xE2\xE3\xCF\xD3\n"

// Source writes a value, in one way.
func (v Value) Source() string { return string(v.append(nil)) }

func (v Value) append(b []byte) []byte {
	switch v.Kind {
	case Integer:
		return strconv.AppendInt(b, v.Int, 10)
	case Ref:
		return append(strconv.AppendInt(b, v.Int, 10), " 0 R"...)
	case Real, Boolean, written:
		return append(b, v.Text...)
	case Name:
		return appendName(b, v.Text)
	case String:
		return appendString(b, v.Text)
	case Array:
		b = append(b, '[')
		for i, item := range v.Items {
			if i > 0 {
				b = append(b, ' ')
			}
			b = item.append(b)
		}
		return append(b, ']')
	case Dict:
		b = append(b, "<<"...)
		for i, item := range v.Items {
			b = append(appendName(append(b, ' '), v.Keys[i]), ' ')
			b = item.append(b)
		}
		return append(b, " >>"...)
	}
	return append(b, v.String()...)
}

func appendName(b []byte, s string) []byte {
	b = append(b, '/')
	for _, c := range []byte(s) {
		if c <= ' ' || c > '~' || c == '#' || isDelimiter(c) {
			b = fmt.Appendf(b, "#%02x", c)
		} else {
			b = append(b, c)
		}
	}
	return b
}

// appendString writes what can be seen as it is, and all else in hexadecimal digits.
func appendString(b []byte, s string) []byte {
	if !printable(s) {
		return fmt.Appendf(b, "<%x>", s)
	}
	b = append(b, '(')
	for _, c := range []byte(s) {
		if c == '\\' || c == '(' || c == ')' {
			b = append(b, '\\')
		}
		b = append(b, c)
	}
	return append(b, ')')
}

// Item is an object to be written.
type Item struct {
	Value  Value
	Stream []byte // nil where it has none; /Length is set as it is written
	Plain  []byte // in place of Stream: is packed as it is written, which sets /Filter too
}

// Run is many small objects, each made as it is written.
type Run interface {
	// Len is how many there are.
	Len() int
	// Append adds object i, from 0, to b in the one form in which values are
	// written. The first of them has the number first, the others those after it.
	Append(b []byte, i, first int) []byte
}

// Write returns a file of these objects, which get the numbers from 1 on.
func Write(items []Item, trailer Value) []byte {
	var b bytes.Buffer
	size := 1 << 10
	for _, it := range items {
		size += it.Value.End - it.Value.Start + len(it.Stream) + 100
	}
	b.Grow(size)
	_ = WriteTo(&b, items, nil, trailer) // into memory
	return b.Bytes()
}

// WriteTo writes to w what [Write] returns, object by object, where run is nil.
// Else the objects of the run follow, packed into streams of objects (7.5.7), and
// the table is a stream too (7.5.8). The identifier (14.4) is made of the bytes of
// all objects. The error is that of w.
func WriteTo(w io.Writer, items []Item, run Run, trailer Value) error {
	o := newWriter(w)
	defer o.packer.Done()
	if run != nil {
		c := compact{writer: o, items: items, run: run}
		return c.write(trailer, func(Item) bool { return false })
	}
	offsets := make(map[int]int, len(items))
	for i, it := range items {
		offsets[i+1] = o.n
		o.object(i+1, it)
	}
	trailer = trailer.With("Size", Whole(len(items)+1)).With("ID", o.identifier())
	table := o.n
	o.bytes(appendTable(nil, offsets, true))
	o.bytes(appendTail(nil, trailer, table))
	return o.w.Flush()
}

// writer writes a file, and knows where it is and what was written. Its errors
// come when it is flushed.
type writer struct {
	w      *bufio.Writer
	sum    hash.Hash
	n      int
	packer Packer
}

func newWriter(w io.Writer) *writer {
	o := &writer{w: bufio.NewWriterSize(w, 64<<10), sum: sha256.New()}
	o.bytes([]byte(header))
	return o
}

func (o *writer) bytes(b []byte) {
	o.sum.Write(b)
	o.n += len(b)
	_, _ = o.w.Write(b)
}

func (o *writer) object(n int, it Item) {
	v, stream := it.Value, it.Stream
	if it.Plain != nil {
		v, stream = v.With("Filter", NameOf("FlateDecode")), o.packer.Pack(it.Plain)
	}
	if stream == nil {
		o.bytes(opening(n, v, false))
		return
	}
	o.bytes(opening(n, v.With("Length", Whole(len(stream))), true))
	o.bytes(stream)
	o.bytes([]byte(closing))
}

// identifier is made of what was written.
func (o *writer) identifier() Value { return identifierOf(o.sum.Sum(nil)) }

func identifierOf(sum []byte) Value {
	half := Bytes(string(sum[:16]))
	return List(half, half)
}

// AsWritten reports whether a file is one that [WriteTo] wrote and nothing has been
// done to since: its identifier is made of all bytes before its table.
func AsWritten(file []byte) bool {
	table, err := lastTable(file)
	if err != nil || table < 0 || table > len(file) {
		return false
	}
	sum := sha256.Sum256(file[:table])
	tail, end := file[table:], appendStart(nil, table)
	return bytes.Contains(tail, identifierOf(sum[:]).append(nil)) && bytes.Index(tail, end) == len(tail)-len(end)
}

// AppendObject appends an object to a file.
func AppendObject(b *bytes.Buffer, n int, o Item) {
	if o.Stream == nil {
		b.Write(opening(n, o.Value, false))
		return
	}
	b.Write(opening(n, o.Value.With("Length", Whole(len(o.Stream))), true))
	b.Write(o.Stream)
	b.WriteString(closing)
}

// opening writes an object up to its stream's bytes, or its end.
func opening(n int, v Value, stream bool) []byte {
	b := append(strconv.AppendInt(nil, int64(n), 10), " 0 obj\n"...)
	b = append(v.append(b), '\n')
	if stream {
		return append(b, "stream\n"...)
	}
	return append(b, "endobj\n"...)
}

// closing ends an object with a stream.
const closing = "\nendstream\nendobj\n"

// appendTable writes a table with every run of numbers once (7.5.4); that of a
// first revision begins with object 0, which is free.
func appendTable(b []byte, offsets map[int]int, first bool) []byte {
	numbers := slices.Sorted(maps.Keys(offsets))
	if first {
		numbers = slices.Insert(numbers, 0, 0)
	}
	b = append(b, "xref\n"...)
	for i, n := range numbers {
		if i == 0 || n != numbers[i-1]+1 {
			run := i + 1
			for run < len(numbers) && numbers[run] == numbers[run-1]+1 {
				run++
			}
			b = fmt.Appendf(b, "%d %d\n", n, run-i)
		}
		if n == 0 {
			b = append(b, "0000000000 65535 f \n"...)
			continue
		}
		b = fmt.Appendf(b, "%010d 00000 n \n", offsets[n])
	}
	return b
}

func appendTail(b []byte, trailer Value, table int) []byte {
	return appendStart(fmt.Appendf(b, "trailer\n%s\n", trailer.Source()), table)
}

// appendStart ends a revision: it says where its table is (7.5.5).
func appendStart(b []byte, table int) []byte {
	return fmt.Appendf(b, "startxref\n%d\n%%%%EOF\n", table)
}

// Whole returns a whole number as an object.
func Whole(n int) Value { return Value{Kind: Integer, Int: int64(n)} }

// With returns a dictionary with an entry replaced, or added at its end.
func (v Value) With(key string, item Value) Value {
	v.Keys, v.Items = slices.Clone(v.Keys), slices.Clone(v.Items)
	if i := slices.Index(v.Keys, key); i >= 0 {
		v.Items[i] = item
		return v
	}
	v.Keys, v.Items = append(v.Keys, key), append(v.Items, item)
	return v
}
