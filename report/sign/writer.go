package sign

import (
	"bytes"
	"crypto"
	"fmt"
	"maps"
	"slices"
	"strings"
)

// entry is an entry of a dictionary to be written, its value as PDF.
type entry struct{ key, source string }

// writer writes objects and remembers where.
type writer struct {
	bytes.Buffer
	f       *file
	offsets map[int]int
}

func (w *writer) object(n int, body string) {
	w.offsets[n] = w.Len()
	fmt.Fprintf(w, "%d 0 obj\n%s\nendobj\n", n, body)
}

// edit returns a dictionary as it is in the file, with entries replaced or added.
func (w *writer) edit(d value, entries []entry) string {
	var b strings.Builder
	b.WriteString("<<")
	for i, key := range d.keys {
		if !slices.ContainsFunc(entries, func(e entry) bool { return e.key == key }) {
			fmt.Fprintf(&b, "\n%s %s", source(value{kind: name, text: key}), w.f.data[d.items[i].start:d.items[i].end])
		}
	}
	for _, e := range entries {
		fmt.Fprintf(&b, "\n/%s %s", e.key, e.source)
	}
	b.WriteString("\n>>")
	return b.String()
}

// tail writes the table, the trailer and the end.
func (w *writer) tail(prev revision, size int) {
	table := w.Len()
	w.WriteString("xref\n")
	numbers := slices.Sorted(maps.Keys(w.offsets))
	for i := 0; i < len(numbers); {
		j := i + 1
		for j < len(numbers) && numbers[j] == numbers[j-1]+1 {
			j++
		}
		fmt.Fprintf(w, "%d %d\n", numbers[i], j-i)
		for ; i < j; i++ {
			fmt.Fprintf(w, "%010d 00000 n \n", w.offsets[numbers[i]])
		}
	}
	entries := []entry{{"Size", fmt.Sprint(size)}, {"Prev", fmt.Sprint(prev.table)}}
	if id := prev.trailer.get("ID"); len(id.items) == 2 {
		// The second half changes with every update (14.4).
		entries = append(entries, entry{"ID", fmt.Sprintf("[%s <%x>]", source(id.items[0]), sum(crypto.SHA256, w.f.data)[:16])})
	}
	fmt.Fprintf(w, "trailer\n%s\nstartxref\n%d\n%%%%EOF\n", w.edit(prev.trailer, entries), table)
}

// grown writes an array of references, or of what else is in it, with one more.
func grown(a value, number int) string {
	var b strings.Builder
	b.WriteString("[")
	for _, item := range a.items {
		b.WriteString(source(item) + " ")
	}
	fmt.Fprintf(&b, "%d 0 R]", number)
	return b.String()
}

// source writes a value as PDF.
func source(v value) string {
	switch v.kind {
	case name:
		var b strings.Builder
		b.WriteByte('/')
		for _, c := range []byte(v.text) {
			if c <= ' ' || c > '~' || c == '#' || isDelimiter(c) {
				fmt.Fprintf(&b, "#%02x", c)
			} else {
				b.WriteByte(c)
			}
		}
		return b.String()
	case text:
		return fmt.Sprintf("<%x>", v.text)
	case array, dict:
		var b strings.Builder
		b.WriteString([]string{"[", "<<"}[v.kind-array])
		for i, item := range v.items {
			if v.kind == dict {
				b.WriteString(source(value{kind: name, text: v.keys[i]}) + " ")
			}
			b.WriteString(source(item) + " ")
		}
		b.WriteString([]string{"]", ">>"}[v.kind-array])
		return b.String()
	}
	return v.String()
}
