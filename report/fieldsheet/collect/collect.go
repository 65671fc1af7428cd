package collect

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"setline.example/checks"
	"setline.example/report/fieldsheet"
	"setline.example/schema"
	"setline.example/schema/amend"
	"setline.example/schema/length"
)

// Options say what to do where sheets leave a choice.
type Options struct {
	// Prefer names the file whose values count where sheets of one visit
	// disagree; "" where such sheets are refused.
	Prefer string
	// AsRead names the boxes whose values stand though they are doubted, each
	// with its file: "sheet.pdf:rooms/S-104/cabinets/A3/tops/FL".
	AsRead []string
	// Correction says that sheets of visits that the record has correct them;
	// nil where such a sheet that says something else is refused.
	Correction *Correction
	// Another says that such a sheet is of another visit of that day.
	Another bool
}

// Result is what came of collecting sheets.
type Result struct {
	Record []byte  // the record's text with the new visits in it; as it was where there are none
	Added  []Added // in time order
	// Nothing says of every sheet that added nothing why, in the order of the sheets.
	Nothing []string
	// Missing says of every sheet of which pages or boxes did not come back which.
	Missing []string
	// Corrected are the visits of the record that were corrected.
	Corrected []Corrected

	entries int // that were entered
}

// Corrected is a visit of the record that a sheet corrected.
type Corrected struct {
	Date   string
	Files  []string
	Values int
	Kept   []string // says what stays though it may be wrong
}

// Added is a visit that was added to the record.
type Added struct {
	Date         string
	Files        []string
	Observations int // answers to what the sheets ask of rooms and site
}

// Asked gives everything that a sheet of the record can ask. The error is that
// of [checks.AsksOf].
func Asked(rec *schema.Record, src *schema.Source) ([]*checks.Ask, error) {
	found, err := checks.Run(rec, src)
	if err != nil {
		return nil, err
	}
	return AskedOf(rec, src, found), nil
}

// AskedOf is [Asked] where the rules have judged the record already.
func AskedOf(rec *schema.Record, src *schema.Source, found *checks.Findings) []*checks.Ask {
	var asks []*checks.Ask
	for _, list := range [][]checks.Ask{fieldsheet.HeadAsks(), checks.AsksOf(rec, src, found)} {
		for i := range list {
			asks = append(asks, &list[i])
		}
	}
	return asks
}

// Add adds what the sheets say to the record that was read from src, which
// asks for asks ([Asked]). The error is [schema.Problems]; then nothing is taken.
func Add(rec *schema.Record, src *schema.Source, asks []*checks.Ask, sheets []*fieldsheet.Filled, o Options) (*Result, error) {
	result := &Result{Record: src.Data}
	var visits []*visit
	var problems schema.Problems
	if o.Prefer != "" && !slices.ContainsFunc(sheets, func(f *fieldsheet.Filled) bool { return f.File == o.Prefer }) {
		return nil, schema.Problems{{Kind: schema.Unknown, File: o.Prefer, Found: "a file to prefer that is not among the sheets", Expected: "one of " + names(sheets), Mend: "name it as it is named among the sheets"}}
	}
	byRoom := map[string][]*checks.Ask{}
	for _, a := range asks {
		byRoom[a.Subject.Room] = append(byRoom[a.Subject.Room], a)
	}
	unneeded := slices.Clone(o.AsRead)
	for _, f := range sheets {
		v, wrong := sheetVisit(rec, f, byRoom)
		problems = append(problems, wrong...)
		unsure, stand := unsureTicks(f, o.AsRead)
		problems = append(problems, unsure...)
		unneeded = slices.DeleteFunc(unneeded, func(place string) bool { return slices.Contains(stand, place) })
		if f.Missing != "" {
			result.Missing = append(result.Missing, f.File+": "+f.Missing)
		}
		if v == nil && len(wrong) == 0 {
			result.Nothing = append(result.Nothing, f.File+": nothing was observed on it")
		}
		if v != nil {
			visits = append(visits, v)
		}
	}
	visits, wrong := merge(visits, o.Prefer)
	if problems = append(problems, wrong...); len(problems) > 0 {
		return nil, problems
	}
	var doubted schema.Problems
	o.AsRead = slices.Clone(o.AsRead)
	for _, f := range sheets {
		for _, box := range f.AsRead {
			o.AsRead = append(o.AsRead, f.File+":"+box)
		}
	}
	for _, v := range visits {
		if i, ok := v.known(rec); ok {
			result.Nothing = append(result.Nothing, fmt.Sprintf("%s: the record holds it already, as the visit of %s (%s)",
				strings.Join(v.files, ", "), v.date, schema.Pointer("/measured/visits", i)))
			continue
		}
		again, at, err := result.take(rec, src, v, o)
		if err != nil {
			return nil, err
		}
		doubts, stand := v.doubted(again, at, tree(&again.Measured.Visits[at]), checks.Doubts(again, at), o.AsRead)
		doubted = append(doubted, doubts...)
		unneeded = slices.DeleteFunc(unneeded, func(place string) bool { return slices.Contains(stand, place) })
	}
	for _, place := range unneeded {
		doubted = append(doubted, schema.Problem{Kind: schema.Unneeded, File: place, Found: "a value that is to stand as read", Expected: "a box whose value is doubted",
			Mend: "leave out this --as-read; nothing else needs it"})
	}
	if len(doubted) > 0 {
		return nil, doubted
	}
	return result, nil
}

