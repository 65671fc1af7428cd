package object

import (
	"bytes"
	"errors"
	"fmt"
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

// TestManyObjects: elements of a structure, of which nothing is kept when a file
// is read, are found as they were written, and held to the one form.
func TestManyObjects(t *testing.T) {
	catalog := NewDict("Catalog")
	catalog.Add("StructTreeRoot", RefTo(3))
	trailer := NewDict("")
	trailer.Add("Size", Whole(0))
	trailer.Add("Root", RefTo(1))
	trailer.Add("Info", RefTo(2))
	var b bytes.Buffer
	if err := WriteTo(&b, []Item{{Value: catalog}, {Value: NewDict("")}}, elements(1000), trailer); err != nil {
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
	if len(r.Numbers()) != 1002 || len(r.objects) != 3 {
		t.Errorf("found %d objects and %d kept, expected 1002 and 3", len(r.Numbers()), len(r.objects))
	}
	for n := 4; n <= 1002; n++ {
		if o, ok := f.Find(int64(n), 0); !ok || !o.Get("K").IsInt(int64(n-3)) || !o.Get("S").IsName("TD") {
			t.Fatalf("object %d is %s", n, o.Value)
		}
	}
	if _, ok := f.Find(1003, 0); ok {
		t.Error("found an object that is not there")
	}
	// Nothing hides in one of them either.
	at := r.Offsets[500]
	hidden := bytes.Clone(b.Bytes())
	copy(hidden[at+len("500 0 obj\n"):], "<<  /S/TD")
	if f, err = Read(hidden); err != nil {
		t.Fatal(err)
	}
	if err := f.Canonical(); !errors.Is(err, ErrForm) {
		t.Errorf("found %v, expected %v", err, ErrForm)
	}
}
