package table_test

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"unicode/utf16"

	"golang.org/x/text/encoding/charmap"
	"setline.example/schema"
	"setline.example/schema/table"
)

var columns = []table.Column{
	{Name: "room", Needed: true}, {Name: "tag", Also: []string{"mark"}, Needed: true},
	{Name: "work height"}, {Name: "width"},
}

// shape writes a table so that tests can compare it: a row a line.
func shape(t *table.Table) string {
	var b strings.Builder
	for _, r := range t.Rows {
		fmt.Fprintf(&b, "%d", r.Line)
		for _, c := range columns {
			if cell := r.Cell(c.Name); cell.Column > 0 {
				fmt.Fprintf(&b, "|%s", cell.Text)
			}
		}
		b.WriteString("\n")
	}
	return b.String()
}

func utf16Bytes(s string, big bool) string {
	var b strings.Builder
	for _, u := range utf16.Encode([]rune("\ufeff" + s)) {
		if big {
			b.WriteString(string([]byte{byte(u >> 8), byte(u)}))
		} else {
			b.WriteString(string([]byte{byte(u), byte(u >> 8)}))
		}
	}
	return b.String()
}

func windows1252(t *testing.T, s string) string {
	t.Helper()
	out, err := charmap.Windows1252.NewEncoder().String(s)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

const plain = "room,tag,width\nÅ-1,A1,24 in\nÅ-1,A2,\"34 1/2\"\"\"\n"

func TestReads(t *testing.T) {
	const want = "2|Å-1|A1|24 in\n3|Å-1|A2|34 1/2\"\n"
	for _, tc := range []struct{ name, text, want string }{
		{"commas", plain, want},
		{"no line end at the end", strings.TrimSuffix(plain, "\n"), want},
		{"UTF-8 with a mark", "\ufeff" + plain, want},
		{"UTF-16, little end first", utf16Bytes(plain, false), want},
		{"UTF-16, big end first", utf16Bytes(plain, true), want},
		{"Windows-1252", windows1252(t, plain), want},
		{"carriage returns and line feeds", strings.ReplaceAll(plain, "\n", "\r\n"), want},
		{"carriage returns", strings.ReplaceAll(plain, "\n", "\r"), want},
		{"semicolons", strings.ReplaceAll(plain, ",", ";"), want},
		{"tabs", strings.ReplaceAll(plain, ",", "\t"), want},
		{"a comma inside quotation marks of the headings", "\"tag\";\"room\"\nA1;\"R, 1\"\n", "2|R, 1|A1\n"},
		{"delimiter said", "sep=;\r\nroom;tag\r\nR;T\r\n", "3|R|T\n"},
		{"empty lines", "\n\nroom,tag\n\n,\nR,T\n   \n\n", "6|R|T\n"},
		{"empty columns at the end", "room,tag,,,\nR,T,,,\nR,U,\n", "2|R|T\n3|R|U\n"},
		{"headings in other writing", "\"Work\nHeight\",ROOM, Mark ,Width\n36 in,R,T,1 in\n", "3|R|T|36 in|1 in\n"},
		{"headings with underscores and hyphens", "room,tag,work_height\nR,T,36 in", "2|R|T|36 in\n"},
		{"quoted line end", "room,tag\n\"R\r\n1\",T\nS,U\n", "2|R\n1|T\n4|S|U\n"},
		{"doubled quotation marks", "room,tag\n\"R \"\"1\"\"\",T\n", "2|R \"1\"|T\n"},
		{"a mark inside a cell is itself", "room,tag,width\nR,T,34 1/2\"\n", "2|R|T|34 1/2\"\n"},
		{"spaces around cells", "room , tag\n R ,\u00a0T \n", "2|R|T\n"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			got, err := table.Read("t.csv", []byte(tc.text), columns)
			if err != nil {
				t.Fatal(err)
			}
			if len(got.Bad) > 0 {
				t.Errorf("bad rows: %v", got.Bad)
			}
			if s := shape(got); s != tc.want {
				t.Errorf("got\n%s\nwant\n%s", s, tc.want)
			}
		})
	}
}

// TestPlaces: a cell knows where it begins, a row with line ends in it too.
func TestPlaces(t *testing.T) {
	got, err := table.Read("t.csv", []byte("\r\nRoom,Mark,Width\r\n\"R\r\n1\",\"T\",\"24\nin\"\r\nS,U,3 in\r\n"), columns)
	if err != nil {
		t.Fatal(err)
	}
	for _, tc := range []struct {
		row  int
		name string
		want table.Cell
	}{
		{0, "room", table.Cell{Text: "R\n1", File: "t.csv", Row: 3, Line: 3, Column: 1, Heading: "Room"}},
		{0, "width", table.Cell{Text: "24\nin", File: "t.csv", Row: 3, Line: 4, Column: 3, Heading: "Width"}},
		{0, "work height", table.Cell{File: "t.csv", Row: 3, Line: 3, Heading: "work height"}},
		{1, "tag", table.Cell{Text: "U", File: "t.csv", Row: 6, Line: 6, Column: 2, Heading: "Mark"}},
	} {
		if c := got.Rows[tc.row].Cell(tc.name); c != tc.want {
			t.Errorf("%+v, want %+v", c, tc.want)
		}
	}
	p := got.Rows[1].Cell("tag").Problem(schema.Impossible, "x", "y", "z")
	if want := "t.csv:6:2: Mark: found x, expected y"; p.Error() != want {
		t.Errorf("%q, want %q", p.Error(), want)
	}
}

