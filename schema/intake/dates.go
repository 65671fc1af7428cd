package intake

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"setline.example/schema"
)

// What spreadsheets make of dates, and of fractions that look like dates.

var (
	slashDate = regexp.MustCompile(`^(\d{1,2})[/.](\d{1,2})[/.](\d{4})$`)
	dayMonth  = regexp.MustCompile(`(?i)^(\d{1,2})[- ](jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*([- ]\d{2,4})?$`)
	monthDay  = regexp.MustCompile(`(?i)^(jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*[- ](\d{1,2})$`)
	isoDate   = regexp.MustCompile(`^\d{4}-(\d{2})-(\d{2})( \d{2}:\d{2}:\d{2})?$`)
)

// madeDate refuses a cell for a length in which a spreadsheet made a date of a
// fraction, and says which it likely was.
func (r *reader) madeDate(name, text string) bool {
	month := func(word string) int {
		return strings.Index("janfebmaraprmayjunjulaugsepoctnovdec", strings.ToLower(word[:3]))/3 + 1
	}
	var over, under string
	if m := dayMonth.FindStringSubmatch(text); m != nil {
		over, under = strconv.Itoa(month(m[2])), m[1]
	} else if m := monthDay.FindStringSubmatch(text); m != nil {
		over, under = strconv.Itoa(month(m[1])), m[2]
	} else if m := slashDate.FindStringSubmatch(text); m != nil {
		over, under = m[1], m[2]
	} else if m := isoDate.FindStringSubmatch(text); m != nil {
		over, under = m[1], m[2]
	} else {
		return false
	}
	likely := strings.TrimLeft(over, "0") + "/" + strings.TrimLeft(under, "0")
	r.wrong(schema.WrongForm, r.Cell(name), fmt.Sprintf("%q, a date that a spreadsheet made, likely of the fraction %s", text, likely), "a length with its unit",
		fmt.Sprintf("give the column the format text before typing, and write %s in, if that is meant", likely))
	return true
}

// slashed reads a date of three numbers where another date of its column has a
// number above 12, which proves whether the month or the day comes first.
func (r *reader) slashed(name, text string) (string, bool) {
	m := slashDate.FindStringSubmatch(text)
	if m == nil {
		return "", false
	}
	first, second := false, false // a number above 12 there
	for _, row := range r.Table().Rows {
		if o := slashDate.FindStringSubmatch(strings.TrimSpace(row.Cell(name).Text)); o != nil {
			first = first || len(o[1]) == 2 && o[1] > "12"
			second = second || len(o[2]) == 2 && o[2] > "12"
		}
	}
	if first == second {
		return "", false
	}
	month, day := m[1], m[2]
	if first {
		month, day = day, month
	}
	date := fmt.Sprintf("%s-%02s-%02s", m[3], month, day)
	return date, IsDate(date)
}
