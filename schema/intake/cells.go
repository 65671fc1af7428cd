package intake

import (
	"errors"
	"fmt"
	"iter"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"setline.example/schema"
	"setline.example/schema/length"
	"setline.example/schema/table"
)

// reader reads the cells of one row and notes what is wrong with them.
type reader struct {
	table.Row
	b   *build
	bad bool
}

// rows gives a reader for each row of t that is not to be skipped.
func (b *build) rows(t *table.Table) iter.Seq[*reader] {
	return func(yield func(*reader) bool) {
		for _, r := range t.Rows {
			if !b.skip[rowID{t.File, r.Line}] && !yield(&reader{Row: r, b: b}) {
				return
			}
		}
	}
}

func (r *reader) wrong(kind schema.ProblemKind, c table.Cell, found, expected, mend string) {
	r.bad = true
	r.b.wrong(kind, c, found, expected, mend)
}

// text reads words on one line; "" is an empty cell.
func (r *reader) text(name string) string {
	return strings.Join(strings.Fields(r.Cell(name).Text), " ")
}

// needed is text that must be there.
func (r *reader) needed(name string) string {
	s := r.text(name)
	if s == "" {
		r.wrong(schema.Missing, r.Cell(name), "an empty cell", "a "+name, "write it; no row takes it from the row above")
	}
	return s
}

// putLength puts the length of the cell called name into o, as it was typed.
func (r *reader) putLength(o *object, member, name string) {
	if text, _, ok := r.length(name); ok {
		o.put(member, quote(text))
	}
}

// putCount puts the whole number of the cell called name into o.
func (r *reader) putCount(o *object, member, name string) {
	if n, ok := r.count(name); ok {
		o.put(member, strconv.AppendInt(nil, int64(n), 10))
	}
}

// decimalComma fits a number with a decimal comma, with what follows it.
var decimalComma = regexp.MustCompile(`^([-+−]?\d+),(\d+)(\D.*)?$`)

// length reads a length, which it gives as the cell has it. ok is false for
// an empty cell and for what is no length.
func (r *reader) length(name string) (text string, l length.Length, ok bool) {
	text = r.text(name)
	if text == "" {
		return "", 0, false
	}
	l, err := length.Parse(text)
	if unit := r.Cell(name).Unit; err != nil && unit != "" {
		if in, wrong := length.Parse(text + " " + unit); wrong == nil {
			return text + " " + unit, in, true
		}
	}
	if err == nil {
		return text, l, true
	}
	if r.madeDate(name, text) {
		return "", 0, false
	}
	c, found, mend := r.Cell(name), strconv.Quote(text), ""
	var pe *length.ParseError
	if errors.As(err, &pe) {
		found, mend = fmt.Sprintf("%s (%s)", pe.Text, pe.Problem), pe.Mend
	}
	if m := decimalComma.FindStringSubmatch(text); m != nil {
		mend = fmt.Sprintf("write %s.%s%s, if that is meant", m[1], m[2], m[3])
	}
	r.wrong(schema.WrongForm, c, found, "a length with its unit", mend)
	return "", 0, false
}

// count reads a whole number, zero or more.
func (r *reader) count(name string) (n int, ok bool) {
	text := r.text(name)
	if text == "" {
		return 0, false
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 0 {
		r.wrong(schema.WrongForm, r.Cell(name), strconv.Quote(text), "a whole number", "write digits alone")
		return 0, false
	}
	return n, true
}

// choice reads one of options, in any case.
func (r *reader) choice(name string, options ...string) string {
	text := r.text(name)
	if text == "" {
		return ""
	}
	if s, ok := choose(text, options); ok {
		return s
	}
	r.noChoice(name, text, options)
	return ""
}

func (r *reader) noChoice(name, text string, options []string) {
	mend := ""
	if near := schema.Nearest(text, options); near != "" {
		mend = fmt.Sprintf("write %q if that is meant", near)
	}
	r.wrong(schema.WrongForm, r.Cell(name), strconv.Quote(text), "one of "+strings.Join(options, ", "), mend)
}

func choose(text string, options []string) (string, bool) {
	i := slices.IndexFunc(options, func(o string) bool { return strings.EqualFold(o, text) })
	if i < 0 {
		return "", false
	}
	return options[i], true
}

// choices reads several of options, with "/", ";" or a comma between.
func (r *reader) choices(name string, options ...string) (chosen []string) {
	for part := range strings.FieldsFuncSeq(r.text(name), func(c rune) bool { return c == '/' || c == ';' || c == ',' }) {
		part = strings.TrimSpace(part)
		s, ok := choose(part, options)
		switch {
		case part == "":
		case !ok:
			r.noChoice(name, part, options)
		default:
			chosen = append(chosen, s)
		}
	}
	return chosen
}

// yes reads yes or no. An empty cell is no.
func (r *reader) yes(name string) bool {
	switch strings.ToLower(r.text(name)) {
	case "", "no", "n", "false", "0":
		return false
	case "yes", "y", "true", "1", "x":
		return true
	}
	r.wrong(schema.WrongForm, r.Cell(name), strconv.Quote(r.text(name)), "yes or no", "")
	return false
}

// IsDate reports whether s is a calendar date as a record writes it.
func IsDate(s string) bool {
	_, ok := schema.Date(s).Day()
	return ok
}

// date reads a calendar date.
func (r *reader) date(name string) string {
	text := r.text(name)
	if text == "" || IsDate(text) {
		return text
	}
	if day, ok := r.slashed(name, text); ok {
		return day
	}
	mend := "write it like 2026-09-14; give the column the format yyyy-mm-dd, or text, in the spreadsheet"
	if m := slashDate.FindStringSubmatch(text); m != nil {
		mend = "no date of this column has a day above 12, which would tell whether the day or the month comes first; " + mend
	}
	r.wrong(schema.WrongForm, r.Cell(name), strconv.Quote(text), "a calendar date written YYYY-MM-DD", mend)
	return ""
}
