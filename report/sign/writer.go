package sign

import (
	"bytes"
	"crypto"
	"fmt"
	"maps"
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

func (w *writer) object(n int, body string) {
	w.offsets[n] = w.Len()
	fmt.Fprintf(w, "%d 0 obj\n%s\nendobj\n", n, body)
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
	entries := []entry{{"Size", fmt.Sprint(size)}, {"Prev", fmt.Sprint(prev.Table)}}
	if id := prev.Trailer.Get("ID"); len(id.Items) == 2 {
		// The second half changes with every update (14.4).
		entries = append(entries, entry{"ID", fmt.Sprintf("[%s <%x>]", id.Items[0].Source(), sum(crypto.SHA256, w.f.Data)[:16])})
	}
	fmt.Fprintf(w, "trailer\n%s\nstartxref\n%d\n%%%%EOF\n", w.edit(prev.Trailer, entries), table)
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
