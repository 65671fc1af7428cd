package report

import (
	"bytes"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"setline.example/report/pdf/object"
	"setline.example/report/sign"
)

// forgery is a report that is written by hand: objects as text in their order,
// their rows in the table, and the trailer. It knows nothing of the readers that it is to mislead.
type forgery struct {
	objects      []string // whole, from "1 0 obj" on
	head, foot   string   // before the first object, and before the table
	root, info   int
	rowEnd       string // ends every row but the last of each object that is seen
	from         int    // objects from here on (counted from 0) stand hidden
	behind       int    // hidden objects follow this object
	inside       bool   // hidden objects stand within the stream of that object
	firstTrailer string // stands before the real trailer's keys
}

var (
	objectStart = regexp.MustCompile(`(?m)^(\d+) 0 obj\n`)
	reference   = regexp.MustCompile(`\b(\d+) 0 R\b`)
	rootKey     = regexp.MustCompile(`/Root (\d+) 0 R`)
	infoKey     = regexp.MustCompile(`/Info (\d+) 0 R`)
	lengthKey   = regexp.MustCompile(`/Length (\d+)`)
)

// takeApart cuts a report into its objects by its table, after those that are
// packed were written as the others are.
func takeApart(t testing.TB, file []byte) *forgery {
	t.Helper()
	read, err := object.Read(file)
	if err != nil {
		t.Fatal(err)
	}
	r := read.Revisions[0]
	items := make([]object.Item, len(r.Numbers()))
	for _, n := range r.Numbers() {
		o, _ := r.Object(n)
		items[n-1].Value = o.Value
		if o.Stream {
			items[n-1].Stream = file[o.From:o.To]
		}
	}
	text := string(object.Write(items, r.Trailer))
	at, _ := strconv.Atoi(strings.Fields(text[strings.LastIndex(text, "startxref"):])[1])
	rows := strings.Split(text[at:strings.LastIndex(text, "trailer")], "\n")
	var starts []int
	for _, row := range rows[3 : len(rows)-1] {
		n, err := strconv.Atoi(row[:10])
		if err != nil {
			t.Fatal(err)
		}
		starts = append(starts, n)
	}
	f := &forgery{head: text[:starts[0]], rowEnd: " \n", behind: -1}
	for i, start := range starts {
		end := at
		if i+1 < len(starts) {
			end = starts[i+1]
		}
		f.objects = append(f.objects, text[start:end])
	}
	f.from = len(f.objects)
	f.root, _ = strconv.Atoi(rootKey.FindStringSubmatch(text[at:])[1])
	f.info, _ = strconv.Atoi(infoKey.FindStringSubmatch(text[at:])[1])
	return f
}

// renumbered adds by to every number of an object, outside of its stream.
func renumbered(object string, by int) string {
	more := func(m string) string {
		n, rest, _ := strings.Cut(m, " ")
		k, _ := strconv.Atoi(n)
		return fmt.Sprintf("%d %s", k+by, rest)
	}
	dict, stream, ok := strings.Cut(object, "stream\n")
	dict = reference.ReplaceAllStringFunc(objectStart.ReplaceAllStringFunc(dict, more), more)
	if ok {
		return dict + "stream\n" + stream
	}
	return dict
}

// hide puts another report's objects behind a page's content.
func (f *forgery) hide(other *forgery) {
	by := len(f.objects)
	for _, o := range other.objects {
		f.objects = append(f.objects, renumbered(o, by))
	}
	for i, o := range f.objects[:f.from] {
		if strings.Contains(o, "/FlateDecode") && strings.Contains(o, "stream\n") {
			f.behind = i
		}
	}
	f.root, f.info = other.root+by, other.info+by
}

// file writes the forgery.
func (f *forgery) file() []byte {
	var b strings.Builder
	b.WriteString(f.head)
	at := make([]int, len(f.objects))
	for i, o := range f.objects[:f.from] {
		at[i] = b.Len()
		if i != f.behind {
			b.WriteString(o)
			continue
		}
		tail := ""
		if f.inside {
			tail = "\nendstream\nendobj\n"
			o = strings.TrimSuffix(o, tail)
			more := len(strings.Join(f.objects[f.from:], ""))
			o = lengthKey.ReplaceAllStringFunc(o, func(m string) string {
				n, _ := strconv.Atoi(strings.TrimPrefix(m, "/Length "))
				return fmt.Sprintf("/Length %d", n+more)
			})
		}
		b.WriteString(o)
		for k := f.from; k < len(f.objects); k++ {
			at[k] = b.Len()
			b.WriteString(f.objects[k])
		}
		b.WriteString(tail)
	}
	b.WriteString(f.foot)
	table := b.Len()
	fmt.Fprintf(&b, "xref\n0 %d\n0000000000 65535 f \n", len(at)+1)
	for i, n := range at {
		end := f.rowEnd
		if i < f.from-1 || i == len(at)-1 {
			end = " \n"
		}
		fmt.Fprintf(&b, "%010d 00000 n%s", n, end)
	}
	id := strings.Repeat("ab", 16)
	fmt.Fprintf(&b, "trailer\n<< %s /Size %d /Root %d 0 R /Info %d 0 R /ID [<%s> <%s>] >>\nstartxref\n%d\n%%%%EOF\n",
		f.firstTrailer, len(at)+1, f.root, f.info, id, id, table)
	return []byte(b.String())
}

