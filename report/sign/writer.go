package sign

import (
	"bytes"
	"crypto"
	"slices"

	"setline.example/report/pdf/object"
)

// writer writes objects and remembers where.
type writer struct {
	bytes.Buffer
	f       *file
	offsets map[int]int
}

// object writes an object in the one form that a verifier accepts.
func (w *writer) object(n int, o object.Item) {
	w.offsets[n] = w.Len()
	object.AppendObject(&w.Buffer, n, o)
}

// dict writes a dictionary as an object.
func (w *writer) dict(n int, d object.Value) { w.object(n, object.Item{Value: d}) }

// edited returns a dictionary with the entries of another replaced or added at its end.
func edited(d, entries object.Value) object.Value {
	all := object.NewDict("")
	for i, key := range d.Keys {
		if !slices.Contains(entries.Keys, key) {
			all.Add(key, d.Items[i])
		}
	}
	for i, key := range entries.Keys {
		all.Add(key, entries.Items[i])
	}
	return all
}

// dictOf returns a dictionary of one entry.
func dictOf(key string, item object.Value) object.Value {
	d := object.NewDict("")
	d.Add(key, item)
	return d
}

// tail writes the table, the trailer and the end.
func (w *writer) tail(prev object.Revision, size int) {
	trailer := prev.Trailer.With("Prev", object.Whole(prev.Table))
	if id := prev.Trailer.Get("ID"); len(id.Items) == 2 {
		// The second half changes with every update (14.4).
		half := object.Bytes(string(sum(crypto.SHA256, w.f.Data)[:16]))
		trailer = trailer.With("ID", object.List(id.Items[0], half))
	}
	prev.AppendTable(&w.Buffer, w.offsets, size, trailer)
}

// grown returns an array of references, or of what else is in it, with one more.
func grown(a object.Value, number int) object.Value {
	return object.List(append(slices.Clone(a.Items), object.RefTo(number))...)
}
