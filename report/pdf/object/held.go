package object

import (
	"bytes"
	"fmt"
	"slices"
	"strconv"
)

// perStream is how many objects stand in one stream: a reader that wants one of
// them unpacks them all. Who opens a form wants most of its objects at once.
const perStream = 1000

// Limits on streams of objects, which are unpacked as a file is read.
const (
	mostHeld    = 32 << 20  // bytes of one of them
	mostHeldAll = 256 << 20 // bytes of all in a file
)

// holder is a stream of objects (ISO 32000-1, 7.5.7), whose numbers follow each
// other. They are elements of a structure, of which a report has tens of
// thousands, and are parsed again when they are asked for: one takes ten times
// as much memory as in the file.
type holder struct {
	number int // of the stream
	offset int // where it begins
	first  int // of the objects
	count  int
	Object
	plain []byte
	at    []int32 // in plain
}

// holds takes an object that a table puts into a stream.
func (r *Revision) holds(n int, e entry) bool {
	if k := len(r.holders) - 1; e.nth > 0 {
		if k < 0 || r.holders[k].number != e.at || r.holders[k].count != e.nth || r.holders[k].first+e.nth != n {
			return false
		}
		r.holders[k].count++
		return true
	}
	r.holders = append(r.holders, &holder{number: e.at, first: n, count: 1})
	return true
}

// takeHolders takes streams of objects out of the objects of a revision.
func (r *Revision) takeHolders() error {
	for i, h := range r.holders {
		at, ok := r.Offsets[h.number]
		if !ok {
			return fmt.Errorf("%w: byte %d: the table puts object %d into object %d, which is not there or taken already",
				ErrFile, r.Table, h.first, h.number)
		}
		if i > 0 && h.number <= r.holders[i-1].number {
			return fmt.Errorf("%w: byte %d: streams of objects are not in the order of what they hold", ErrFile, r.Table)
		}
		h.offset = at
		delete(r.Offsets, h.number)
	}
	return nil
}

// unpack reads the objects that a stream holds.
func (h *holder) unpack(o Object, data []byte, most int) error {
	h.Object = o
	first := o.Get("First")
	if !o.Stream || !o.Get("Type").IsName("ObjStm") || !o.Get("N").IsInt(int64(h.count)) || first.Kind != Integer {
		return fmt.Errorf("%w: byte %d: object %d is no stream of %d objects", ErrFile, o.Begin, h.number, h.count)
	}
	var err error
	if h.plain, err = Unpack(data[o.From:o.To], min(most, mostHeld)); err != nil {
		return fmt.Errorf("%w (a stream of objects, object %d)", err, h.number)
	}
	if first.Int < 0 || first.Int > int64(len(h.plain)) {
		return fmt.Errorf("%w: byte %d: its objects begin behind its end", ErrFile, o.Begin)
	}
	head := scanner{h.plain, 0, int(first.Int)}
	h.at = make([]int32, h.count)
	for i := range h.at {
		var pair [2]int
		for k := range pair {
			head.space()
			if pair[k], err = head.whole(); err != nil {
				return h.broken(err)
			}
		}
		if pair[0] != h.first+i || pair[1] > len(h.plain)-int(first.Int) {
			return h.broken(head.errorf("found object %d at %d, expected object %d", pair[0], pair[1], h.first+i))
		}
		h.at[i] = int32(int(first.Int) + pair[1])
		if _, err := h.object(i); err != nil {
			return h.broken(err)
		}
	}
	return nil
}

func (h *holder) broken(err error) error {
	return fmt.Errorf("%w, of what object %d unpacks into", err, h.number)
}

// object parses the ith object. It stands, for who asks where, where its stream does.
func (h *holder) object(i int) (Object, error) {
	s := scanner{h.plain, int(h.at[i]), len(h.plain)}
	v, err := s.value(0)
	return Object{Value: v, Begin: h.Begin, Past: h.Past}, err
}

// held returns an object that a stream holds.
func (r Revision) held(n int) (Object, bool) {
	i, _ := slices.BinarySearchFunc(r.holders, n, func(h *holder, n int) int { return h.first + h.count - 1 - n })
	if i == len(r.holders) || n < r.holders[i].first {
		return Object{}, false
	}
	o, err := r.holders[i].object(n - r.holders[i].first)
	return o, err == nil // it was parsed before
}

// ofStructure reports whether an object is one that a stream may hold: one of a
// structure, which shows nothing by itself.
func (v Value) ofStructure() bool {
	switch v.Kind {
	case Array:
		return !slices.ContainsFunc(v.Items, func(item Value) bool { return item.Kind != Ref })
	case Dict:
		return v.Get("Type").IsName("StructTreeRoot") || len(v.Keys) > 1 && v.Keys[0] == "S" && v.Keys[1] == "P"
	}
	return false
}

// holding gathers objects as they stand in a stream, one stream after the other.
type holding struct {
	head, body []byte // room that is used again
}

// add adds an object, which write appends.
func (h *holding) add(number int, write func([]byte) []byte) {
	h.head = append(strconv.AppendInt(h.head, int64(number), 10), ' ')
	h.head = append(strconv.AppendInt(h.head, int64(len(h.body)), 10), ' ')
	h.body = append(write(h.body), '\n')
}

// take returns the stream of the n objects that were added, which is valid until
// the next one is added.
func (h *holding) take(n int) (dict Value, plain []byte) {
	dict = NewDict("ObjStm")
	dict.Add("N", Whole(n))
	dict.Add("First", Whole(len(h.head)))
	plain = append(h.head, h.body...)
	h.head, h.body = plain[:0], h.body[:0] // head has room for all now
	return dict, plain
}

// holder steps over a stream of objects.
func (f *form) holder(h *holder) error {
	var w holding
	for i := range h.count {
		o, err := h.object(i)
		if err != nil {
			return err
		}
		if !o.ofStructure() {
			return fmt.Errorf("%w: byte %d: object %d, in a stream of objects, is no part of a structure", ErrForm, h.Begin, h.first+i)
		}
		w.add(h.first+i, o.Value.append)
	}
	dict, plain := w.take(h.count)
	if !bytes.Equal(plain, h.plain) {
		return fmt.Errorf("%w: byte %d: object %d holds its objects in another form than they are written in", ErrForm, h.Begin, h.number)
	}
	return f.stream(h.number, dict, h.Object)
}

// stream steps over a packed stream that is known to unpack into what it should.
func (f *form) stream(n int, dict Value, o Object) error {
	dict = dict.With("Filter", NameOf("FlateDecode")).With("Length", Whole(o.To-o.From))
	if err := f.expect(opening(n, dict, true)); err != nil {
		return err
	}
	f.pos += o.To - o.From
	return f.expect([]byte(closing))
}
