package collect

import (
	"cmp"
	"errors"
	"maps"
	"slices"
	"strings"

	"setline.example/checks"
	"setline.example/report/fieldsheet"
	"setline.example/schema"
	"setline.example/schema/length"
)

const (
	filling = "sheet" // how a sheet that is being filled in is called among files
	nobody  = "-"     // stands for who was there where nobody is named yet
)

// Filling is a sheet of a record while it is being filled in: box by box, and
// asked after each what it makes of the record. That is what collecting the sheet
// would, but what one box does not touch is not done again.
type Filling struct {
	rec     *schema.Record
	src     *schema.Source
	with    *schema.Adding
	boxes   *askedBoxes
	read    *reader
	each    []reading       // of every ask, in their order
	stale   map[int]bool    // asks of which a box changed since they were read
	strange map[string]bool // filled boxes that nothing asks for
}

// reading is what the sheet says in answer to one ask.
type reading struct {
	answer   Answer
	answered bool
	problems schema.Problems
}

// askedBoxes are the asks of a sheet, and which box is of which.
type askedBoxes struct {
	asks   []*checks.Ask
	fields [][]fieldsheet.Field
	of     map[string]int  // by the names of boxes
	lines  map[string]int  // by the names of lines of the floor
	names  map[string]bool // of the asks
}

// NewFilling gives an empty sheet of the record that was read from src, which asks
// for asks ([Asked]).
func NewFilling(rec *schema.Record, src *schema.Source, asks []*checks.Ask) *Filling {
	b := newAskedBoxes(asks)
	f := &Filling{rec: rec, src: src, with: schema.NewAdding(rec), boxes: b, each: make([]reading, len(b.asks)), stale: map[int]bool{}, strange: map[string]bool{}}
	f.read = &reader{
		filled: &fieldsheet.Filled{File: filling, Entries: map[string]fieldsheet.Entry{}},
		unit:   cmp.Or(rec.Planned.LengthsIn, length.InchSystem),
		known:  map[string]bool{}, beside: fieldsheet.Printed(asks), instead: map[string]fieldsheet.Entry{},
	}
	f.read.beside["people/0/name"] = nobody
	for i := range f.each {
		f.stale[i] = true
	}
	return f
}

// newAskedBoxes finds the boxes of asks, those of the visit first.
func newAskedBoxes(asks []*checks.Ask) *askedBoxes {
	b := &askedBoxes{of: map[string]int{}, lines: map[string]int{}, names: map[string]bool{}}
	b.asks = slices.Clone(asks)
	slices.SortStableFunc(b.asks, func(x, y *checks.Ask) int {
		return cmp.Compare(min(len(x.Subject.Room), 1), min(len(y.Subject.Room), 1))
	})
	b.fields = make([][]fieldsheet.Field, len(b.asks))
	for i, a := range b.asks {
		b.names[a.Name(nil)] = true
		if isLine(a) {
			b.lines[a.Name(nil)] = i
			continue
		}
		b.fields[i] = fieldsheet.FieldsOf(a)
		for _, f := range b.fields[i] {
			b.of[f.Name] = i
		}
	}
	return b
}

// ask gives the position of the ask that a box is of.
func (b *askedBoxes) ask(box string) (i int, ok bool) {
	if i, ok = b.of[box]; ok {
		return i, true
	}
	line, n := pairIn(box)
	if n < 0 || !strings.HasSuffix(box, "/0") && !strings.HasSuffix(box, "/1") {
		return 0, false
	}
	i, ok = b.lines[line]
	return i, ok
}

// Set writes what stands in a box; an entry that says nothing clears it.
func (f *Filling) Set(box string, e fieldsheet.Entry) {
	entries, blank := f.read.filled.Entries, trimmed(e.Text) == "" && !e.On
	was, there := entries[box]
	if there == !blank && was == e {
		return
	}
	if blank {
		delete(entries, box)
	} else {
		entries[box] = e
	}
	if i, ok := f.boxes.ask(box); ok {
		f.stale[i] = true
	} else if delete(f.strange, box); !blank {
		f.strange[box] = true
	}
	f.read.pairs = nil
}

// OnDay says on what day the visit is where the sheet does not yet, YYYY-MM-DD.
func (f *Filling) OnDay(date string) {
	if f.read.beside["date"] == date {
		return
	}
	f.read.beside["date"] = date
	if i, ok := f.boxes.ask("date"); ok {
		f.stale[i] = true
	}
}

// Taken is what a sheet that is being filled in makes of its record.
type Taken struct {
	// Record has the visit in it, if anything was observed.
	Record *schema.Record
	// Refused are what holds no value, each with its box; the sheet was taken
	// without them.
	Refused schema.Problems

	visit *visit // nil where nothing was observed
	at    int    // its position in the record
}

