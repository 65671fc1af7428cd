package table_test

import (
	"archive/zip"
	"bytes"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"
	"setline.example/schema/table"
)

var bookColumns = []table.Column{{Name: "name", Needed: true}, {Name: "on"}, {Name: "reading", Length: true}, {Name: "count"}}

// book writes a workbook as a spreadsheet does.
func book(t *testing.T, fill func(f *excelize.File)) []byte {
	t.Helper()
	f := excelize.NewFile()
	fill(f)
	var out bytes.Buffer
	if err := f.Write(&out); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func styled(t *testing.T, f *excelize.File, cell string, value any, s *excelize.Style) {
	t.Helper()
	id, err := f.NewStyle(s)
	if err == nil {
		err = f.SetCellValue("Sheet1", cell, value)
	}
	if err == nil {
		err = f.SetCellStyle("Sheet1", cell, cell, id)
	}
	if err != nil {
		t.Fatal(err)
	}
}

// TestWorkbook: dates are days and numbers are what is stored, whatever format
// shows them; text stays text.
func TestWorkbook(t *testing.T) {
	data := book(t, func(f *excelize.File) {
		for i, head := range []string{"Name", "On", "Reading (in)", "Count"} {
			cell, _ := excelize.CoordinatesToCellName(i+1, 1)
			f.SetCellValue("Sheet1", cell, head)
		}
		day := time.Date(2026, 9, 4, 0, 0, 0, 0, time.UTC)
		us, fraction := "m/d/yy", "# ?/?"
		f.SetCellValue("Sheet1", "A2", "Žofie, \"x\"")
		styled(t, f, "B2", day, &excelize.Style{CustomNumFmt: &us})
		styled(t, f, "C2", 34.5, &excelize.Style{CustomNumFmt: &fraction})
		f.SetCellValue("Sheet1", "D2", 3)
		f.SetCellValue("Sheet1", "A3", "2026")
		styled(t, f, "B3", day, &excelize.Style{NumFmt: 14})
		f.SetCellValue("Sheet1", "C3", "34 1/2")
		f.SetCellValue("Sheet1", "A5", "last")
	})
	got, err := table.Read("b.xlsx", data, bookColumns)
	if err != nil {
		t.Fatal(err)
	}
	want := [][]string{{"Žofie, \"x\"", "2026-09-04", "34.5", "3"}, {"2026", "2026-09-04", "34 1/2", ""}, {"last", "", "", ""}}
	if len(got.Rows) != len(want) {
		t.Fatalf("%d rows, want %d", len(got.Rows), len(want))
	}
	for i, r := range got.Rows {
		for k, name := range []string{"name", "on", "reading", "count"} {
			if c := r.Cell(name); c.Text != want[i][k] {
				t.Errorf("row %d, %s: %q, want %q", i, name, c.Text, want[i][k])
			}
		}
	}
	if c := got.Rows[2].Cell("reading"); c.Line != 5 || c.Unit != "in" {
		t.Errorf("%+v", c)
	}
}

// TestWorkbookSheets: one sheet that holds something is taken; of several, one
// has to be named.
func TestWorkbookSheets(t *testing.T) {
	data := book(t, func(f *excelize.File) {
		f.SetCellValue("Sheet1", "A1", "name")
		f.SetCellValue("Sheet1", "A2", "one")
		f.NewSheet("floor")
		f.NewSheet("empty")
		f.SetCellValue("floor", "A1", "name")
		f.SetCellValue("floor", "A2", "two")
	})
	for file, want := range map[string]string{
		"b.xlsx":       `found a workbook with the sheets Sheet1, floor, expected the name of one of them behind the file`,
		"b.xlsx#floor": "", "b.xlsx#flor": `found no sheet "flor", expected one of its sheets: Sheet1, floor, empty`,
	} {
		got, err := table.Read(file, data, bookColumns)
		switch {
		case want == "" && (err != nil || got.Rows[0].Cell("name").Text != "two"):
			t.Errorf("%s: %v", file, err)
		case want != "" && (err == nil || !strings.Contains(err.Error(), want)):
			t.Errorf("%s: %v, want %s", file, err, want)
		}
	}
}

// TestHostileWorkbooks: what is no workbook, is broken, or unpacks to more than
// a job needs is refused with a message.
func TestHostileWorkbooks(t *testing.T) {
	if testing.Short() {
		t.Skip("it takes long, so this was not checked (-short)")
	}
	good := book(t, func(f *excelize.File) { f.SetCellValue("Sheet1", "A1", "name") })
	var bomb bytes.Buffer
	z := zip.NewWriter(&bomb)
	for _, name := range []string{"xl/worksheets/sheet1.xml"} {
		w, err := z.Create(name)
		if err != nil {
			t.Fatal(err)
		}
		zeros := make([]byte, 1<<20)
		for range 160 {
			w.Write(zeros)
		}
	}
	z.Close()
	for name, data := range map[string][]byte{
		"a bomb": bomb.Bytes(), "cut off": good[:len(good)/2], "a zip alone": []byte("PK\x03\x04"), "an old one": []byte("\xd0\xcf\x11\xe0 and more"),
	} {
		if _, err := table.Read("b.xlsx", data, bookColumns); err == nil {
			t.Errorf("%s was read", name)
		} else {
			t.Logf("%s: %v", name, err)
		}
	}
}

func FuzzWorkbook(f *testing.F) {
	file := excelize.NewFile()
	file.SetCellValue("Sheet1", "A1", "name")
	file.SetCellValue("Sheet1", "A2", time.Date(2026, 9, 4, 0, 0, 0, 0, time.UTC))
	var out bytes.Buffer
	if err := file.Write(&out); err != nil {
		f.Fatal(err)
	}
	f.Add(out.Bytes())
	f.Fuzz(func(t *testing.T, data []byte) {
		table.Read("b.xlsx", append([]byte("PK\x03\x04"), data...), bookColumns)
		table.Read("b.xlsx", data, bookColumns)
	})
}