// reports returns the report of a job that is not ready, and one of it made to look ready.
func reports(t *testing.T) (honest, better []byte) {
	t.Helper()
	found, faults, data := findings(t, annex)
	r, err := New(found, faults, data, options(nil))
	if err != nil {
		t.Fatal(err)
	}
	found, faults, data = findings(t, "../examples/metric/job.json")
	s, err := New(found, faults, data, options(nil))
	if err != nil {
		t.Fatal(err)
	}
	return pdfOf(t, r), pdfOf(t, s)
}

// forgeries are reports in which one reader may see another document than the next.
func forgeries(t *testing.T) map[string][]byte {
	honest, other := reports(t)
	made := map[string][]byte{}
	add := func(name string, change func(f *forgery)) {
		f := takeApart(t, honest)
		change(f)
		made[name] = f.file()
	}
	hidden := func(change func(f *forgery)) func(*forgery) {
		return func(f *forgery) {
			f.hide(takeApart(t, other))
			change(f)
		}
	}
	add("second catalog, rows end in SP CR", hidden(func(f *forgery) { f.rowEnd = " \r" }))
	add("second catalog, rows end in CR LF", hidden(func(f *forgery) { f.rowEnd = "\r\n" }))
	add("second catalog, rows as they are", hidden(func(f *forgery) {}))
	add("second catalog within a stream, rows end in SP CR", hidden(func(f *forgery) { f.rowEnd, f.inside = " \r", true }))
	add("second catalog, which the trailer does not name", hidden(func(f *forgery) {
		first := takeApart(t, honest)
		f.rowEnd, f.root, f.info = " \r", first.root, first.info
	}))
	add("other information", hidden(func(f *forgery) { f.rowEnd, f.root = " \r", takeApart(t, honest).root }))
	add("another root among the objects", func(f *forgery) { f.root = f.info })
	add("more in the trailer", func(f *forgery) { f.firstTrailer = "/Lang (x)" })
	add("another identifier", func(f *forgery) {})
	add("a comment before the objects", func(f *forgery) { f.head += "%99 0 obj\n" })
	add("bytes before the header", func(f *forgery) { f.head = "more\n" + f.head })
	add("another header before the header", func(f *forgery) { f.head = "%PDF-1.4\n" + f.head })
	add("a cross-reference stream beside the table", func(f *forgery) { f.firstTrailer = "/XRefStm 15" })
	add("space before the table", func(f *forgery) { f.foot = "\n" })
	add("bytes behind packed data", func(f *forgery) {
		for i, o := range f.objects {
			body, ok := strings.CutSuffix(o, "\nendstream\nendobj\n")
			if ok && strings.Contains(o, "/FlateDecode") {
				f.objects[i] = lengthKey.ReplaceAllStringFunc(body, func(m string) string {
					n, _ := strconv.Atoi(strings.TrimPrefix(m, "/Length "))
					return fmt.Sprintf("/Length %d", n+4)
				}) + "more\nendstream\nendobj\n"
				return
			}
		}
	})
	return made
}

// TestForgedForm: whatever is no report byte for byte is refused, by the one
// who makes it again and by the one who signs, and never taken for the report.
func TestForgedForm(t *testing.T) {
	long(t)
	signer := someone(t)
	for name, file := range forgeries(t) {
		t.Run(name, func(t *testing.T) {
			if again, err := Rebuild(file); err == nil && again.Differs == "" {
				t.Error("taken for the report that its record gives")
			}
			if _, err := sign.Sign(file, signer); err == nil {
				t.Error("signed")
			}
		})
	}
}

// someone is a signer on the day of the reports.
func someone(t testing.TB) sign.Request {
	t.Helper()
	now := time.Now()
	id, err := sign.NewIdentity("Ada Fitter", "Linden Inspection", now, bytes.NewReader(bytes.Repeat([]byte{7}, 4096)))
	if err != nil {
		t.Fatal(err)
	}
	return sign.Request{Identity: id, As: sign.Inspector, Reason: "accepted: READY", Time: now}
}
