package object

import "io"

// WriteCompact is [WriteTo] for a file of many small objects, such as a form: all
// those without a stream are packed into streams of objects, and everything is
// packed as densely as it goes. No report is written so, since nobody could append
// to it and hold the whole in one form.
func WriteCompact(w io.Writer, items []Item, run Run, trailer Value) error {
	c := compact{writer: newWriter(w), items: items, run: run}
	c.packer.Dense = true
	defer c.packer.Done()
	return c.write(trailer, func(it Item) bool { return it.Stream == nil && it.Plain == nil })
}

// compact is a file with streams of objects as it is written.
type compact struct {
	*writer
	items   []Item
	run     Run
	entries []entry // by object number
	holding holding
}

// write writes all objects, those of the run and those that packed chooses into
// streams, and the table.
func (c *compact) write(trailer Value, packed func(Item) bool) error {
	n := len(c.items)
	if c.run != nil {
		n += c.run.Len()
	}
	c.entries = make([]entry, n+1, n+2+n/perStream)
	c.entries[0] = free
	var held []int
	for i, it := range c.items {
		if packed(it) {
			held = append(held, i+1)
			continue
		}
		c.entries[i+1] = entry{kind: 1, at: c.n}
		c.object(i+1, it)
	}
	for i := len(c.items); i < n; i++ {
		held = append(held, i+1)
	}
	for len(held) > 0 {
		n := min(perStream, len(held))
		c.objects(held[:n])
		held = held[n:]
	}
	c.table(trailer)
	return c.w.Flush()
}

// objects writes a stream of objects.
func (c *compact) objects(numbers []int) {
	n := len(c.entries)
	for i, number := range numbers {
		c.holding.add(number, func(b []byte) []byte { return c.appendObject(b, number) })
		c.entries[number] = entry{kind: 2, at: n, nth: i}
	}
	dict, plain := c.holding.take(len(numbers))
	c.entries = append(c.entries, entry{kind: 1, at: c.n})
	c.object(n, Item{Value: dict, Plain: plain})
}

func (c *compact) appendObject(b []byte, number int) []byte {
	if i := number - 1 - len(c.items); i >= 0 {
		return c.run.Append(b, i, len(c.items)+1)
	}
	return c.items[number-1].Value.append(b)
}

// table writes the cross-reference stream, and the end.
func (c *compact) table(trailer Value) {
	n, at := len(c.entries), c.n
	c.entries = append(c.entries, entry{kind: 1, at: at})
	trailer = trailer.With("Size", Whole(len(c.entries))).With("ID", c.identifier())
	c.object(n, Item{Value: tableDict(trailer, Value{}), Plain: appendRows(nil, c.entries)})
	c.bytes(appendStart(nil, at))
}