// Doubted gives the values that are likely slips; found is what the rules found
// in the record.
func (t *Taken) Doubted(found *checks.Findings) schema.Problems {
	if t.visit == nil {
		return nil
	}
	doubted, _ := t.visit.doubted(t.Record, t.at, nil, found.Doubts(t.at), nil)
	return doubted
}

// Take gives the record as collecting the sheet would leave it, without what is
// refused: that keeps nothing else from being taken. The error is none of the
// sheet's.
func (f *Filling) Take() (*Taken, error) {
	t := &Taken{}
	for rest := f; ; {
		refused := rest.refused()
		if refused == nil {
			err := rest.into(t)
			if err == nil || !errors.As(err, &refused) {
				return t, err
			}
		}
		t.Refused = append(t.Refused, refused...)
		if rest == f {
			rest = f.copied()
		}
		if !rest.leaveOut(refused) {
			t.Record = f.rec
			return t, nil
		}
	}
}

// refused reads what changed, and gives what holds no value.
func (f *Filling) refused() (all schema.Problems) {
	for i := range f.stale {
		f.answer(i)
	}
	clear(f.stale)
	for i := range f.each {
		all = append(all, f.each[i].problems...)
	}
	f.read.problems = nil
	for _, box := range slices.Sorted(maps.Keys(f.strange)) {
		f.read.refuseUnknown(box)
	}
	return append(all, f.read.problems...)
}

func (f *Filling) answer(i int) {
	a := f.boxes.asks[i]
	f.read.problems = nil
	for k := range a.Blanks {
		delete(f.read.instead, a.Name(&a.Blanks[k]))
	}
	answer, ok := f.read.answer(a, f.boxes.fields[i])
	f.each[i] = reading{answer, ok, f.read.problems}
}

// copied is a copy of which boxes can be cleared.
func (f *Filling) copied() *Filling {
	c, r, filled := *f, *f.read, *f.read.filled
	filled.Entries, r.instead = maps.Clone(filled.Entries), maps.Clone(r.instead)
	r.filled, c.read = &filled, &r
	c.each, c.stale, c.strange = slices.Clone(f.each), map[int]bool{}, maps.Clone(f.strange)
	return &c
}

// leaveOut clears boxes with problems, and reports whether it did anything.
func (f *Filling) leaveOut(refused schema.Problems) (changed bool) {
	for _, p := range refused {
		changed = f.without(p.Box) || changed
	}
	return changed
}

// without clears a box. Where it is empty, and that is what is wrong, what says
// nothing without it goes: the boxes beside it, or all of its question.
func (f *Filling) without(box string) bool {
	for box != "" {
		if f.clear(func(name string) bool { return isOf(name, box) }) {
			return true
		}
		if f.boxes.names[box] {
			return false
		}
		box = box[:max(0, strings.LastIndexByte(box, '/'))]
	}
	return false
}

func (f *Filling) clear(which func(name string) bool) (changed bool) {
	for _, name := range slices.Sorted(maps.Keys(f.read.filled.Entries)) {
		if which(name) {
			f.Set(name, fieldsheet.Entry{})
			changed = true
		}
	}
	return changed
}

// isOf reports whether a box is the one named, or one of several that are.
func isOf(name, box string) bool {
	rest, ok := strings.CutPrefix(name, box)
	return ok && box != "" && (rest == "" || rest[0] == '/' || rest[0] == '=')
}

func (f *Filling) answers() []Answer {
	n := 0
	for i := range f.each {
		if f.each[i].answered {
			n++
		}
	}
	all := make([]Answer, 0, n) // they are large
	for i := range f.each {
		if f.each[i].answered {
			all = append(all, f.each[i].answer)
		}
	}
	return all
}

// into takes the answers into the record. The error is that of [Result.add].
func (f *Filling) into(t *Taken) error {
	t.Record = f.rec
	v, wrong := visitOf(f.read.filled, &f.rec.Planned, f.answers())
	if len(wrong) > 0 {
		return wrong
	}
	if v == nil {
		return nil
	}
	text, err := v.json(f.rec.NextEntry())
	if err != nil {
		return err
	}
	with, ok := f.with.With(text)
	if !ok {
		with, err = (&Result{Record: f.src.Data}).add(f.rec, f.src, v)
		if err != nil {
			return err
		}
	}
	at := len(f.rec.Measured.Visits)
	own := with.Measured.Visits[at]
	own.Entered = 0
	if _, known := knownAs(f.rec, &own); known {
		return nil
	}
	t.Record, t.visit, t.at = with, v, at
	return nil
}
