package table

import (
	"bytes"
	"fmt"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
	"setline.example/schema"
)

// decode turns the bytes of a file into text. Bytes that are no UTF-8 and bear
// no mark are Windows-1252, which older spreadsheets write.
func decode(data []byte) (string, *schema.Problem) {
	const save = `save it from the spreadsheet as "CSV UTF-8"`
	switch {
	case len(data) > MaxBytes:
		return "", &schema.Problem{Kind: schema.TooLarge, Found: fmt.Sprintf("more than %d MiB", MaxBytes>>20), Expected: "a table of one job, which is far smaller", Mend: "check that this is the file you meant"}
	case bytes.HasPrefix(data, []byte("\xd0\xcf\x11\xe0")):
		return "", &schema.Problem{Kind: schema.OtherFile, Found: "a workbook of an old kind", Expected: "a workbook (.xlsx), or delimited text", Mend: "save it from the spreadsheet as .xlsx"}
	case bytes.HasPrefix(data, []byte("\xff\xfe")), bytes.HasPrefix(data, []byte("\xfe\xff")):
		text, err := unicode.UTF16(unicode.LittleEndian, unicode.ExpectBOM).NewDecoder().Bytes(data)
		if err != nil || bytes.ContainsRune(text, utf8.RuneError) {
			return "", &schema.Problem{Kind: schema.Malformed, Found: "broken UTF-16", Expected: "text that can be read", Mend: save}
		}
		return string(text), nil
	case bytes.IndexByte(data, 0) >= 0:
		return "", &schema.Problem{Kind: schema.Malformed, Found: "bytes of zero, which no text has", Expected: "delimited text in UTF-8, in UTF-16 with a byte-order mark, or in Windows-1252", Mend: save}
	}
	text, marked := bytes.CutPrefix(data, []byte("\xef\xbb\xbf"))
	switch {
	case utf8.Valid(text):
		return string(text), nil
	case marked:
		return "", &schema.Problem{Kind: schema.Malformed, Found: "broken UTF-8", Expected: "text in UTF-8, as the byte-order mark says", Mend: save}
	}
	latin, err := charmap.Windows1252.NewDecoder().String(string(text))
	if err != nil {
		return "", &schema.Problem{Kind: schema.Malformed, Found: "bytes that are no text", Expected: "delimited text", Mend: save}
	}
	return latin, nil
}

// delimiterOf tells what separates the cells: what the line has most of outside
// quotation marks, a comma where it has none.
func delimiterOf(line string) rune {
	counts := map[rune]int{}
	quoted := false
	for _, r := range line {
		if r == '"' {
			quoted = !quoted
		}
		if quoted {
			continue
		}
		if r == '\r' || r == '\n' {
			break
		}
		counts[r]++
	}
	delimiter := ','
	for _, r := range ";\t" {
		if counts[r] > counts[delimiter] {
			delimiter = r
		}
	}
	return delimiter
}
