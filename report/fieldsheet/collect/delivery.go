package collect

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"

	"setline.example/report/fieldsheet"
	"setline.example/schema"
	"setline.example/schema/amend"
	"setline.example/schema/plaintext"
)

// AddCounts adds what sheets to count deliveries on say to the text of a record,
// a receipt for each packing list, and says of each sheet what it added. A line
// that was counted by the same person on the same day is not added again. The
// error is [schema.Problems]; then nothing is taken.
func AddCounts(name string, text []byte, sheets []*fieldsheet.Filled) (_ []byte, told []string, err error) {
	var problems schema.Problems
	for _, f := range sheets {
		rec, _, err := schema.Read(name, text)
		if err != nil {
			return nil, nil, err
		}
		c, wrong := readCounts(rec, f)
		if problems = append(problems, wrong...); len(problems) > 0 {
			continue
		}
		lines := 0
		for _, r := range c {
			value, err := json.Marshal(r)
			if err == nil {
				text, err = amend.AddWithParents(text, "/arrived/receipts/-", value)
			}
			if err != nil {
				return nil, nil, fmt.Errorf("%s: add a count: %w", name, err)
			}
			lines += len(r.Lines)
		}
		if _, _, err := schema.Read(name, text); err != nil {
			var found schema.Problems
			errors.As(err, &found)
			for _, p := range found {
				problems = append(problems, schema.Problem{Kind: p.Kind, File: f.File, Found: p.Found, Expected: p.Expected, Mend: p.Mend})
			}
			continue
		}
		if lines == 0 {
			told = append(told, f.File+": nothing that the record does not hold was counted on it; nothing added")
			continue
		}
		told = append(told, fmt.Sprintf("%s: added %s (%s counted), from %s", name, plaintext.Count(len(c), "receipt"), plaintext.Count(lines, "line"), f.File))
	}
	if len(problems) > 0 {
		return nil, nil, problems
	}
	return text, told, nil
}

// readCounts reads one sheet: a receipt for each packing list that it counts, in
// their order, without what the record holds.
func readCounts(rec *schema.Record, f *fieldsheet.Filled) ([]schema.Receipt, schema.Problems) {
	plan, err := fieldsheet.DecodePlan(f.Plan)
	if err != nil || len(fieldsheet.Changed(plan, &rec.Planned)) > 0 {
		return nil, schema.Problems{{Kind: schema.OtherFile, File: f.File, Found: "a sheet of another job", Expected: "one of this job", Mend: `make a new sheet with "setline count" and fill in that one`}}
	}
	r := &reader{filled: f, unit: plan.LengthsIn, known: map[string]bool{}}
	answers := r.answers(fieldsheet.DeliveryAsks(rec))
	said := map[string]string{}
	var lines []*Answer
	for i := range answers {
		a := &answers[i]
		if len(a.Ask.Place) == 2 {
			said[a.Ask.Place[1]], _ = a.Value.(string)
			continue
		}
		lines = append(lines, a)
	}
	for _, need := range []struct{ name, words string }{{"date", "Date of the count"}, {"by", "Counted by"}} {
		if said[need.name] == "" && len(lines) > 0 && len(r.problems) == 0 {
			r.problems = append(r.problems, schema.Problem{Kind: schema.Missing, File: f.File, Words: need.words, Box: fieldsheet.DeliveryMark + need.name,
				Found: "nothing there, though lines are counted", Expected: "who counted and on what day", Mend: "fill it in"})
		}
	}
	var all []schema.Receipt
	next := rec.NextEntry()
	for _, a := range lines {
		list, number := a.Ask.Place[2], a.Ask.Place[3]
		got := received(a)
		if old, ok := counted(rec, list, number, said); ok {
			if old != got {
				r.refuse(a.Ask, &a.Ask.Blanks[0], a.Ask.Name(&a.Ask.Blanks[0]), a.From, &schema.Problem{Kind: schema.Contradiction,
					Found:    fmt.Sprintf("%d good and %d damaged", got.Good, got.Damaged),
					Expected: fmt.Sprintf("%d good and %d damaged, as the record has it of that day and counter", old.Good, old.Damaged),
					Mend:     "correct it; give a count that comes on top its own day or counter"})
			}
			continue
		}
		i := slices.IndexFunc(all, func(r schema.Receipt) bool { return r.PackingList == list })
		if i < 0 {
			i = len(all)
			all = append(all, schema.Receipt{PackingList: list, Date: schema.Date(said["date"]), By: said["by"], Lines: map[string]schema.Received{}, Entered: next + i})
		}
		all[i].Lines[number] = got
	}
	return all, r.problems
}

// received is what a sheet says came of a line.
func received(a *Answer) (got schema.Received) {
	value, ok := a.Value.(*object)
	if !ok {
		return got
	}
	got.Good, _ = value.value("good").(int)
	got.Damaged, _ = value.value("damaged").(int)
	got.Remark, _ = value.value("remark").(string)
	return got
}

// counted is what the record has of a line by the same person and day.
func counted(rec *schema.Record, list, line string, said map[string]string) (schema.Received, bool) {
	for _, r := range rec.Arrived.Receipts {
		if got, ok := r.Lines[line]; ok && r.PackingList == list && string(r.Date) == said["date"] && r.By == said["by"] {
			return got, true
		}
	}
	return schema.Received{}, false
}
