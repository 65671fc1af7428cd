package collect

import (
	"cmp"
	"maps"
	"slices"
	"strconv"
	"strings"

	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/report/fieldsheet"
	"setline.example/schema"
	"setline.example/schema/length"
	"setline.example/schema/plaintext"
)

// Answer is what a sheet says in answer to one ask.
type Answer struct {
	Ask   *checks.Ask
	Value any              // plain JSON values, objects in order
	From  fieldsheet.Entry // the first of its boxes that is filled
	File  string
	boxes map[string]box // by the way on from the ask's place in the visit, where it is of several
}

// box is a box that was filled in, and its name.
type box struct {
	entry fieldsheet.Entry
	name  string
}

// reader turns the boxes of one sheet into answers.
type reader struct {
	filled   *fieldsheet.Filled
	unit     length.System
	known    map[string]bool // boxes that the record asks for
	problems schema.Problems
	beside   map[string]string           // what stands printed beside boxes, by the names of boxes for it
	instead  map[string]fieldsheet.Entry // what was written instead of that
	pairs    map[string]int              // of lines, by their names: how many readings they may have; made when it is asked for
}

// filledBlank is what was filled in for one blank.
type filledBlank struct {
	blank *checks.Blank
	value any
	entry fieldsheet.Entry
	name  string
}

// answers reads every ask that the sheet answers.
func (r *reader) answers(asks []*checks.Ask) []Answer {
	var all []Answer
	for _, a := range asks {
		if answer, ok := r.answer(a, nil); ok {
			all = append(all, answer)
		}
	}
	r.unknown()
	return all
}

// answer reads one ask; ok is false where the sheet does not answer it. fields are
// its boxes, nil where nobody keeps them.
func (r *reader) answer(a *checks.Ask, fields []fieldsheet.Field) (Answer, bool) {
	if isLine(a) {
		value, entry, boxes := r.readings(a)
		return Answer{a, value, entry, r.filled.File, boxes}, value != nil
	}
	r.writtenOver(a)
	if fields == nil {
		fields = fieldsheet.FieldsOf(a)
	}
	var blanks []filledBlank
	broken := false
	for i := range a.Blanks {
		b, ok := r.blank(a, &a.Blanks[i], fields)
		broken = broken || !ok
		if b.blank != nil {
			blanks = append(blanks, b)
		}
	}
	if broken || !slices.ContainsFunc(blanks, r.says) {
		return Answer{}, false
	}
	value, ok := r.whole(a, blanks)
	if !ok || value == nil {
		return Answer{}, false
	}
	boxes := map[string]box{}
	for _, b := range blanks {
		boxes[schema.Pointer("", steps(b.blank)...)] = box{b.entry, b.name}
	}
	return Answer{a, value, blanks[0].entry, r.filled.File, boxes}, true
}

func steps(b *checks.Blank) []any {
	all := make([]any, len(b.Steps))
	for i, s := range b.Steps {
		all[i] = s
	}
	return all
}

// blank reads the boxes of one blank; ok is false where what stands there is no
// value, and the result is empty where nothing does.
func (r *reader) blank(a *checks.Ask, b *checks.Blank, fields []fieldsheet.Field) (got filledBlank, ok bool) {
	var ticked []string
	for _, f := range fields {
		if f.Blank != b {
			continue
		}
		r.known[f.Name] = true
		e, there := r.entry(f.Name)
		switch {
		case !there:
		case f.Tick && e.On:
			ticked = append(ticked, f.Answer)
			got.entry, got.name = e, f.Name
		case !f.Tick:
			text := trimmed(e.Text)
			if text == "" {
				continue
			}
			value, no := textValue(b, text, r.unit)
			if no != nil {
				r.refuse(a, b, f.Name, e, no)
				return filledBlank{}, false
			}
			return filledBlank{b, value, e, f.Name}, true
		}
	}
	if len(ticked) == 0 {
		return filledBlank{}, true
	}
	value, no := tickValue(b, ticked, fieldsheet.Nothing)
	if no != nil {
		r.refuse(a, b, a.Name(b), got.entry, no)
		return filledBlank{}, false
	}
	got.blank, got.value = b, value
	return got, true
}

// trimmed is typed text without the blanks around it, lines ended one way.
func trimmed(text string) string {
	if strings.IndexByte(text, '\r') >= 0 {
		text = lineEnds.Replace(text)
	}
	return strings.TrimSpace(text)
}

var lineEnds = strings.NewReplacer("\r\n", "\n", "\r", "\n")

func (r *reader) refuse(a *checks.Ask, b *checks.Blank, name string, e fieldsheet.Entry, p *schema.Problem) {
	words := fieldsheet.InFull(a, b)
	p.File, p.Page, p.Line, p.Words, p.Box = r.filled.File, e.Page, e.Line, say.Writer{Lengths: r.unit}.Text(words), name
	r.problems = append(r.problems, *p)
}

// whole puts the blanks of an ask together. What is required has to be there.
func (r *reader) whole(a *checks.Ask, blanks []filledBlank) (any, bool) {
	if len(a.Blanks) == 1 {
		return blanks[0].value, true
	}
	value := object{}
	for i := range a.Blanks {
		b := &a.Blanks[i]
		n := slices.IndexFunc(blanks, func(f filledBlank) bool { return f.blank == b })
		if n < 0 {
			if b.Required {
				r.refuse(a, b, a.Name(b), blanks[0].entry, &schema.Problem{Kind: schema.Missing,
					Found: "nothing there, though " + said(blanks) + " is filled in", Expected: "both, since one says nothing without the other", Mend: "fill it in, or clear the other",
				})
				return nil, false
			}
			continue
		}
		value.put(b.Steps, blanks[n].value)
	}
	return value.lists(), true
}

