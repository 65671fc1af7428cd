package table

import (
	"bytes"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"
	"setline.example/schema"
)

// maxUnpacked is how many bytes a workbook may have when it is unpacked.
const maxUnpacked = 128 << 20

// IsWorkbook reports whether data is a workbook in Office Open XML (ISO/IEC
// 29500), as spreadsheets save it by default (.xlsx).
func IsWorkbook(data []byte) bool { return bytes.HasPrefix(data, []byte("PK\x03\x04")) }

// workbook gives the rows of a sheet of a workbook: numbers as they are stored,
// whatever format shows them, and dates as 2026-09-14. Without the name of a
// sheet, the workbook must have one sheet alone that holds anything.
func workbook(file, sheet string, data []byte) (rows []row, problem *schema.Problem) {
	wrong := func(kind schema.ProblemKind, found, expected, mend string) *schema.Problem {
		return &schema.Problem{Kind: kind, File: file, Found: found, Expected: expected, Mend: mend}
	}
	// The library is for files that spreadsheets write; what is broken on purpose
	// is no reason to end without a message.
	defer func() {
		if p := recover(); p != nil {
			rows, problem = nil, wrong(schema.Malformed, "a broken workbook", "one that a spreadsheet wrote", "open it in the spreadsheet and save it again")
		}
	}()
	f, err := excelize.OpenReader(bytes.NewReader(data), excelize.Options{UnzipSizeLimit: maxUnpacked, UnzipXMLSizeLimit: maxUnpacked, RawCellValue: true})
	if err != nil {
		return nil, wrong(schema.Malformed, fmt.Sprintf("a workbook that cannot be read (%v)", err), fmt.Sprintf("one that a spreadsheet wrote, of at most %d MiB when unpacked", maxUnpacked>>20), "open it in the spreadsheet and save it again")
	}
	defer f.Close()
	sheets := f.GetSheetList()
	if sheet != "" {
		if !slices.Contains(sheets, sheet) {
			return nil, wrong(schema.Unknown, fmt.Sprintf("no sheet %q", sheet), "one of its sheets: "+strings.Join(sheets, ", "), "name one of them behind #, or correct it")
		}
		return sheetRows(f, file, sheet)
	}
	var filled []string
	for _, name := range sheets {
		got, p := sheetRows(f, file, name)
		if p != nil {
			return nil, p
		}
		if slices.ContainsFunc(got, func(r row) bool { return !isEmpty(r.cells) }) {
			filled, rows = append(filled, name), got
		}
	}
	if len(filled) > 1 {
		return nil, wrong(schema.Missing, "a workbook with the sheets "+strings.Join(filled, ", "), "the name of one of them behind the file", fmt.Sprintf("write %q if that is meant", file+"#"+filled[0]))
	}
	return rows, nil
}

// sheetRows gives the rows of one sheet.
func sheetRows(f *excelize.File, file, sheet string) (rows []row, problem *schema.Problem) {
	all, err := f.Rows(sheet)
	if err != nil {
		return nil, &schema.Problem{Kind: schema.Malformed, File: file, Found: fmt.Sprintf("a sheet %q that cannot be read (%v)", sheet, err), Expected: "a table", Mend: "save it anew from the spreadsheet"}
	}
	defer all.Close()
	widest := 0
	dates := map[int]bool{} // whether a style shows dates
	for line := 1; all.Next(); line++ {
		cells, err := all.Columns()
		if err != nil || line > MaxRows+1 || len(cells) > MaxColumns {
			return nil, &schema.Problem{Kind: schema.TooLarge, File: file, Line: line, Found: fmt.Sprintf("more than %d rows or %d columns, or a row that cannot be read", MaxRows, MaxColumns),
				Expected: "a table of one job, which has far fewer", Mend: "check that this is the file you meant"}
		}
		r := row{line: line, delimiter: "\t"}
		for i, text := range cells {
			text, p := cellText(f, sheet, i+1, line, text, dates)
			if p != nil {
				p.File = file
				return nil, p
			}
			r.cells = append(r.cells, place{text, line})
		}
		rows = append(rows, r)
		widest = max(widest, len(cells))
	}
	for i := range rows { // empty cells at the end of a row are not stored
		for len(rows[i].cells) < widest {
			rows[i].cells = append(rows[i].cells, place{"", rows[i].line})
		}
	}
	return rows, nil
}

// cellText is the text of a cell: that of a date is its day.
func cellText(f *excelize.File, sheet string, column, line int, raw string, dates map[int]bool) (string, *schema.Problem) {
	text := strings.TrimSpace(raw)
	if len([]rune(text)) > MaxCell {
		return "", &schema.Problem{Kind: schema.TooLarge, Line: line, Column: column, Found: fmt.Sprintf("a cell of more than %d characters", MaxCell), Expected: "a cell of a table", Mend: "shorten it"}
	}
	n, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return text, nil
	}
	name, err := excelize.CoordinatesToCellName(column, line)
	if err != nil {
		return text, nil
	}
	if kind, err := f.GetCellType(sheet, name); err == nil && (kind == excelize.CellTypeSharedString || kind == excelize.CellTypeInlineString) {
		return text, nil
	}
	style, err := f.GetCellStyle(sheet, name)
	if err != nil || style == 0 {
		return text, nil
	}
	if _, known := dates[style]; !known {
		dates[style] = showsDates(f, style)
	}
	if !dates[style] {
		return text, nil
	}
	props, err := f.GetWorkbookProps()
	day, wrong := excelize.ExcelDateToTime(n, err == nil && props.Date1904 != nil && *props.Date1904)
	if wrong != nil {
		return text, nil
	}
	return day.Format("2006-01-02"), nil
}

// literal is what of a number format stands for itself.
var literal = regexp.MustCompile(`"[^"]*"|\\.|\[[^\]]*\]`)

// showsDates reports whether a style shows numbers as dates (ISO/IEC 29500-1,
// 18.8.30: built-in formats, and letters of the year, the month or the day).
func showsDates(f *excelize.File, style int) bool {
	s, err := f.GetStyle(style)
	if err != nil {
		return false
	}
	if s.CustomNumFmt != nil {
		return strings.ContainsAny(strings.ToLower(literal.ReplaceAllString(*s.CustomNumFmt, "")), "ymd")
	}
	n := s.NumFmt
	return n >= 14 && n <= 17 || n == 22 || n >= 27 && n <= 31 || n == 36 || n >= 50 && n <= 58
}
