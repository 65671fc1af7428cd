package sign

import (
	"bytes"
	"crypto"
	"fmt"
	"slices"
	"strings"

	"setline.example/report/pdf/object"
)

// entry is an entry of a dictionary to be written, its value as PDF.
type entry struct{ key, source string }

// writer writes objects and remembers where.
type writer struct {
	bytes.Buffer
	f       *file
	offsets map[int]int
}

// object writes an object in the one form that a verifier accepts.
func (w *writer) object(n int, body string) {
	w.offsets[n] = w.Len()
	text := fmt.Appendf(nil, "%d 0 obj\n%s\nendobj\n", n, body)
	_, o, err := object.ParseObject(text)
	if err != nil {
		panic(fmt.Sprintf("wrote an object that cannot be read: %v", err))
	}
	item := object.Item{Value: o.Value}
	if o.Stream {
		item.Stream = text[o.From:o.To]
	}
	object.AppendObject(&w.Buffer, n, item)
}

// edit returns a dictionary as it is in the file, with entries replaced or added.
func (w *writer) edit(d object.Value, entries []entry) string {
	var b strings.Builder
	b.WriteString("<<")
	for i, key := range d.Keys {
		if !slices.ContainsFunc(entries, func(e entry) bool { return e.key == key }) {
			fmt.Fprintf(&b, "\n%s %s", object.Value{Kind: object.Name, Text: key}.Source(), w.f.Data[d.Items[i].Start:d.Items[i].End])
		}
	}
	for _, e := range entries {
		fmt.Fprintf(&b, "\n/%s %s", e.key, e.source)
	}
	b.WriteString("\n>>")
	return b.String()
}

// tail writes the table, the trailer and the end.
func (w *writer) tail(prev object.Revision, size int) {
	trailer := prev.Trailer.With("Prev", object.Whole(prev.Table))
	if id := prev.Trailer.Get("ID"); len(id.Items) == 2 {
		// The second half changes with every update (14.4).
		half := object.Value{Kind: object.String, Text: string(sum(crypto.SHA256, w.f.Data)[:16])}
		trailer = trailer.With("ID", object.Value{Kind: object.Array, Items: []object.Value{id.Items[0], half}})
	}
	prev.AppendTable(&w.Buffer, w.offsets, size, trailer)
}

// grown writes an array of references, or of what else is in it, with one more.
func grown(a object.Value, number int) string {
	var b strings.Builder
	b.WriteString("[")
	for _, item := range a.Items {
		b.WriteString(item.Source() + " ")
	}
	fmt.Fprintf(&b, "%d 0 R]", number)
	return b.String()
}
