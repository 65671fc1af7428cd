package sign

import (
	"fmt"
	"slices"
	"strings"

	"setline.example/report/pdf/object"
)

// Who attacks a report writes what he likes: objects as text.

// entry is an entry of a dictionary, its value as PDF.
type entry struct{ key, source string }

// editedText writes a dictionary as text, with entries replaced or added at its end.
func editedText(d object.Value, entries ...entry) string {
	var b strings.Builder
	b.WriteString("<<")
	for i, key := range d.Keys {
		if !slices.ContainsFunc(entries, func(e entry) bool { return e.key == key }) {
			fmt.Fprintf(&b, "\n/%s %s", key, d.Items[i].Source())
		}
	}
	for _, e := range entries {
		fmt.Fprintf(&b, "\n/%s %s", e.key, e.source)
	}
	return b.String() + "\n>>"
}

// grownText writes an array of references with one more.
func grownText(a object.Value, number int) string { return grown(a, number).Source() }

// itemText writes an object as text, without its number.
func itemText(o object.Item) string {
	if o.Stream == nil {
		return o.Value.Source()
	}
	return fmt.Sprintf("%s\nstream\n%s\nendstream", o.Value.With("Length", object.Whole(len(o.Stream))).Source(), o.Stream)
}

// text writes an object of that text.
func (w *writer) text(n int, body string) {
	text := fmt.Appendf(nil, "%d 0 obj\n%s\nendobj\n", n, body)
	_, o, err := object.ParseObject(text)
	if err != nil {
		panic(fmt.Sprintf("wrote an object that cannot be read: %v", err))
	}
	item := object.Item{Value: o.Value}
	if o.Stream {
		item.Stream = text[o.From:o.To]
	}
	w.object(n, item)
}
