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
	value any    // as it is to be: of a list, also what the sheet does not speak of
	says  any    // what the sheet has
	has   any    // what the record has otherwise; nil where the sheet only adds
	kept  string // says what stays though it may be wrong, "" for nothing
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
		if slices.ContainsFunc(all, func(o otherwise) bool { return o.has != nil }) {
			return i, all
		}
	}
	return -1, nil
}

// differing lists the values of part, which is of a sheet, that whole has not, or
// has otherwise.
func differing(at string, whole, part any) []otherwise {
	p, isObject := part.(map[string]any)
	w, both := whole.(map[string]any)
	switch {
	case !isObject && reflect.DeepEqual(whole, part):
		return nil
	case !isObject:
		return differingValue(at, whole, part)
	case !both && whole != nil:
		return []otherwise{{at: at, value: part, says: part, has: whole}}
	}
	var all []otherwise
	for _, name := range slices.Sorted(maps.Keys(p)) {
		all = append(all, differing(schema.Pointer(at, name), w[name], p[name])...)
	}
	return all
}

func differingValue(at string, whole, part any) []otherwise {
	p, isList := part.([]any)
	w, both := whole.([]any)
	key := keyOf(at, w)
	if !isList || !both || key == nil {
		return []otherwise{{at: at, value: part, says: part, has: whole}}
	}
	j := join(w, p, key)
	if j.same() {
		return nil
	}
	o := otherwise{at: at, value: j.list, says: p}
	if isFloor(schema.Steps(at)) {
		inOrder(j.list)
		o.kept = keptBeside(at, j.list, p, j.added)
	}
	if j.has != nil {
		o.says, o.has = j.says, j.has
	}
	return []otherwise{o}
}

// contradictions are the problems of a sheet that contradicts a visit of the
// record, without anything said of which is right.
func (v *visit) contradictions(rec *schema.Record, at int, all []otherwise) (problems schema.Problems) {
	old := &rec.Measured.Visits[at]
	for _, o := range all {
		if o.has == nil {
			continue
		}
		p := schema.Problem{File: strings.Join(v.files, ", "), Box: strings.TrimPrefix(o.at, "/")}
		if a := v.answerAt(o.at); a != nil {
			p = a.problem()
		}
		p.Kind, p.Found = schema.Contradiction, asJSON(o.says)
		p.Expected = fmt.Sprintf("%s, as the record has it of the visit of those people on %s", asJSON(o.has), old.Date)
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
		var whole any
		if now, ok := amend.Get(text, visit); ok {
			_ = json.Unmarshal(now, &whole) // it is a record's text, whatever is wrong with it
		}
		return nil, v.refused(err, at, whole)
	}
	r.Record = text
	done := Corrected{Date: v.date, Files: v.files, Values: len(all)}
	for _, o := range all {
		if o.kept != "" {
			done.Kept = append(done.Kept, o.kept)
		}
	}
	r.Corrected = append(r.Corrected, done)
	return again, nil
}