// take takes a visit over: as a new one, or as the correction of one that the
// record has. at is its position in the record as it is then.
func (r *Result) take(rec *schema.Record, src *schema.Source, v *visit, o Options) (again *schema.Record, at int, err error) {
	if !o.Another {
		if at, all := v.corrects(rec); at >= 0 {
			if o.Correction == nil {
				return nil, 0, v.contradictions(rec, at, all)
			}
			again, err = r.correct(rec, src, v, at, all, o.Correction)
			return again, at, err
		}
	}
	again, err = r.add(rec, src, v)
	if err != nil {
		return nil, 0, err
	}
	return again, len(again.Measured.Visits) - 1, nil
}

func names(sheets []*fieldsheet.Filled) string {
	all := make([]string, len(sheets))
	for i, f := range sheets {
		all[i] = f.File
	}
	return strings.Join(all, ", ")
}

// sheetVisit reads one sheet; there is none where nothing was observed. Of the
// asks, by room, those of the rooms that it is of are looked for: a job has many
// sheets.
func sheetVisit(rec *schema.Record, f *fieldsheet.Filled, byRoom map[string][]*checks.Ask) (*visit, schema.Problems) {
	refused := func(found, expected string) schema.Problems {
		return schema.Problems{{Kind: schema.OtherFile, File: f.File, Found: found, Expected: expected, Mend: `make a new sheet with "setline sheet" and fill in that one`}}
	}
	if f.Plan == "" && hasPages(f) {
		return nil, schema.Problems{{Kind: schema.OtherFile, File: f.File, Found: "page 1 is missing, which carries the plan that the sheet was made from", Expected: "all pages of the sheet", Mend: "send the whole file as it was saved"}}
	}
	if f.Plan == "" {
		return nil, refused("no plan in it", `a sheet that "setline sheet" wrote, which carries the plan it was made from`)
	}
	plan, printed, err := fieldsheet.DecodePrinted(f.Plan)
	if err != nil {
		return nil, refused("a plan that cannot be read", "the plan as it was written into the sheet")
	}
	if changed := fieldsheet.Changed(plan, &rec.Planned); len(changed) > 0 {
		const most = 12
		more := ""
		if n := len(changed) - most; n > 0 {
			changed, more = changed[:most], fmt.Sprintf("; and %d more", n)
		}
		return nil, refused(strings.Join(changed, "; ")+more, "a sheet of this job and of its plan as it is now")
	}
	r := &reader{filled: f, unit: cmp.Or(plan.LengthsIn, length.InchSystem), known: map[string]bool{}, beside: printed, instead: map[string]fieldsheet.Entry{}}
	asks := slices.Clone(byRoom[""])
	for _, room := range plan.Rooms {
		asks = append(asks, byRoom[room.Name]...)
	}
	answers := r.answers(asks)
	if len(r.problems) > 0 {
		return nil, r.problems
	}
	return visitOf(f, plan, answers)
}

// hasPages reports whether boxes of a sheet stand on pages, as those of a PDF do.
func hasPages(f *fieldsheet.Filled) bool {
	for _, e := range f.Entries {
		if e.Page > 0 {
			return true
		}
	}
	return false
}

// add puts a visit into the record's text, and holds the whole against the
// record's reader. It returns the record as it is then.
func (r *Result) add(rec *schema.Record, src *schema.Source, v *visit) (*schema.Record, error) {
	value, err := v.json(rec.NextEntry() + r.entries)
	r.entries++
	if err != nil {
		return nil, fmt.Errorf("write the visit of %s: %w", v.date, err)
	}
	text, err := amend.AddWithParents(r.Record, "/measured/visits/-", value)
	if err != nil {
		return nil, fmt.Errorf("%s: add the visit of %s: %w", src.Name, v.date, err)
	}
	again, _, err := schema.Read(src.Name, text)
	if err != nil {
		return nil, v.refused(err, len(rec.Measured.Visits)+len(r.Added), nil)
	}
	added := Added{Date: v.date, Files: v.files}
	for i := range v.answers {
		if observes(&v.answers[i]) {
			added.Observations++
		}
	}
	r.Record, r.Added = text, append(r.Added, added)
	return again, nil
}

// refused says at which boxes the record's reader found the visit wrong, which is
// whole there; nil where it is this alone.
func (v *visit) refused(err error, at int, whole any) error {
	var found schema.Problems
	if !errors.As(err, &found) {
		return err
	}
	var all schema.Problems
	prefix := schema.Pointer("/measured/visits", at)
	for _, p := range found {
		rest, inside := strings.CutPrefix(p.Pointer, prefix)
		q := schema.Problem{File: strings.Join(v.files, ", ")}
		if rest, ok := v.onSheet(whole, rest); inside && ok {
			if a := v.answerAt(rest); a != nil {
				q = a.problem()
			}
		}
		q.Kind, q.Found, q.Expected, q.Mend = p.Kind, p.Found, p.Expected, p.Mend
		all = append(all, q)
	}
	return all
}
