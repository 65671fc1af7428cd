package object

import (
	"bytes"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"testing"
)

// elements are as many elements of a structure, below one root.
type elements int

func (n elements) Len() int { return int(n) }

func (n elements) Append(b []byte, i, first int) []byte {
	if i > 0 {
		return fmt.Appendf(b, "<< /S /TD /P %d 0 R /K %d >>", first, i)
	}
	b = append(b, "<< /Type /StructTreeRoot /K ["...)
	for k := range int(n) - 1 {
		if k > 0 {
			b = append(b, ' ')
		}
		b = fmt.Appendf(b, "%d 0 R", first+k+1)
	}
	return append(b, "] >>"...)
}

// small are the objects before a run, and their trailer.
func small() ([]Item, Value) {
	catalog := NewDict("Catalog")
	catalog.Add("StructTreeRoot", RefTo(3))
	trailer := NewDict("")
	trailer.Add("Size", Whole(0))
	trailer.Add("Root", RefTo(1))
	trailer.Add("Info", RefTo(2))
	return []Item{{Value: catalog}, {Value: NewDict("")}}, trailer
}

// TestManyObjects: elements of a structure, which are packed and of which nothing
// is kept parsed, are found as they were written, and held to the one form.
func TestManyObjects(t *testing.T) {
	counts := []int{1, perStream + 1, 2, perStream - 1, perStream, 2*perStream + 10}
	if testing.Short() {
		counts = counts[:2]
	}
	for _, n := range counts {
		items, trailer := small()
		var b bytes.Buffer
		if err := WriteTo(&b, items, elements(n), trailer); err != nil {
			t.Fatal(err)
		}
		f, err := Read(b.Bytes())
		if err != nil {
			t.Fatal(err)
		}
		if err := f.Canonical(); err != nil {
			t.Error(err)
		}
		r := f.Revisions[0]
		streams := (n + perStream - 1) / perStream
		if len(r.Numbers()) != n+2 || len(r.objects) != 2 || r.Last() != n+2+streams+1 {
			t.Errorf("found %d objects, %d kept and %d numbers, expected %d, 2 and %d", len(r.Numbers()), len(r.objects), r.Last(), n+2, n+2+streams+1)
		}
		for i := 4; i <= n+2; i++ {
			if o, ok := f.Find(int64(i), 0); !ok || !o.Get("K").IsInt(int64(i-3)) || !o.Get("S").IsName("TD") {
				t.Fatalf("object %d is %s", i, o.Value)
			}
		}
		for _, i := range []int{-1, 0, n + 3, n + 4} { // the streams, too, are no objects
			if _, ok := f.Find(int64(i), 0); ok {
				t.Errorf("found object %d, which is not there", i)
			}
		}
	}
}

