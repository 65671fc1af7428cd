package main

import (
	"bytes"
	"cmp"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"

	"setline.example/checks"
	"setline.example/report/fieldsheet"
	"setline.example/report/fieldsheet/collect"
	"setline.example/report/fieldsheet/webpage"
	"setline.example/report/pdf/object"
	"setline.example/schema"
	"setline.example/schema/length"
	"setline.example/schema/plaintext"
)

// What people wrote, filled in or signed is not made again by running a command
// again. Where an output would replace such a file, it stays under another name.

// keepFormer keeps a copy of what stands at path, where holds says what of it
// nobody could make again; "" where anybody can. The copy's name is told to stderr.
func keepFormer(stderr io.Writer, path string, holds func(data []byte) string) error {
	if !here(path) {
		return nil
	}
	data, err := readFile(path, anyFile)
	if err != nil {
		return nil // what cannot be read is none of ours; whoever writes over it says what is wrong
	}
	what := holds(data)
	if what == "" {
		return nil
	}
	to, kept := formerName(path, data)
	if !kept {
		if err := put(stderr, whole{path: to, like: path, fresh: true, make: these(data)}); err != nil {
			return err
		}
	}
	_, err = fmt.Fprintf(stderr, "setline: %s: found %s, which is kept as %s\n", plaintext.Visible(path), what, plaintext.Visible(to))
	return err
}

// formerName is the first name that is free: "report-former.pdf",
// "report-former-2.pdf", and so on; kept says that data stands there already.
func formerName(path string, data []byte) (to string, kept bool) {
	end := filepath.Ext(path)
	stem := strings.TrimSuffix(path, end) + "-former"
	for n := 1; ; n++ {
		to = stem + end
		if n > 1 {
			to = stem + "-" + strconv.Itoa(n) + end
		}
		if !here(to) {
			return to, false
		}
		if there, err := readFile(to, anyFile); err == nil && bytes.Equal(there, data) {
			return to, true
		}
	}
}

// anyFile is a file that is there; none of ours is larger.
var anyFile = fileKind{what: "what is there", most: 1 << 30}

// notOurs says what stands in a file where it is not as Setline wrote it: a PDF that
// was filled in, signed, flattened or drawn on, or is another's; a sheet that may be
// filled in; a job record, whole or cut short.
func notOurs(made func(io.Writer) error) func(data []byte) string {
	return func(data []byte) string {
		what := whatOf(data)
		if what == "" || makes(made, data) {
			return ""
		}
		return what
	}
}

// anythingElse says of all that is not what is to be written what it is.
func anythingElse(made func(io.Writer) error) func(data []byte) string {
	return func(data []byte) string {
		if len(data) == 0 || makes(made, data) {
			return ""
		}
		return cmp.Or(whatOf(data), "another file")
	}
}

func makes(made func(io.Writer) error, data []byte) bool {
	var now bytes.Buffer
	return made(&now) == nil && bytes.Equal(now.Bytes(), data)
}

func whatOf(data []byte) string {
	switch {
	case bytes.HasPrefix(data, []byte("%PDF-")):
		return foreignPDF(data)
	case bytes.Contains(data, []byte(fieldsheet.PlanMark)):
		return "a sheet"
	case bytes.Contains(data, []byte("setline-plan")):
		if f, err := webpage.Read("", data); err == nil && !answers(f, nil) {
			return ""
		}
		return "a sheet that is filled in"
	}
	return recordIn(data)
}

// foreignPDF says of a PDF that is not byte for byte as Setline writes them what it is.
func foreignPDF(data []byte) string {
	switch {
	case object.AsWritten(data):
		return ""
	case bytes.Contains(data, []byte("/ByteRange")): // ISO 32000-1, 12.8.1
		return "a signed report"
	}
	return "a PDF that is not as Setline wrote it"
}

// recordHead begins a job record, also one that is cut short.
var recordHead = regexp.MustCompile(`^\s*\{[^{]{0,400}"setline"\s*:`)

func recordIn(data []byte) string {
	var record struct{ Setline, Planned json.RawMessage }
	switch err := json.Unmarshal(data, &record); {
	case err == nil && record.Setline != nil && record.Planned != nil:
		return "a job record"
	case err != nil && recordHead.Match(data):
		return "a job record that cannot be read"
	}
	return ""
}