func said(blanks []filledBlank) string {
	words := make([]string, len(blanks))
	for i, f := range blanks {
		words[i] = cmp.Or(say.Writer{}.Text(f.blank.Words), "another box")
	}
	return strconv.Quote(strings.Join(words, ", "))
}

// mostReadings is how many readings of one line a sheet can hold.
const mostReadings = 1000

// pairsOf is how many readings a line of the sheet can have: up to the last of
// which there is a box.
func (r *reader) pairsOf(a *checks.Ask) int {
	if r.pairs == nil {
		r.pairs = map[string]int{}
		for name := range r.filled.Entries {
			line, n := pairIn(name)
			r.pairs[line] = max(r.pairs[line], n+1)
		}
	}
	return r.pairs[a.Name(nil)]
}

// pairIn parts the name of a box into that of its line and which reading of it
// it is of, -1 where it is of no line.
func pairIn(name string) (line string, n int) {
	at := max(strings.LastIndexByte(name, '/'), 0)
	line = name[:at]
	at = max(strings.LastIndexByte(line, '/'), 0)
	line, number := line[:at], strings.TrimPrefix(line[at:], "/")
	n, err := strconv.Atoi(number)
	if err != nil || strconv.Itoa(n) != number || n < 0 || n >= mostReadings {
		return "", -1
	}
	return line, n
}

// isLine reports whether an ask is a line of the floor: pairs of where and how
// far down, of which any number may be filled in.
func isLine(a *checks.Ask) bool { return a.Thing.Stands == checks.AsLine }

// readings puts the readings of a line in order from the left. A place without
// a reading says nothing: the sheet suggests places. They are taken as they
// stand on the sheet, since the widths that they follow may have changed in
// the plan.
func (r *reader) readings(a *checks.Ask) (any, fieldsheet.Entry, map[string]box) {
	type pair struct {
		at    length.Length
		json  []any
		boxes [2]box
	}
	var pairs []pair
	first, whole := fieldsheet.Entry{}, true
	for i := range r.pairsOf(a) {
		where := checks.Blank{Steps: []string{strconv.Itoa(i), "0"}, Kind: checks.LengthKind, Words: say.That("at")}
		down := checks.Blank{Steps: []string{strconv.Itoa(i), "1"}, Kind: checks.LengthKind, Words: say.That("down")}
		r.known[a.Name(&where)], r.known[a.Name(&down)] = true, true
		e, _ := r.entry(a.Name(&down))
		if trimmed(e.Text) == "" {
			continue
		}
		at, okAt := r.length(a, &where)
		reading, ok := r.length(a, &down)
		if !okAt || !ok {
			whole = false
			continue
		}
		if len(pairs) == 0 {
			first = e
		}
		l, _ := length.Parse(at) // it has been read before
		pairs = append(pairs, pair{l, []any{at, reading}, [2]box{r.box(a, &where), r.box(a, &down)}})
	}
	if !whole || len(pairs) == 0 {
		return nil, first, nil
	}
	slices.SortStableFunc(pairs, func(a, b pair) int { return cmp.Compare(a.at, b.at) })
	list, boxes := make([]any, len(pairs)), map[string]box{}
	for i, p := range pairs {
		list[i] = p.json
		for k, b := range p.boxes {
			boxes[schema.Pointer("", i, k)] = b
		}
	}
	return list, first, boxes
}

func (r *reader) box(a *checks.Ask, b *checks.Blank) box {
	name := a.Name(b)
	e, _ := r.entry(name)
	return box{e, name}
}

// length reads the length in a box that must not be empty.
func (r *reader) length(a *checks.Ask, b *checks.Blank) (string, bool) {
	name := a.Name(b)
	e, _ := r.entry(name)
	value, no := lengthValue(trimmed(e.Text), r.unit)
	if no != nil {
		r.refuse(a, b, name, e, no)
		return "", false
	}
	return value.(string), true
}

// mostUnknown is of how many boxes it is told that nothing asks for them.
const mostUnknown = 20

// unknown refuses what is filled in and asked by nothing in the record.
func (r *reader) unknown() {
	first, told := len(r.problems), 0
	for _, name := range slices.Sorted(maps.Keys(r.filled.Entries)) {
		if r.known[name] {
			continue
		}
		r.refuseUnknown(name)
		if len(r.problems) > first+mostUnknown {
			r.problems = r.problems[:first+mostUnknown]
			told++
		}
	}
	if told > 0 {
		last := &r.problems[len(r.problems)-1]
		last.Found += "; and " + plaintext.Counted(told, "box", "boxes") + " more"
	}
}

func (r *reader) refuseUnknown(name string) {
	e := r.filled.Entries[name]
	if trimmed(e.Text) == "" && !e.On {
		return
	}
	r.problems = append(r.problems, schema.Problem{
		Kind: schema.Unknown, File: r.filled.File, Page: e.Page, Line: e.Line, Box: fieldsheet.NameShown(name),
		Found: "a filled box that the record does not ask for", Expected: "the boxes of a field sheet of this record",
		Mend: `make a new sheet with "setline sheet", or clear the box`,
	})
}
