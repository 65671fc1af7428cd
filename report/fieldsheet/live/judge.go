package live

import (
	"errors"
	"maps"
	"slices"
	"strings"

	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/report/fieldsheet"
	"setline.example/report/fieldsheet/collect"
	"setline.example/schema"
)

const (
	sheetName = "sheet" // how the sheet is called among those that are collected
	nobody    = "-"     // stands for who was there where nobody is named yet
	mostTries = 8       // of leaving out boxes that are refused; each finds all it can
)

// partsReceived is of the whole job, and cannot be judged by one room of it.
const partsReceived = "parts-received"

// Judge says what the rules make of the room with what was filled in so far. A
// box that holds no value does not keep the others from being judged. The error
// says that the rules cannot judge the record.
func (r *Room) Judge(q Question) (*Verdict, error) {
	v := &Verdict{Results: []Result{}}
	text, err := r.taken(q, v)
	if err != nil {
		return nil, err
	}
	rec, src, err := schema.Read("the room", text)
	if err != nil {
		return nil, err
	}
	found, err := checks.Run(rec, src)
	if err != nil {
		return nil, err
	}
	v.Ready = true
	visit := len(r.rec.Measured.Visits) // the one that is being filled in
	for i := range found.Results {
		if res := &found.Results[i]; res.Rule.ID != partsReceived && res.Outcome != checks.NotApplicable {
			v.Ready = v.Ready && res.Outcome.Holds()
			v.Results = append(v.Results, r.result(res, visit))
		}
	}
	return v, nil
}

// taken is the text of the record with what was filled in, as collecting the
// sheet would give it, without what is refused.
func (r *Room) taken(q Question, v *Verdict) ([]byte, error) {
	f := &fieldsheet.Filled{File: sheetName, Plan: r.plan, Entries: map[string]fieldsheet.Entry{}}
	for name, e := range q.Entries {
		f.Entries[name] = fieldsheet.Entry{Text: e.Text, On: e.On}
	}
	if f.Entries["date"].Text == "" {
		f.Entries["date"] = fieldsheet.Entry{Text: q.Today}
	}
	if f.Entries["people/0/name"].Text == "" {
		f.Entries["people/0/name"] = fieldsheet.Entry{Text: nobody}
	}
	stands := map[string]bool{}
	for _, box := range q.Stands {
		stands[box] = true
	}
	o := collect.Options{Another: true}
	for range mostTries {
		result, err := collect.Add(r.rec, r.src, r.asks, []*fieldsheet.Filled{f}, o)
		if err == nil {
			return result.Record, nil
		}
		var problems schema.Problems
		if !errors.As(err, &problems) {
			return nil, err
		}
		if !r.leaveOut(v, f, problems, stands, &o) {
			break
		}
	}
	return r.src.Data, nil
}

// leaveOut takes boxes with problems out of a sheet, and lets those stand that
// are only doubted. It reports whether it did anything.
func (r *Room) leaveOut(v *Verdict, f *fieldsheet.Filled, problems schema.Problems, stands map[string]bool, o *collect.Options) (changed bool) {
	for _, p := range problems {
		box := Box{p.Box, p.Found, p.Expected, p.Mend}
		switch {
		case p.Kind == schema.Unneeded: // it stands, and nothing doubts it
			n := len(o.AsRead)
			o.AsRead = slices.DeleteFunc(o.AsRead, func(place string) bool { return place == p.File })
			changed = changed || len(o.AsRead) < n
		case p.Kind == schema.Doubted:
			box.Mend = "" // it speaks of a command
			if !stands[p.Box] {
				v.Doubted = append(v.Doubted, box)
			}
			o.AsRead = append(o.AsRead, sheetName+":"+p.Box)
			changed = true
		default:
			changed = r.without(f, p.Box) || changed
			if !slices.Contains(v.Refused, box) {
				v.Refused = append(v.Refused, box)
			}
		}
	}
	return changed
}

// without takes a box out of a sheet. Where it is empty, and that is what is wrong,
// what says nothing without it goes: the boxes beside it, or all of its question.
func (r *Room) without(f *fieldsheet.Filled, box string) (changed bool) {
	for box != "" {
		n := len(f.Entries)
		maps.DeleteFunc(f.Entries, func(name string, _ fieldsheet.Entry) bool { return isOf(name, box) })
		if len(f.Entries) < n {
			return true
		}
		if slices.ContainsFunc(r.asks, func(a *checks.Ask) bool { return a.Name(nil) == box }) {
			return false
		}
		box = box[:max(0, strings.LastIndexByte(box, '/'))]
	}
	return false
}

// isOf reports whether a box is the one named, or one of several that are.
func isOf(name, box string) bool {
	rest, ok := strings.CutPrefix(name, box)
	return ok && box != "" && (rest == "" || rest[0] == '/' || rest[0] == '=')
}

func (r *Room) result(res *checks.Result, visit int) Result {
	return Result{
		RuleID: res.Rule.ID, Rule: r.say.Text(res.Rule.Title().Text()),
		Elevation: res.Subject.Elevation, Kind: string(res.Subject.Kind), Of: res.Subject.Item, Name: r.say.Text(res.Subject.ItemWords()),
		Outcome: res.Outcome, Finding: r.words(res.Finding), Remedy: r.words(res.Remedy),
		At: placeIn(res.Pointer, visit),
	}
}

func (r *Room) words(t say.Text) string { return r.say.Text(t) }

// placeIn is the name of the place in a visit to which a JSON Pointer (RFC 6901)
// into the record leads, "" where it leads elsewhere.
func placeIn(pointer string, visit int) string {
	rest, ok := strings.CutPrefix(pointer, schema.Pointer("/measured/visits", visit)+"/")
	if !ok {
		return ""
	}
	return checks.PlaceName(schema.Steps("/" + rest)...)
}
