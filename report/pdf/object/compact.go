package object

import (
	"encoding/binary"
	"io"
	"strconv"
)

// perStream is how many objects stand in one stream: a reader that wants one of
// them unpacks them all. Who opens a form wants most of its objects at once.
const perStream = 1000

// WriteCompact is [WriteTo] for a file of many small objects, such as a form:
// those without a stream are packed into streams of objects (7.5.7), and the
// table is a stream too (7.5.8). No report is written so, since nobody could
// append to it and hold the whole in one form.
func WriteCompact(w io.Writer, items []Item, run Run, trailer Value) error {
	n := len(items)
	if run != nil {
		n += run.Len()
	}
	c := compact{writer: newWriter(w), items: items, run: run, entries: make([]entry, n+1)}
	c.packer.Dense = true
	defer c.packer.Done()
	next := n + 1
	var plain []int
	for i, it := range items {
		if it.Stream == nil && it.Plain == nil {
			plain = append(plain, i+1)
			continue
		}
		c.entries[i+1] = entry{kind: 1, at: c.n}
		c.object(i+1, it)
	}
	for i := len(items); i < n; i++ {
		plain = append(plain, i+1)
	}
	for len(plain) > 0 {
		n := min(perStream, len(plain))
		c.objects(next, plain[:n])
		plain, next = plain[n:], next+1
	}
	c.table(next, trailer)
	return c.w.Flush()
}

// compact is a file as it is written.
type compact struct {
	*writer
	items      []Item
	run        Run
	entries    []entry // by object number
	head, body []byte  // of the stream at hand: room that is used again
}

// entry says where an object is: free (0), at an offset (1), or as the nth in a
// stream of objects (2).
type entry struct {
	kind, at, nth int
}

// objects writes a stream of objects under the number n.
func (c *compact) objects(n int, numbers []int) {
	head, body := c.head[:0], c.body[:0]
	for i, number := range numbers {
		head = strconv.AppendInt(head, int64(number), 10)
		head = append(head, ' ')
		head = strconv.AppendInt(head, int64(len(body)), 10)
		head = append(head, ' ')
		if i := number - 1 - len(c.items); i >= 0 {
			body = c.run.Append(body, i, len(c.items)+1)
		} else {
			body = c.items[number-1].Value.append(body)
		}
		body = append(body, '\n')
		c.entries[number] = entry{kind: 2, at: n, nth: i}
	}
	dict := NewDict("ObjStm")
	dict.Add("N", Whole(len(numbers)))
	dict.Add("First", Whole(len(head)))
	c.entries = append(c.entries, entry{kind: 1, at: c.n})
	c.head, c.body = append(head, body...), body
	c.object(n, Item{Value: dict, Plain: c.head})
}

// pngUp is the way in which rows are written as what they differ in from those
// above (ISO 32000-1, 7.4.4.4; PNG 9.2), which for most is one byte.
const pngUp = 2

// table writes the cross-reference stream under the number n, and the end.
func (c *compact) table(n int, trailer Value) {
	at := c.n
	c.entries[0].nth = 0xFFFF // the free object (7.5.4)
	c.entries = append(c.entries, entry{kind: 1, at: at})
	const width = 7 // of a row
	var rows []byte
	var row, above [width]byte
	for _, e := range c.entries {
		row[0] = byte(e.kind)
		binary.BigEndian.PutUint32(row[1:], uint32(e.at))
		binary.BigEndian.PutUint16(row[5:], uint16(e.nth))
		rows = append(rows, pngUp)
		for i, b := range row {
			rows = append(rows, b-above[i])
		}
		above = row
	}
	dict := trailer.With("Type", NameOf("XRef")).With("Size", Whole(len(c.entries)))
	dict.Add("W", List(Whole(1), Whole(4), Whole(2)))
	dict.Add("ID", c.identifier())
	predicted := NewDict("")
	predicted.Add("Predictor", Whole(10+pngUp))
	predicted.Add("Columns", Whole(width))
	dict.Add("DecodeParms", predicted)
	c.object(n, Item{Value: dict, Plain: rows})
	c.write([]byte("startxref\n" + strconv.Itoa(at) + "\n%%EOF\n"))
}
