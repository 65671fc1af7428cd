package object

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"maps"
	"slices"
)

// entry says where an object is: free (0), at an offset (1), or as the nth in a
// stream of objects (2).
type entry struct {
	kind, at, nth int
}

// free is object 0 (ISO 32000-1, 7.5.4).
var free = entry{nth: 0xFFFF}

// pngUp is the way in which rows are written as what they differ in from those
// above (ISO 32000-1, 7.4.4.4; PNG 9.2), which for most is one byte.
const pngUp = 2

const rowWidth = 7 // bytes, as /W has them: 1 for the kind, 4 and 2

// tableDict is the dictionary of a table that is a stream (7.5.8), but for what
// its bytes settle. index is null where it lists all objects from 0 on.
func tableDict(trailer, index Value) Value {
	dict := trailer.With("Type", NameOf("XRef"))
	if index.Kind != Null {
		dict.Add("Index", index)
	}
	dict.Add("W", List(Whole(1), Whole(4), Whole(2)))
	predicted := NewDict("")
	predicted.Add("Predictor", Whole(10+pngUp))
	predicted.Add("Columns", Whole(rowWidth))
	dict.Add("DecodeParms", predicted)
	return dict
}

// appendRows writes the rows of a table that is a stream.
func appendRows(b []byte, entries []entry) []byte {
	var row, above [rowWidth]byte
	for _, e := range entries {
		row[0] = byte(e.kind)
		binary.BigEndian.PutUint32(row[1:], uint32(e.at))
		binary.BigEndian.PutUint16(row[5:], uint16(e.nth))
		b = append(b, pngUp)
		for i, c := range row {
			b = append(b, c-above[i])
		}
		above = row
	}
	return b
}

// trailerOf is what of the dictionary of a table is its trailer.
func trailerOf(dict Value) Value {
	t := Value{Kind: Dict, Start: dict.Start, End: dict.End}
	for i, key := range dict.Keys {
		switch key {
		case "Type", "Index", "W", "DecodeParms", "Filter", "Length":
		default:
			t.Add(key, dict.Items[i])
		}
	}
	return t
}

// listed are the numbers of the objects that the rows of a table are of, in
// their order.
func listed(dict Value) ([]int, error) {
	index := dict.Get("Index").Items
	if !dict.Has("Index") {
		index = []Value{Whole(0), dict.Get("Size")}
	}
	var numbers []int
	next := 0
	for i := 0; i+1 < len(index); i += 2 {
		first, count := index[i], index[i+1]
		if first.Kind != Integer || count.Kind != Integer || first.Int < int64(next) || count.Int < 1 ||
			first.Int > MaxObjects || first.Int+count.Int > MaxObjects {
			return nil, fmt.Errorf("%w: byte %d: the table lists %v objects from %v on, expected objects from %d on that fit the file",
				ErrFile, dict.Start, count, first, next)
		}
		for range count.Int {
			numbers = append(numbers, int(first.Int))
			first.Int++
		}
		next = int(first.Int)
	}
	return numbers, nil
}

// readTable reads a table that is a stream, with the trailer in its dictionary.
func (s *scanner) readTable(r *Revision) error {
	at := s.pos
	n, err := s.whole()
	if err != nil {
		return err
	}
	s.pos = at
	o, err := s.object(n)
	if err != nil {
		return err
	}
	if !o.Stream || !o.Get("Type").IsName("XRef") {
		s.pos = at
		return s.errorf("found %q, expected a cross-reference table", s.peek())
	}
	numbers, err := listed(o.Value)
	if err != nil {
		return err
	}
	rows, err := Unpack(s.data[o.From:o.To], len(numbers)*(rowWidth+1))
	if err != nil || len(rows) != len(numbers)*(rowWidth+1) {
		return fmt.Errorf("%w: byte %d: the cross-reference table has no row of %d bytes for each of its %d objects",
			ErrFile, o.From, rowWidth+1, len(numbers))
	}
	r.table, r.Trailer = n, trailerOf(o.Value)
	r.tableRows, r.tableLength = rows, o.To-o.From
	return r.readRows(rows, numbers)
}

// readRows reads where objects are.
func (r *Revision) readRows(rows []byte, numbers []int) error {
	var row [rowWidth]byte
	for i, n := range numbers {
		read := rows[i*(rowWidth+1):]
		for k := range row {
			row[k] += read[1+k]
		}
		e := entry{int(row[0]), int(binary.BigEndian.Uint32(row[1:])), int(binary.BigEndian.Uint16(row[5:]))}
		switch {
		case read[0] != pngUp:
			return fmt.Errorf("%w: byte %d: row %d of the table is written in another way than Setline's", ErrFile, r.Table, i+1)
		case n == 0 && e == free:
		case n > 0 && n == r.table && e == entry{1, r.Table, 0}:
		case n > 0 && e.kind == 1 && e.nth == 0:
			r.Offsets[n] = e.at
		case n > 0 && e.kind == 2 && r.holds(n, e):
		default:
			return fmt.Errorf("%w: byte %d: the table puts object %d where no object is: %v", ErrFile, r.Table, n, e)
		}
	}
	return r.takeHolders()
}

// AppendTable appends, behind the objects of one more revision, their table in
// the form of the table before, its trailer and its end. size is the number after
// that of the last object.
func (r Revision) AppendTable(b *bytes.Buffer, offsets map[int]int, size int, trailer Value) {
	table := b.Len()
	if r.table == 0 {
		b.Write(appendTable(nil, offsets, false))
		b.Write(appendTail(nil, trailer.With("Size", Whole(size)), table))
		return
	}
	dict, rows := appendedTable(offsets, size, table, trailer.With("Size", Whole(size+1)))
	AppendObject(b, size, Item{Value: dict.With("Filter", NameOf("FlateDecode")), Stream: Pack(rows)})
	b.Write(appendStart(nil, table))
}

// appendedTable is the table of a revision that was appended, as object n at an offset.
func appendedTable(offsets map[int]int, n, at int, trailer Value) (dict Value, rows []byte) {
	numbers := append(slices.Sorted(maps.Keys(offsets)), n)
	entries := make([]entry, len(numbers))
	index := List()
	for i, number := range numbers {
		entries[i] = entry{kind: 1, at: offsets[number]}
		if i > 0 && number == numbers[i-1]+1 {
			index.Items[len(index.Items)-1].Int++
		} else {
			index.Items = append(index.Items, Whole(number), Whole(1))
		}
	}
	entries[len(entries)-1].at = at
	return tableDict(trailer, index), appendRows(nil, entries)
}