func TestRefuses(t *testing.T) {
	for _, tc := range []struct {
		name, text string
		want       []string // each problem, in order
		mend       string   // of the first
	}{
		{"nothing", " \n", []string{"t.csv: found nothing, expected a table with a row of headings: room, tag, work height, width"}, "the file you meant"},
		{"delimiters alone", ",,\n,,\n", []string{"t.csv:2: found a first row without headings"}, "put the headings first"},
		{"an unknown heading", "room,tag,widh\n", []string{`t.csv:1:3: found the unknown heading "widh", expected one of room, tag, work height, width`}, `write "width"`},
		{"headings doubled, missing and unnamed", "room,Room,,width\n", []string{
			`t.csv:1: found no column "tag"`,
			`t.csv:1:2: found the heading "Room" a second time, after "room" in column 1`,
			"t.csv:1:3: found a column without a heading",
		}, `add a column "tag"`},
		{"a short row", "room,tag,width\nR,T\nR,U,1 in\n", []string{"t.csv:2: found a row of 2 cells, nothing for width, expected 3, one for each heading"}, "delimiter for an empty cell"},
		{"a decimal comma between commas", "room,tag,width\nR,T,12,5 mm\n", []string{`t.csv:2: found a row of 4 cells, "5 mm" beyond the last heading`}, `the delimiter "," in quotation marks`},
		{"a mark never closed", "room,tag\nR,\"T\nS,U\n", []string{"t.csv:2:2: found a quotation mark that is never closed"}, "close it"},
		{"text behind a closing mark", "room,tag\n\"R\"1,T\nS,U\n", []string{`t.csv:2:1: found text behind the closing quotation mark of "R"`}, "double a quotation mark"},
		{"a control", "room,tag\nR\x1b[2J,T\n", []string{"t.csv:2:1: found the character U+001B"}, "write the cell anew"},
		{"a lost character", "room,tag\nR\ufffd,T\n", []string{"t.csv:2:1: found the character U+FFFD"}, ""},
		{"a byte that Windows-1252 has not", "room,tag\nR\x81,T\n", []string{"t.csv:2:1: found the character U+FFFD"}, ""},
		{"a workbook", "PK\x03\x04rest", []string{"t.csv: found a workbook that cannot be read"}, `save it again`},
		{"UTF-16 without a mark", "r\x00o\x00", []string{"t.csv: found bytes of zero"}, ""},
		{"half of a UTF-16 unit", "\xff\xfer", []string{"t.csv: found broken UTF-16"}, ""},
		{"half of a surrogate pair", "\xff\xfe\x00\xd8r\x00", []string{"t.csv: found broken UTF-16"}, ""},
		{"broken UTF-8", "\xef\xbb\xbfr\xff", []string{"t.csv: found broken UTF-8"}, ""},
		{"a cell too long", "room,tag\n" + strings.Repeat("x", table.MaxCell+1) + ",T\n", []string{"t.csv:2:1: found a cell of more than 4000 characters"}, "shorten"},
		{"too many cells", strings.Repeat("room,", table.MaxColumns+1) + "\n", []string{"t.csv:1:201: found more than 200 cells in a row"}, ""},
		{"too many rows", "room,tag\n" + strings.Repeat("R,T\n", table.MaxRows+1), []string{"t.csv:100002: found more than 100000 rows"}, ""},
		{"too large", strings.Repeat("x", table.MaxBytes+1), []string{"t.csv: found more than 16 MiB"}, ""},
	} {
		t.Run(tc.name, func(t *testing.T) {
			got, err := table.Read("t.csv", []byte(tc.text), columns)
			var problems schema.Problems
			if err == nil {
				problems = got.Bad
			} else if !errors.As(err, &problems) {
				t.Fatal(err)
			}
			if len(problems) != len(tc.want) {
				t.Fatalf("%d problems, want %d:\n%v", len(problems), len(tc.want), problems)
			}
			for i, p := range problems {
				if !strings.Contains(p.Error(), tc.want[i]) {
					t.Errorf("%q, want %q in it", p.Error(), tc.want[i])
				}
			}
			if !strings.Contains(problems[0].Mend, tc.mend) {
				t.Errorf("mend %q, want %q in it", problems[0].Mend, tc.mend)
			}
		})
	}
}

