package live

import (
	"slices"
	"strings"

	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/report/fieldsheet"
	"setline.example/schema"
)

// partsReceived is of the whole job, and cannot be judged by one room of it.
const partsReceived = "parts-received"

// Judge says what the rules make of the room with what was filled in so far. A
// box that holds no value does not keep the others from being judged. The error
// says that the rules cannot judge the record.
func (r *Room) Judge(q Question) (*Verdict, error) {
	for box, e := range q.Entries {
		r.sheet.Set(box, fieldsheet.Entry{Text: e.Text, On: e.On})
	}
	r.sheet.OnDay(q.Today)
	taken, err := r.sheet.Take()
	if err != nil {
		return nil, err
	}
	found := r.found
	if taken.Record != r.rec {
		if found, err = r.rules.Run(taken.Record); err != nil {
			return nil, err
		}
	}
	v := &Verdict{Ready: true}
	v.boxes(taken.Refused, taken.Doubted(found), q.Stands)
	r.told.begin(len(found.Results))
	for i := range found.Results {
		if res := &found.Results[i]; res.Rule.ID != partsReceived && res.Outcome != checks.NotApplicable {
			v.Ready = v.Ready && res.Outcome.Holds()
			r.told.tell(res, r.result)
		}
	}
	v.Results = r.told.now.words
	return v, nil
}

// FirstVerdict is what [Room.Judge] makes of a room in which nothing is filled in
// yet, as JSON ([Verdict.AppendJSON]): a page that carries it says what holds, and
// what nobody has looked at, before its program has started. The record is one as
// [OfRoom] cut it; no day changes it, since there is no visit.
func FirstVerdict(record []byte) ([]byte, error) {
	r, err := Open(record)
	if err != nil {
		return nil, err
	}
	v, err := r.Judge(Question{})
	if err != nil {
		return nil, err
	}
	return v.AppendJSON(nil), nil
}

// boxes says what is wrong with boxes, but for those that stand as read.
func (v *Verdict) boxes(refused, doubted schema.Problems, stands []string) {
	for _, p := range refused {
		if box := (Box{p.Box, p.Found, p.Expected, p.Mend}); !slices.Contains(v.Refused, box) {
			v.Refused = append(v.Refused, box)
		}
	}
	for _, p := range doubted {
		if !slices.Contains(stands, p.Box) { // how to say of it that it stands is said of a command
			v.Doubted = append(v.Doubted, Box{Name: p.Box, Found: p.Found, Expected: p.Expected})
		}
	}
}

func (r *Room) result(res *checks.Result) Result {
	return Result{
		RuleID: res.Rule.ID, Rule: r.say.Text(res.Rule.Title().Text()),
		Elevation: res.Subject.Elevation, Kind: string(res.Subject.Kind), Of: res.Subject.Item, Name: r.say.Text(res.Subject.ItemWords()),
		Outcome: res.Outcome, Finding: r.words(res.Finding), Remedy: r.words(res.Remedy),
		At: r.placeIn(res.Pointer),
	}
}

func (r *Room) words(t say.Text) string { return r.say.Text(t) }

// placeIn is the name of the place in the visit that is being filled in to which a
// JSON Pointer (RFC 6901) into the record leads, "" where it leads elsewhere.
func (r *Room) placeIn(pointer string) string {
	name, ok := r.names[pointer]
	if !ok {
		visit := schema.Pointer("/measured/visits", len(r.rec.Measured.Visits))
		if rest, within := strings.CutPrefix(pointer, visit); within && rest != "" && rest[0] == '/' {
			name = checks.PlaceName(schema.Steps(rest)...)
		}
		r.names[pointer] = name
	}
	return name
}
