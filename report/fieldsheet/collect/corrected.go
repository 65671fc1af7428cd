package collect

import (
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strings"

	"github.com/go-json-experiment/json"
	"setline.example/schema"
	"setline.example/schema/amend"
)

// A sheet of a visit that the record has, with other values, is that sheet
// corrected; or there were two visits of those people on that day. Which of the
// two it is has to be said.

// Correction says that sheets correct the visits that the record has: who
// corrected them, on what day and why.
type Correction struct {
	By     schema.Party
	Date   schema.Date
	Reason string
}

// otherwise is a value that a sheet has and the record has not, or has
// otherwise.
type otherwise struct {
	at    string // JSON Pointer within the visit
	value any
	was   any // nil where the record has none
}

// corrects finds the visit of the record that a sheet says something else of,
// the last of that day and people, and what that is.
func (v *visit) corrects(rec *schema.Record) (at int, all []otherwise) {
	data, err := v.json(0)
	if err != nil {
		return -1, nil
	}
	var own schema.Visit
	if json.Unmarshal(data, &own) != nil {
		return -1, nil // the record's reader says what is wrong
	}
	mine := tree(&own)
	for i := len(rec.Measured.Visits) - 1; i >= 0; i-- {
		old := &rec.Measured.Visits[i]
		if old.Withdrawn != nil || old.Date != own.Date || !reflect.DeepEqual(old.People, own.People) {
			continue
		}
		all = differing("", tree(old), mine)
		if slices.ContainsFunc(all, func(o otherwise) bool { return o.was != nil }) {
			return i, all
		}
	}
	return -1, nil
}

// differing lists the values of part that whole has not, or has otherwise.
func differing(at string, whole, part any) []otherwise {
	p, isObject := part.(map[string]any)
	w, both := whole.(map[string]any)
	switch {
	case !isObject && reflect.DeepEqual(whole, part):
		return nil
	case !isObject || !both && whole != nil:
		return []otherwise{{at, part, whole}}
	}
	var all []otherwise
	for _, name := range slices.Sorted(maps.Keys(p)) {
		all = append(all, differing(schema.Pointer(at, name), w[name], p[name])...)
	}
	return all
}

// contradictions are the problems of a sheet that contradicts a visit of the
// record, without anything said of which is right.
func (v *visit) contradictions(rec *schema.Record, at int, all []otherwise) (problems schema.Problems) {
	old := &rec.Measured.Visits[at]
	for _, o := range all {
		if o.was == nil {
			continue
		}
		p := schema.Problem{File: strings.Join(v.files, ", "), Box: strings.TrimPrefix(o.at, "/")}
		if a := v.answerAt(o.at); a != nil {
			p = a.problem()
		}
		p.Kind, p.Found = schema.Contradiction, asJSON(o.value)
		p.Expected = fmt.Sprintf("%s, as the record has it of the visit of those people on %s", asJSON(o.was), old.Date)
		problems = append(problems, p)
	}
	if n := len(problems); n > 0 {
		problems[n-1].Mend = `say --corrects WHY, --by WHO and --date WHEN where the sheet was corrected, or --another-visit where they came twice that day`
	}
	return problems
}

// correct puts the values of a corrected sheet into the visit that the record
// has, and beside them what stood there before.
func (r *Result) correct(rec *schema.Record, src *schema.Source, v *visit, at int, all []otherwise, c *Correction) (*schema.Record, error) {
	visit := schema.Pointer("/measured/visits", at)
	text := r.Record
	for _, o := range all {
		was, _ := amend.Get(text, visit+o.at)
		entry := schema.Correction{At: o.at, Was: was, By: c.By, Date: c.Date, Reason: c.Reason, Entered: rec.NextEntry() + r.entries}
		r.entries++
		value, err := json.Marshal(o.value, json.Deterministic(true))
		if err == nil {
			text, err = amend.AddWithParents(text, visit+o.at, value)
		}
		if err == nil {
			value, err = json.Marshal(entry, json.Deterministic(true))
		}
		if err == nil {
			text, err = amend.AddWithParents(text, visit+"/corrections/-", value)
		}
		if err != nil {
			return nil, fmt.Errorf("%s: correct the visit of %s: %w", src.Name, v.date, err)
		}
	}
	again, _, err := schema.Read(src.Name, text)
	if err != nil {
		return nil, v.refused(err, at)
	}
	r.Record = text
	r.Corrected = append(r.Corrected, Corrected{Date: v.date, Files: v.files, Values: len(all)})
	return again, nil
}