// TestBadRowsLeaveTheOthers: a row that is broken for itself takes no other with it.
func TestBadRowsLeaveTheOthers(t *testing.T) {
	got, err := table.Read("t.csv", []byte("room,tag\nR\nS,T\n\"U\"x,V\nW,X,Y\nZ,Z\n"), columns)
	if err != nil {
		t.Fatal(err)
	}
	if s, want := shape(got), "3|S|T\n6|Z|Z\n"; s != want || len(got.Bad) != 3 {
		t.Errorf("%q with %v, want %q", s, got.Bad, want)
	}
}

// TestMaxRowsIsAllowed: a limit itself passes.
func TestMaxRowsIsAllowed(t *testing.T) {
	got, err := table.Read("t.csv", []byte("room,tag\n"+strings.Repeat("R,T\n", table.MaxRows)), columns)
	if err != nil || len(got.Rows) != table.MaxRows {
		t.Errorf("%v", err)
	}
}

// second reads text with encoding/csv, the standard library's reader of RFC
// 4180, and gives the rows under the headings as [shape] does.
func second(text string, delimiter rune) (string, error) {
	r := csv.NewReader(strings.NewReader(text))
	r.Comma = delimiter
	head, err := r.Read()
	if err != nil {
		return "", err
	}
	var b strings.Builder
	for {
		cells, err := r.Read()
		if err == io.EOF {
			return b.String(), nil
		}
		if err != nil {
			return "", err
		}
		if strings.TrimSpace(strings.Join(cells, "")) == "" {
			continue
		}
		line, _ := r.FieldPos(0)
		fmt.Fprintf(&b, "%d", line)
		for _, c := range columns {
			if i := slices.Index(head, c.Name); i >= 0 {
				fmt.Fprintf(&b, "|%s", strings.TrimSpace(cells[i]))
			}
		}
		b.WriteString("\n")
	}
}

// TestSecondReader writes random tables with encoding/csv and reads them with
// both.
func TestSecondReader(t *testing.T) {
	m := rand.New(rand.NewPCG(1, 2))
	words := []string{"", "R1", "24 in", "34 1/2\"", "a, b; c\td", "two\nlines", "\"quoted\"", "Ødegård & Quill", " spaces ", "1/2"}
	for n := range 2000 {
		delimiter := []rune{',', ';', '\t'}[m.IntN(3)]
		var text strings.Builder
		w := csv.NewWriter(&text)
		w.Comma, w.UseCRLF = delimiter, m.IntN(2) == 0
		head := []string{"room", "tag", "work height", "width"}
		m.Shuffle(len(head), func(i, j int) { head[i], head[j] = head[j], head[i] })
		rows := [][]string{head}
		for range m.IntN(8) {
			rows = append(rows, []string{words[m.IntN(len(words))], words[m.IntN(len(words))], words[m.IntN(len(words))], words[m.IntN(len(words))]})
		}
		if err := w.WriteAll(rows); err != nil {
			t.Fatal(err)
		}
		want, err := second(text.String(), delimiter)
		if err != nil {
			t.Fatal(err)
		}
		got, err := table.Read("t.csv", []byte(text.String()), columns)
		if err != nil || len(got.Bad) > 0 {
			t.Fatalf("%d: %v %v\n%s", n, err, got.Bad, text.String())
		}
		if s := shape(got); s != want {
			t.Fatalf("%d: got\n%s\nwant\n%s\nof\n%s", n, s, want, text.String())
		}
	}
}

func FuzzTable(f *testing.F) {
	f.Add([]byte(plain))
	f.Add([]byte("\ufeff" + plain))
	f.Add([]byte(utf16Bytes(plain, true)))
	f.Add([]byte("sep=;\r\nroom;tag\r\nR;\"T\r\n2\"\r\n"))
	f.Add([]byte("room,tag,width\nR,T,34 1/2\"\nR\n\"R\"x,\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		got, err := table.Read("t.csv", data, columns)
		var problems schema.Problems
		if err != nil && (got != nil || !errors.As(err, &problems) || len(problems) == 0) {
			t.Fatalf("table %v with error %v", got, err)
		}
		if err == nil {
			problems = got.Bad
			last := 0
			for _, r := range got.Rows {
				if r.Line <= last || r.Cell("room").Line < r.Line || strings.TrimSpace(r.Cell("tag").Text) != r.Cell("tag").Text {
					t.Errorf("row on line %d after %d: %+v", r.Line, last, r.Cell("room"))
				}
				last = r.Line
			}
		}
		for _, p := range problems {
			if p.File != "t.csv" || p.Found == "" || p.Expected == "" {
				t.Errorf("a problem that does not say enough: %+v", p)
			}
		}
		// What the standard library reads as a plain table reads the same here.
		if err != nil || len(got.Bad) > 0 || strings.Contains(strings.ReplaceAll(string(data), "\r\n", ""), "\r") || !strings.HasPrefix(string(data), "room,tag\n") {
			return
		}
		if want, err := second(string(data), ','); err == nil && shape(got) != want {
			t.Errorf("got\n%s\nwant\n%s", shape(got), want)
		}
	})
}
