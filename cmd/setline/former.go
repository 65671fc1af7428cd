package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"path/filepath"
	"strconv"
	"strings"
	"sync"

	"setline.example/checks"
	"setline.example/report/fieldsheet"
	"setline.example/report/fieldsheet/collect"
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

// signedOrRecord says of a signed report, and of a job record other than the one
// that is to be written, what it is.
func signedOrRecord(made func(io.Writer) error) func(data []byte) string {
	return func(data []byte) string {
		if bytes.HasPrefix(data, []byte("%PDF-")) && bytes.Contains(data, []byte("/ByteRange")) { // ISO 32000-1, 12.8.1
			return "a signed report"
		}
		var record struct{ Setline, Planned json.RawMessage }
		if json.Unmarshal(data, &record) != nil || record.Setline == nil || record.Planned == nil {
			return ""
		}
		var now bytes.Buffer
		if made(&now) == nil && bytes.Equal(now.Bytes(), data) {
			return ""
		}
		return "a job record"
	}
}

// notCollected says of a sheet that it is filled in with what the record does not
// hold.
func notCollected(path string, rec *schema.Record, src *schema.Source) func(data []byte) string {
	// Once for all sheets of a job.
	asked := sync.OnceValues(func() ([]*checks.Ask, error) { return collect.Asked(rec, src) })
	boxes := sync.OnceValue(func() collect.Boxes { asks, _ := asked(); return collect.NewBoxes(asks) })
	printed := sync.OnceValue(func() map[string]string { asks, _ := asked(); return printedIn(asks, rec.Planned.LengthsIn) })
	return func(data []byte) string {
		asks, err := asked()
		if err != nil {
			return ""
		}
		read := sheetReader(path, boxes())
		if read == nil {
			return ""
		}
		f, err := read(path, data)
		switch {
		case err != nil && !isForm(data), err == nil && !answers(f, printed()):
			return ""
		case err != nil:
			return "a sheet that cannot be read"
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

// filledIn says of a sheet that collecting it makes another record, or cannot be
// done as it is.
func filledIn(now, was []byte, err error) string {
	if err == nil && bytes.Equal(now, was) {
		return ""
	}
	return "a sheet that is filled in with what the record does not hold"
}

// isForm reports whether a file is a sheet, as far as that can be seen from outside.
// A report has places to sign in.
func isForm(data []byte) bool {
	return bytes.Contains(data, []byte("/AcroForm")) && !bytes.Contains(data, []byte("/Sig")) || bytes.Contains(data, []byte(fieldsheet.PlanMark)) || bytes.Contains(data, []byte("setline-plan"))
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