// TestNothingHidesInStreams changes what streams of objects and the table say,
// in every way in which one reader could see there what another does not.
func TestNothingHidesInStreams(t *testing.T) {
	in := func(old, new string) func(*compact, Value, []byte) (Value, []byte) {
		return func(_ *compact, dict Value, plain []byte) (Value, []byte) {
			if !bytes.Contains(plain, []byte(old)) {
				t.Fatalf("nothing reads %q", old)
			}
			return dict, bytes.Replace(plain, []byte(old), []byte(new), 1)
		}
	}
	with := func(key string, v Value) func(*compact, Value, []byte) (Value, []byte) {
		return func(_ *compact, dict Value, plain []byte) (Value, []byte) { return dict.With(key, v), plain }
	}
	entry := func(n int, e entry) func(*compact, Value, []byte) (Value, []byte) {
		return func(c *compact, dict Value, plain []byte) (Value, []byte) {
			c.entries[n] = e
			return dict, plain
		}
	}
	for _, c := range []struct {
		name   string
		change func(c *compact, dict Value, plain []byte) (Value, []byte)
		ok     bool
	}{
		{"nothing", in("<< ", "<< "), true},
		{"a value", in("/K 4 ", "/K 5 "), true},
		{"another form", in("<< /S /TD", "<<  /S/TD"), false},
		{"a comment", in("<< /S /TD", "<< %a\n/S /TD"), false},
		{"two numbers that change places", in("4 90 5 ", "5 90 4 "), false},
		{"another number", in("4 90 ", "9 90 "), false},
		{"another place", in("4 90 ", "4 91 "), false},
		{"a place beyond the end", in("4 90 ", "4 99 "), false},
		{"the same place", func(_ *compact, dict Value, plain []byte) (Value, []byte) {
			at := regexp.MustCompile(`^3 0 4 (\d+) 5 \d+`).FindSubmatch(plain)
			return dict, bytes.Replace(plain, at[0], fmt.Appendf(nil, "3 0 4 %s 5 %[1]s", at[1]), 1)
		}, false},
		{"a catalog", in("<< /S /TD /P 3 0 R", "<< /Type /Catalog "), false},
		{"a page", in("<< /S /TD /P 3 0 R", "<< /Type /Page    "), false},
		{"a name", in("<< /S /TD /P 3 0 R /K 4 >>", "/A                        "), false},
		{"more behind the objects", func(_ *compact, dict Value, plain []byte) (Value, []byte) {
			return dict, append(plain, "<< /S /TD /P 3 0 R >>\n"...)
		}, false},
		{"more before the objects", func(_ *compact, dict Value, plain []byte) (Value, []byte) {
			first := int(dict.Get("First").Int)
			return dict.With("First", Whole(first+1)), slices.Insert(plain, first, ' ')
		}, false},
		{"one object less said", with("N", Whole(9)), false},
		{"one object more said", with("N", Whole(11)), false},
		{"it extends another", with("Extends", RefTo(1)), false},
		{"what it holds begins elsewhere", with("First", Whole(2)), false},
		{"it is said to be predicted", with("DecodeParms", NewDict("")), false},
		{"an object in no stream", entry(5, free), false},
		{"an object that is the stream", entry(5, entry1(13)), false},
		{"an object in the catalog", entry(5, entry2(1, 2)), false},
		{"an object elsewhere in the stream", entry(5, entry2(13, 3)), false},
		{"the catalog in the stream", entry(1, entry2(13, 0)), false},
	} {
		f, err := Read(changed(10, c.change))
		if err == nil {
			err = f.Canonical()
		}
		if (err == nil) != c.ok || err != nil && !errors.Is(err, ErrFile) {
			t.Errorf("%s: found %v", c.name, err)
		}
	}
}

func entry1(at int) entry    { return entry{kind: 1, at: at} }
func entry2(at, n int) entry { return entry{kind: 2, at: at, nth: n} }

// changed is a file of some elements in one stream, changed before it is packed.
func changed(n int, change func(c *compact, dict Value, plain []byte) (Value, []byte)) []byte {
	items, trailer := small()
	var b bytes.Buffer
	c := compact{writer: newWriter(&b), items: items, run: elements(n)}
	c.entries = []entry{free}
	for i, it := range items {
		c.entries = append(c.entries, entry{kind: 1, at: c.n})
		c.object(i+1, it)
	}
	stream := len(items) + n + 1
	for i := range n {
		number := len(items) + 1 + i
		c.holding.add(number, func(b []byte) []byte { return c.appendObject(b, number) })
		c.entries = append(c.entries, entry{kind: 2, at: stream, nth: i})
	}
	dict, plain := c.holding.take(n)
	c.entries = append(c.entries, entry{kind: 1, at: c.n})
	dict, plain = change(&c, dict, plain)
	c.object(stream, Item{Value: dict, Plain: plain})
	c.table(trailer)
	_ = c.w.Flush() // into memory
	return b.Bytes()
}

// TestStreamsAreBounded: a stream of objects that unpacks into more than it may is
// refused before it is in memory.
func TestStreamsAreBounded(t *testing.T) {
	file := changed(10, func(_ *compact, dict Value, plain []byte) (Value, []byte) {
		return dict, append(plain, make([]byte, mostHeld)...)
	})
	if _, err := Read(file); !errors.Is(err, ErrLarge) {
		t.Errorf("found %v, expected %v", err, ErrLarge)
	}
}

// TestPartsNameTheirWhole: to hold a structure to the one form asks for memory in
// proportion to its elements, of which each names the one that all are parts of.
// That one was once read again for each, and verifying a report with a list of
// some thousand items took minutes.
func TestPartsNameTheirWhole(t *testing.T) {
	held := func(n int) float64 {
		items, trailer := small()
		var b bytes.Buffer
		if err := WriteTo(&b, items, elements(n), trailer); err != nil {
			t.Fatal(err)
		}
		f, err := Read(b.Bytes())
		if err != nil {
			t.Fatal(err)
		}
		return testing.AllocsPerRun(1, func() { err = errors.Join(err, f.Canonical()) })
	}
	if few, many := held(200), held(1600); many > 12*few {
		t.Errorf("1600 elements ask %v times for memory, 200 of them %v times", many, few)
	}
}
