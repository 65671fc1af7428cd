package object

import (
	"bytes"
	"cmp"
	"fmt"
	"io"
	"maps"
	"math"
	"regexp"
	"slices"
)

// ErrForm is wrapped by the errors of [File.Canonical]; it wraps [ErrFile].
var ErrForm = fmt.Errorf("%w: it is not in the one form in which reports are written", ErrFile)

// Limits on what streams of one file unpack to.
const (
	MostUnpacked    = 64 << 20  // one stream
	MostUnpackedAll = 512 << 20 // all of them
)

// Canonical holds that the first revision of a file is in the form in which
// [Write] writes: its bytes are those that writing its own objects again gives;
// every object is used, and one of them is a catalog; every packed stream ends
// where its packed data does, and no stream holds objects but those of a
// structure. Errors wrap [ErrForm] and name the first byte that is not in this form.
func (f *File) Canonical() error {
	r := f.Revisions[0]
	if err := r.written(f.Data); err != nil {
		return err
	}
	if err := f.used(); err != nil {
		return err
	}
	return f.streams(0)
}

// Appended holds that revision k, from 1, is in the form in which a signature
// is appended: its objects one behind the other and each in one form, its table
// and trailer, and nothing else.
func (f *File) Appended(k int) error {
	if err := f.Revisions[k].written(f.Data); err != nil {
		return err
	}
	return f.streams(k)
}

// form is a file that is compared, from its beginning on, with what is expected.
type form struct {
	data     []byte
	pos      int
	appended bool // it holds a signature
}

// expect steps over bytes, or says where others are found.
func (f *form) expect(want []byte) error {
	found := f.data[f.pos:min(f.pos+len(want), len(f.data))]
	if bytes.Equal(found, want) {
		f.pos += len(want)
		return nil
	}
	i := 0
	for i < len(found) && found[i] == want[i] {
		i++
	}
	return fmt.Errorf("%w: byte %d: found %q, expected %q", ErrForm, f.pos+i, shortened(found[i:]), shortened(want[i:]))
}

func shortened(b []byte) []byte { return b[:min(len(b), 24)] }

// written holds that the bytes of a revision are what writing its objects
// again gives: in the order of their numbers, from 1 on, or as they follow each
// other where a revision was appended.
func (r Revision) written(data []byte) error {
	f := form{data: data[:r.End], pos: r.Start, appended: r.Start > 0}
	numbers := slices.SortedFunc(maps.Keys(r.Offsets), func(a, b int) int {
		return cmp.Or(cmp.Compare(r.Offsets[a], r.Offsets[b]), cmp.Compare(a, b))
	})
	if r.Start == 0 {
		if err := f.expect([]byte(header)); err != nil {
			return err
		}
		for i := range numbers {
			numbers[i] = i + 1
		}
	}
	offsets := make(map[int]int, len(numbers))
	for _, n := range numbers {
		o, ok := r.Object(n)
		if !ok {
			return fmt.Errorf("%w: there is no object %d, though there are %d objects", ErrForm, n, len(numbers))
		}
		offsets[n] = f.pos
		if err := f.object(n, o); err != nil {
			return err
		}
	}
	if err := f.end(r, offsets); err != nil {
		return err
	}
	if f.pos != r.End {
		return fmt.Errorf("%w: byte %d: %d bytes follow the end", ErrForm, f.pos, r.End-f.pos)
	}
	return nil
}

// end steps over a table, with the streams of objects before it, and the tail.
func (f *form) end(r Revision, offsets map[int]int) error {
	if r.table == 0 {
		table := f.pos
		if err := f.expect(appendTable(nil, offsets, r.Start == 0)); err != nil {
			return err
		}
		return f.expect(appendTail(nil, r.Trailer, table))
	}
	dict, rows, err := f.table(r, offsets)
	if err != nil {
		return err
	}
	table := f.pos
	if !bytes.Equal(rows, r.tableRows) {
		return fmt.Errorf("%w: byte %d: the table is not that of the objects before it", ErrForm, table)
	}
	s := scanner{f.data, table, len(f.data)}
	o, err := s.object(r.table)
	if err != nil {
		return err
	}
	if err := f.stream(r.table, dict, o); err != nil {
		return err
	}
	return f.expect(appendStart(nil, table))
}

// table makes the table of a revision again, and steps over its streams of objects.
func (f *form) table(r Revision, offsets map[int]int) (dict Value, rows []byte, err error) {
	next := len(offsets) + 1
	if r.Start > 0 {
		if len(r.holders) > 0 {
			return dict, nil, fmt.Errorf("%w: byte %d: a revision that was appended holds objects in streams", ErrForm, r.Start)
		}
		dict, rows = appendedTable(offsets, r.table, f.pos, r.Trailer)
		return dict, rows, nil
	}
	entries := make([]entry, next, next+len(r.holders)+1)
	entries[0] = free
	for n, at := range offsets {
		entries[n] = entry{kind: 1, at: at}
	}
	for _, h := range r.holders {
		for i := range h.count {
			entries = append(entries, entry{kind: 2, at: h.number, nth: i})
		}
	}
	for i, h := range r.holders {
		if h.first != next || h.number != len(entries) || i < len(r.holders)-1 && h.count != perStream {
			return dict, nil, fmt.Errorf("%w: byte %d: streams of objects do not follow each other, with %d objects in each", ErrForm, h.Begin, perStream)
		}
		entries = append(entries, entry{kind: 1, at: f.pos})
		next += h.count
		if err := f.holder(h); err != nil {
			return dict, nil, err
		}
	}
	entries = append(entries, entry{kind: 1, at: f.pos})
	return tableDict(r.Trailer, Value{}), appendRows(nil, entries), nil
}

