package collect

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"unicode/utf8"

	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/report/fieldsheet"
	"setline.example/schema"
	"setline.example/schema/plaintext"
)

// Boxes are [fieldsheet.Boxes].
type Boxes = fieldsheet.Boxes

// NewBoxes gives the boxes of asks, by which a sheet is read that does not say
// itself what its lines are.
func NewBoxes(asks []*checks.Ask) Boxes { return fieldsheet.BoxesOf(asks, say.Writer{}) }

// mostStrays is how many lines that are no part of a sheet are named; the rest is
// counted, since a file of another kind can have millions.
const mostStrays = 100

const mdBlanks = " \t\n\f\r"

// mdItem gives what stands on a line of a list behind its mark.
func mdItem(line string) (text string, ok bool) {
	item := strings.TrimLeft(line, mdBlanks)
	if item == "" || !strings.Contains("-*+", item[:1]) {
		return "", false
	}
	text = strings.TrimLeft(item[1:], mdBlanks)
	return text, len(text) < len(item)-1
}

// mdTick gives what stands behind a box to tick, and whether it is.
func mdTick(text string) (words string, on, ok bool) {
	if len(text) < 3 || text[0] != '[' || text[2] != ']' || !strings.Contains(" xX", text[1:2]) {
		return "", false, false
	}
	return strings.TrimLeft(text[3:], mdBlanks), text[1] != ' ', true
}

// markdown reads a sheet line by line.
type markdown struct {
	boxes    Boxes
	again    []string // lines that say what did not hold
	into     *fieldsheet.Filled
	problems schema.Problems
	filling  bool               // the part to fill in has begun
	section  string             // as headed
	words    string             // of the item that is open
	open     string             // the box whose text may go on in the next line
	met      map[[2]string]bool // sections and words of items that are there
	strays   int                // lines that are no part of the sheet
}

// ReadMarkdown reads the boxes of a sheet in Markdown. The error is [schema.Problems].
func ReadMarkdown(name string, data []byte, boxes Boxes) (*fieldsheet.Filled, error) {
	if len(data) > fieldsheet.MaxFilled {
		return nil, schema.Problems{fieldsheet.NotSheet(schema.TooLarge, name, fmt.Sprintf("%d MiB", len(data)>>20), "a field sheet, which is far smaller")}
	}
	if !utf8.Valid(data) {
		p := fieldsheet.NotSheet(schema.Malformed, name, "text that is not UTF-8", "a field sheet in Markdown")
		p.Mend = "save it as UTF-8 in your editor"
		return nil, schema.Problems{p}
	}
	text := strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(strings.TrimPrefix(string(data), "\ufeff"))
	body, plan, after := parts(text, fieldsheet.PlanMark)
	body, lines, between := parts(body, fieldsheet.LineMark)
	m := &markdown{boxes: boxes, into: &fieldsheet.Filled{File: name, Entries: map[string]fieldsheet.Entry{}}, met: map[[2]string]bool{}}
	m.into.Plan = plan
	if lines != "" {
		own, err := fieldsheet.DecodeLines(lines)
		if err != nil {
			p := fieldsheet.NotSheet(schema.Malformed, name, "a comment in which what the lines of the sheet are cannot be read", "the comment as the sheet was made with it")
			p.Mend = "leave the comment at the end of the sheet as it is, or take it out"
			return nil, schema.Problems{p}
		}
		m.boxes, m.again = own.Boxes, own.Again
	}
	for i, line := range strings.Split(body, "\n") {
		m.line(line, i+1)
	}
	for _, rest := range []string{between, after} {
		if found := strings.TrimSpace(rest); found != "" {
			m.stray(strings.Count(text[:strings.LastIndex(text, found)], "\n")+1, found)
		}
	}
	if more := m.strays - mostStrays; more > 0 {
		p := fieldsheet.NotSheet(schema.Unknown, name, plaintext.Count(more, "more line")+" of that kind", "the lines of a field sheet")
		m.problems = append(m.problems, p)
	}
	if len(m.problems) > 0 {
		return nil, m.problems
	}
	if lines != "" {
		m.into.Missing = m.missing()
	}
	return m.into, nil
}

// parts parts a text at a comment into what is before it, what it holds, and
// what is behind it.
func parts(text, mark string) (before, held, after string) {
	before, held, _ = strings.Cut(text, mark)
	held, after, _ = strings.Cut(held, fieldsheet.PlanEnd)
	return before, strings.Join(strings.Fields(held), ""), after
}

