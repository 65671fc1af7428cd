// Package results is what the rules said of a record when its report was made,
// as data that travels in the report.
//
// A later version of Setline may judge otherwise. By the results inside an old
// report it can say of which rule at which place, one by one ([Compare]). Rules
// are named by their ids, which stay for ever, and numbers are exact.
//
// [Schema] is the JSON Schema of the form, generated from the types here.
package results

import (
	"bytes"
	"cmp"
	_ "embed"
	"encoding/json"
	"errors"
	"fmt"
	"slices"

	"setline.example/checks"
)

//go:generate go run ../generate results . results.schema.json

//go:embed results.schema.json
var schemaJSON []byte

// Schema returns the JSON Schema (draft 2020-12) of the results in a report.
func Schema() []byte { return slices.Clone(schemaJSON) }

// Form is the version of the form that this package writes and reads.
const Form = 1

// SchemaID is the identifier of the JSON Schema of that version.
const SchemaID = "urn:setline:results:1"

// Results are what the rules say of one record.
type Results struct {
	// Version of this form. Version 1 is the only one so far.
	Form int `json:"setline_results" jsonschema:"enum=1"`
	// Whether every room is ready to be handed over.
	Ready bool `json:"ready"`
	// Rooms that the report hands over, where these are not all of the job: it says
	// nothing of the others. What is below is of the whole job all the same.
	Covers []string `json:"covers,omitempty"`
	// Rooms in the order of the plan.
	Rooms []Room `json:"rooms"`
	// Results of all rooms, in walking order.
	Results []Result `json:"results"`
}

// Room is the verdict of one room.
type Room struct {
	// Name of the room as planned.
	Name string `json:"name"`
	// Whether it is ready to be handed over.
	Ready bool `json:"ready"`
}

// Result is what one rule says of one subject.
type Result struct {
	// Id of the rule, the same for ever.
	Rule string `json:"rule"`
	// What was judged, as a concession names it: room and unit, joint or part.
	Subject string `json:"subject"`
	// What the rule says.
	Outcome string `json:"outcome"`
	// What was measured or counted; none where nothing was.
	Value *Quantity `json:"value,omitempty"`
	// What it is held against; none where the limit is no quantity.
	Limit *Quantity `json:"limit,omitempty"`
}

// Quantity is an exact number and its unit.
type Quantity struct {
	// The number.
	Number int64 `json:"number"`
	// What it counts: nm (nanometres), pieces or days.
	Unit string `json:"unit"`
}

// Of returns the results of what the rules found.
func Of(found *checks.Findings) *Results {
	r := &Results{Form: Form, Ready: found.Ready(), Rooms: []Room{}, Results: make([]Result, 0, len(found.Results))}
	for _, v := range found.Rooms {
		r.Rooms = append(r.Rooms, Room{v.Room.Name, v.Ready})
	}
	for i := range found.Results {
		one := &found.Results[i]
		r.Results = append(r.Results, Result{
			Rule: one.Rule.ID, Subject: one.Subject.String(), Outcome: string(one.Outcome),
			Value: quantity(one.Value), Limit: quantity(one.Limit),
		})
	}
	return r
}

func quantity(q checks.Quantity) *Quantity {
	if q.Unit == checks.NoUnit {
		return nil
	}
	return &Quantity{q.N, q.Unit.Name()}
}

// JSON writes the results, one on a line. The same results give the same bytes.
func (r *Results) JSON() []byte {
	var b bytes.Buffer
	b.Grow(len(r.Results) * roughly)
	add := encoding(&b)
	fmt.Fprintf(&b, "{\"setline_results\": %d, \"ready\": %v, ", r.Form, r.Ready)
	if r.Covers != nil {
		b.WriteString(`"covers": `)
		add(r.Covers)
		b.WriteString(", ")
	}
	b.WriteString(`"rooms": `)
	add(r.Rooms)
	b.WriteString(", \"results\": [")
	for i := range r.Results {
		if i > 0 {
			b.WriteByte(',')
		}
		b.WriteByte('\n')
		add(&r.Results[i])
	}
	b.WriteString("\n]}\n")
	return b.Bytes()
}

// roughly is how many bytes a result takes.
const roughly = 160

// encoding returns what adds a value to b, without the line that it would end.
func encoding(b *bytes.Buffer) func(v any) {
	e := json.NewEncoder(b)
	e.SetEscapeHTML(false)
	return func(v any) {
		if err := e.Encode(v); err != nil {
			panic(err) // strings, numbers and lists can be encoded
		}
		b.Truncate(b.Len() - 1)
	}
}

// MaxBytes is the greatest size of results that is read.
const MaxBytes = 64 << 20

// ErrForm is wrapped by the errors of [Read].
var ErrForm = errors.New("not the results of a report")

// Read reads what another version of Setline wrote. Fields that this version
// does not know are passed over.
func Read(data []byte) (*Results, error) {
	r := &Results{}
	if err := json.Unmarshal(data, r); err != nil {
		return nil, fmt.Errorf("%w: %w", ErrForm, err)
	}
	if r.Form != Form {
		return nil, fmt.Errorf("%w: found version %d of the form, expected %d", ErrForm, r.Form, Form)
	}
	return r, nil
}

// Difference is a result that two judge differently. One of the two is nil where
// the other has no such rule at that place.
type Difference struct{ Was, Is *Result }

// Compare gives what is judged otherwise than it was, in the order of is, then
// what is not judged any more, in the order of was.
func Compare(was, is *Results) []Difference {
	type at struct{ rule, subject string }
	earlier := map[at][]*Result{}
	for i := range was.Results {
		r := &was.Results[i]
		earlier[at{r.Rule, r.Subject}] = append(earlier[at{r.Rule, r.Subject}], r)
	}
	var all []Difference
	for i := range is.Results {
		r := &is.Results[i]
		key := at{r.Rule, r.Subject}
		if len(earlier[key]) == 0 {
			all = append(all, Difference{nil, r})
			continue
		}
		if first := earlier[key][0]; !first.same(r) {
			all = append(all, Difference{first, r})
		}
		earlier[key] = earlier[key][1:]
	}
	for i := range was.Results {
		r := &was.Results[i]
		if slices.Contains(earlier[at{r.Rule, r.Subject}], r) {
			all = append(all, Difference{r, nil})
		}
	}
	return all
}

func (r *Result) same(o *Result) bool {
	return r.Outcome == o.Outcome && r.Value.same(o.Value) && r.Limit.same(o.Limit)
}

func (q *Quantity) same(o *Quantity) bool {
	if q == nil || o == nil {
		return q == o
	}
	return *q == *o
}

// String says the difference in words.
func (d Difference) String() string {
	r := cmp.Or(d.Is, d.Was)
	return fmt.Sprintf("%s at %s: the report says %s, this version says %s", r.Rule, r.Subject, d.Was.words(), d.Is.words())
}

func (r *Result) words() string {
	if r == nil {
		return "nothing"
	}
	s := r.Outcome
	if r.Value != nil {
		s += fmt.Sprintf(" (%d %s", r.Value.Number, r.Value.Unit)
		if r.Limit != nil {
			s += fmt.Sprintf(", limit %d %s", r.Limit.Number, r.Limit.Unit)
		}
		s += ")"
	}
	return s
}