// notCollected says of what stands in the place of a sheet that it is filled in with
// what the record does not hold, or that nobody can tell.
func notCollected(path string, rec *schema.Record, src *schema.Source) func(data []byte) string {
	// Once for all sheets of a job.
	asked := sync.OnceValues(func() ([]*checks.Ask, error) { return collect.Asked(rec, src) })
	boxes := sync.OnceValue(func() collect.Boxes { asks, _ := asked(); return collect.NewBoxes(asks) })
	printed := sync.OnceValue(func() map[string]string { asks, _ := asked(); return printedIn(asks, rec.Planned.LengthsIn) })
	return func(data []byte) string {
		asks, err := asked()
		pdf := bytes.HasPrefix(data, []byte("%PDF-"))
		switch {
		case err != nil, len(data) == 0, pdf && object.AsWritten(data):
			return ""
		case strings.EqualFold(filepath.Ext(path), ".csv"):
			return counted(data)
		}
		f, err := sheetReader(path, boxes())(path, data)
		switch {
		case err != nil, f.Plan == "" && !f.IsDelivery():
			return cmp.Or(whatOf(data), "what cannot be read as a sheet")
		case !answers(f, printed()) && pdf: // drawn on, or only saved anew
			return foreignPDF(data)
		case !answers(f, printed()):
			return ""
		case f.IsDelivery():
			text, _, err := collect.AddCounts(path, src.Data, []*fieldsheet.Filled{f})
			return filledIn(text, src.Data, err)
		}
		result, err := collect.Add(rec, src, asks, []*fieldsheet.Filled{f}, collect.Options{})
		if err != nil {
			return filledIn(nil, src.Data, err)
		}
		return filledIn(result.Record, src.Data, nil)
	}
}

// counted says of a table to count a delivery on that somebody wrote into it.
func counted(data []byte) string {
	rows, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
	if err != nil || len(rows) == 0 || !slices.Equal(rows[0], fieldsheet.CountHeadings()) {
		return "a table that is not as Setline wrote it"
	}
	for _, row := range rows[1:] {
		for i, name := range rows[0] {
			if row[i] != "" && slices.Contains([]string{"good", "damaged", "remark"}, name) {
				return "a count of a delivery"
			}
		}
	}
	return ""
}

// noted says of a punch list that somebody wrote into it: by another program, or in a
// single cell of a row that is otherwise as the row that is to be written.
func noted(made func(io.Writer) error) func(data []byte) string {
	return func(data []byte) string {
		var text bytes.Buffer
		if len(data) == 0 || made(&text) != nil || bytes.Equal(text.Bytes(), data) {
			return ""
		}
		now, _ := tableAsWritten(text.Bytes())
		was, ok := tableAsWritten(data)
		if !ok || !slices.Equal(now[0], was[0]) {
			return cmp.Or(whatOf(data), "a table that is not as Setline wrote it")
		}
		of := slices.IndexFunc(now[0], func(name string) bool { return name == "rule" })
		rows := map[string][][]string{} // by what is the same on every day: room, place and rule
		for _, row := range now {
			at := strings.Join(row[1:of+1], "\n")
			rows[at] = append(rows[at], row)
		}
		for _, row := range was {
			if row[of] == "" {
				continue // how much of a room nobody looked at
			}
			for _, other := range rows[strings.Join(row[1:of+1], "\n")] {
				if differing(row, other) == 1 {
					return "a punch list that somebody wrote into"
				}
			}
		}
		return ""
	}
}

// tableAsWritten reads a table that has every byte as Setline writes tables.
func tableAsWritten(data []byte) (rows [][]string, ok bool) {
	const mark = "\uFEFF"
	rows, err := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(data, []byte(mark)))).ReadAll()
	if err != nil || len(rows) == 0 {
		return nil, false
	}
	var again bytes.Buffer
	again.WriteString(mark)
	w := csv.NewWriter(&again)
	w.UseCRLF = true
	return rows, w.WriteAll(rows) == nil && bytes.Equal(again.Bytes(), data)
}

// differing counts the cells in which two rows of one length differ.
func differing(a, b []string) (n int) {
	for i := range a {
		if a[i] != b[i] {
			n++
		}
	}
	return n
}

// filledIn says of a sheet that collecting it makes another record, or cannot be
// done as it is.
func filledIn(now, was []byte, err error) string {
	if err == nil && bytes.Equal(now, was) {
		return ""
	}
	return "a sheet that is filled in with what the record does not hold"
}

// printedIn is what stands in boxes before anybody fills them in, by their names.
func printedIn(asks []*checks.Ask, sys length.System) map[string]string {
	printed := map[string]string{}
	for _, a := range asks {
		for _, b := range fieldsheet.FieldsOf(a) {
			if usual := fieldsheet.UsualText(b.Blank, sys); usual != "" {
				printed[b.Name] = usual
			}
		}
	}
	return printed
}

// answers reports whether anything stands in the boxes of a sheet beside what was
// printed there, or was photographed.
func answers(f *fieldsheet.Filled, printed map[string]string) bool {
	for name, e := range f.Entries {
		if e.On || e.Text != "" && e.Text != printed[name] {
			return true
		}
	}
	return len(f.Photos) > 0
}