// missing says how many lines of the sheet did not come back; "" where all did.
func (m *markdown) missing() string {
	gone := 0
	for section, items := range m.boxes {
		for words := range items {
			if !m.met[[2]string{section, words}] {
				gone++
			}
		}
	}
	if gone == 0 {
		return ""
	}
	return plaintext.Count(gone, "line") + " of the sheet not returned"
}

func (m *markdown) line(line string, n int) {
	trimmed := strings.TrimSpace(line)
	switch {
	case trimmed == "":
		m.open = ""
	case strings.HasPrefix(trimmed, "#"):
		m.heading(trimmed)
	case !m.filling:
		// Nothing is listed there but what is quoted: an answer that was moved up
		// has lost what it is of.
		if item, ok := mdItem(line); ok {
			m.stray(n, item)
		}
	case strings.HasPrefix(trimmed, fieldsheet.Again) || slices.Contains(m.again, trimmed):
		m.open = ""
	default:
		if item, ok := mdItem(line); ok {
			m.item(item, n)
		} else if m.open != "" && line[0] == ' ' {
			e := m.into.Entries[m.open]
			e.Text = strings.TrimSpace(e.Text + "\n" + fieldsheet.Unescape(trimmed))
			m.into.Entries[m.open] = e
		} else {
			m.stray(n, trimmed)
		}
	}
}

func (m *markdown) heading(line string) {
	title := strings.TrimSpace(strings.TrimLeft(line, "#"))
	name, _, _ := strings.Cut(title, ":")
	m.section, m.words, m.open = strings.TrimSpace(fieldsheet.Unescape(name)), "", ""
	m.filling = m.filling || m.boxes[m.section] != nil
}

// item takes a line of a list: words with a value behind them, or a tick.
func (m *markdown) item(text string, n int) {
	if words, on, ok := mdTick(text); ok {
		m.tick(on, strings.TrimSpace(fieldsheet.Unescape(words)), n)
		return
	}
	plain := fieldsheet.Unescape(text)
	words := ""
	for _, w := range slices.Sorted(maps.Keys(m.boxes[m.section])) {
		if strings.HasPrefix(plain, w) && len(w) > len(words) {
			words = w
		}
	}
	label, value, found := strings.Cut(plain[len(words):], ":")
	m.words, m.open = words, ""
	if words != "" { // what the sheet does not have is no end of
		m.met[[2]string{m.section, words}] = true
	}
	if words == "" {
		m.words = strings.TrimSpace(label)
	}
	value = strings.TrimSpace(strings.Trim(strings.TrimSpace(value), "_"))
	if !found || m.runTogether(words, label) {
		m.stray(n, text)
		return
	}
	name := m.boxes[m.section][words][""]
	if name == "" && value == "" {
		return // what follows is ticked, or nothing is said
	}
	if name == "" {
		name = m.section + ", " + m.words
	}
	m.set(name, fieldsheet.Entry{Text: value, Line: n}, n)
	m.open = name
}

// runTogether reports whether behind the words of an item, before its value, stand
// those of another: lines that became one, where nobody can tell whose the value is.
func (m *markdown) runTogether(words, label string) bool {
	const least = 12 // letters; fewer may stand in a limit
	for other := range m.boxes[m.section] {
		if words != "" && len(other) >= least && strings.Contains(label, other) {
			return true
		}
	}
	return false
}

func (m *markdown) tick(on bool, answer string, n int) {
	m.open = ""
	name := m.boxes[m.section][m.words][answer]
	if name == "" {
		name = m.section + ", " + m.words + ", " + answer
	}
	if on {
		m.set(name, fieldsheet.Entry{On: true, Line: n}, n)
	}
}

// set takes an entry. What is filled in twice could not both count.
func (m *markdown) set(name string, e fieldsheet.Entry, n int) {
	if old, twice := m.into.Entries[name]; twice && (old.Text != "" || old.On) {
		m.problems = append(m.problems, schema.Problem{Kind: schema.Twice, File: m.into.File, Line: n, Words: m.section + ", " + m.words, Box: fieldsheet.NameShown(name),
			Found: fmt.Sprintf("the same line a second time, after line %d", old.Line), Expected: "each once", Mend: "leave the one that is right"})
		return
	}
	m.into.Entries[name] = e
}

// stray refuses a line that is no part of the sheet: what somebody wrote there
// would be lost.
func (m *markdown) stray(n int, text string) {
	if m.strays++; m.strays > mostStrays {
		return
	}
	m.problems = append(m.problems, schema.Problem{Kind: schema.Unknown, File: m.into.File, Line: n, Found: shown(text), Expected: "a line of the sheet, with the value behind its colon",
		Mend: "write it behind the colon of a line, such as that of a remark"})
}