// object steps over an object.
func (f *form) object(n int, o Object) error {
	if f.appended && o.Begin == f.pos && o.Get("ByteRange").Kind == Array {
		return f.signature(n, o)
	}
	if err := f.expect(opening(n, o.Value, o.Stream)); err != nil || !o.Stream {
		return err
	}
	if f.pos != o.From {
		return fmt.Errorf("%w: byte %d: a stream begins elsewhere, at byte %d", ErrForm, f.pos, o.From)
	}
	f.pos = o.To
	return f.expect([]byte(closing))
}

// signature steps over a signature, in which room is left for what is known
// last only: the numbers of its range, and its contents. Its texts are held,
// which other programs show, and so is all that stands between them.
func (f *form) signature(n int, o Object) error {
	if err := f.expect(fmt.Appendf(nil, "%d 0 obj\n<<", n)); err != nil {
		return err
	}
	for i, item := range o.Items {
		if err := f.key(o.Keys[i]); err != nil {
			return err
		}
		if key := o.Keys[i]; key == "ByteRange" || key == "Contents" {
			f.pos = item.End
			continue
		}
		if err := f.expect([]byte(item.Source())); err != nil {
			return err
		}
	}
	return f.expect([]byte("\n>>\nendobj\n"))
}

// key steps over a key and the spaces around it.
func (f *form) key(key string) error {
	if !bytes.HasPrefix(f.data[f.pos:], []byte("\n")) {
		if err := f.expect([]byte(" ")); err != nil {
			return err
		}
	} else {
		f.pos++
	}
	return f.expect([]byte(Value{Kind: Name, Text: key}.Source() + " "))
}

// used holds that the trailer leads to every object of the first revision, and
// to one catalog, its root.
func (f *File) used() error {
	r := f.Revisions[0]
	if want := []string{"Size", "Root", "Info", "ID"}; !slices.Equal(r.Trailer.Keys, want) {
		return fmt.Errorf("%w: byte %d: the trailer has the keys %q, expected %q", ErrForm, r.Trailer.Start, r.Trailer.Keys, want)
	}
	seen := make([]bool, len(r.Numbers())+1)
	queue := []Value{r.Trailer}
	for len(queue) > 0 {
		v := queue[len(queue)-1]
		queue = queue[:len(queue)-1]
		if v.Kind == Ref {
			// Every part of a structure names the one that it is a part of: whoever
			// reads that again for each reads one of n parts n times.
			if v.Int > 0 && v.Int < int64(len(seen)) && seen[v.Int] {
				continue
			}
			o, ok := r.Object(int(v.Int))
			if !ok || v.Int >= int64(len(seen)) {
				return fmt.Errorf("%w: byte %d: a reference to object %d, which is not there", ErrForm, v.Start, v.Int)
			}
			seen[v.Int] = true
			v = o.Value
		}
		if !v.plain() {
			return fmt.Errorf("%w: byte %d: found %s, expected a name of common characters or a number of common size", ErrForm, v.Start, v)
		}
		queue = append(queue, v.Items...)
	}
	root := r.Trailer.Get("Root")
	for n := 1; n < len(seen); n++ {
		o, _ := r.Object(n)
		switch {
		case !seen[n]:
			return fmt.Errorf("%w: byte %d: nothing uses object %d", ErrForm, o.Begin, n)
		case o.Get("Type").IsName("Catalog") != (root.Kind == Ref && root.Int == int64(n)):
			return fmt.Errorf("%w: byte %d: object %d and the trailer's /Root do not agree on the catalog", ErrForm, o.Begin, n)
		}
	}
	return nil
}

var (
	plainReal = regexp.MustCompile(`^-?[0-9]{1,9}\.[0-9]{1,9}$`)
	plainName = regexp.MustCompile(`^[A-Za-z0-9._+-]{1,100}$`)
	mediaType = regexp.MustCompile(`^[a-z]{1,20}/[a-z0-9.+-]{1,60}$`)
)

// plain reports whether a number, or a name, is one that every reader takes for the same.
func (v Value) plain() bool {
	switch v.Kind {
	case Integer:
		return v.Int >= math.MinInt32 && v.Int <= math.MaxInt32
	case Real:
		return plainReal.MatchString(v.Text)
	case Name:
		return plainName.MatchString(v.Text) || mediaType.MatchString(v.Text)
	case Dict:
		return !slices.ContainsFunc(v.Keys, func(key string) bool { return !plainName.MatchString(key) })
	}
	return true
}

// streams holds that all streams of a revision are packed in a known
// way, and end where their data does.
func (f *File) streams(k int) error {
	left := int64(MostUnpackedAll)
	objects := f.Revisions[k].objects // those with streams are all among them
	for _, n := range slices.Sorted(maps.Keys(objects)) {
		o := objects[n]
		if !o.Stream {
			continue
		}
		if kind := o.Get("Type"); kind.IsName("ObjStm") || kind.IsName("XRef") || o.Has("DecodeParms") {
			return fmt.Errorf("%w: byte %d: object %d may hold objects of its own", ErrForm, o.Begin, n)
		}
		switch filter := o.Get("Filter"); {
		case !o.Has("Filter"), filter.IsName("DCTDecode"):
			continue
		case !filter.IsName("FlateDecode"):
			return fmt.Errorf("%w: byte %d: object %d is packed by %s, expected /FlateDecode or /DCTDecode", ErrForm, o.Begin, n, filter.Source())
		}
		unpacked, err := unpackTo(io.Discard, f.Data[o.From:o.To], min(MostUnpacked, left))
		if err != nil {
			return fmt.Errorf("%w: byte %d: object %d: %w", ErrForm, o.From, n, err)
		}
		left -= unpacked
	}
	return nil
}
