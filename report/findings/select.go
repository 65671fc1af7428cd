package findings

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"path/filepath"
	"slices"

	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/schema"
	"setline.example/schema/length"
)

// Selection says what of the findings is shown. What is not shown does not
// fail the gate; the answers of rooms and records stay those of all rules.
type Selection struct {
	All          bool      // also what passes or does not apply
	Rules        []string  // names of rules; none for all
	Room         string    // name of a room; "" for all
	NotReadyOnly bool      // only records and rooms that are not ready
	Baseline     *Baseline // nil for none
}

// Shown says the selection in the words of the JSON format.
func (s *Selection) Shown() Shown {
	return Shown{All: s.All, Rules: s.Rules, Room: s.Room, NotReadyOnly: s.NotReadyOnly, Baseline: s.Baseline != nil}
}

// File makes the model of the record at path from what the rules found. src
// is where it was read from; needs is what the format asks for.
func (s *Selection) File(path string, found *checks.Findings, src *schema.Source, needs Needs) *File {
	sum := sha256.Sum256(src.Data)
	f := &File{Path: Slash(path), SHA256: hex.EncodeToString(sum[:]), Answer: Ready, Passes: true}
	f.Loosened = loosened(found)
	known := s.Baseline.of(f.Path)
	for at, v := range found.Rooms {
		room := Room{Name: v.Room.Name, Use: v.Room.Use, Answer: Ready, Counts: v.Counts}
		room.Turns = turnLists(v.Turns, found.Record.Planned.LengthsIn)
		if !v.Ready {
			f.Answer = NotReady
		}
		if s.Room != "" && s.Room != v.Room.Name {
			continue
		}
		if !v.Ready {
			room.Answer = NotReady
			// A room of which no rule says anything has no result to show.
			if len(v.Reasons()) == 0 && len(s.Rules) == 0 {
				f.Passes = false
			}
		}
		for i := range v.Results {
			if r := &v.Results[i]; s.shows(r, needs) {
				room.Results = append(room.Results, s.result(r, found.Record, src, known, needs))
				room.Results[len(room.Results)-1].at = i
			}
		}
		if needs.Waits && !s.All && len(s.Rules) == 0 && toldAlone(&room) {
			room.await(waiting(found, src, at))
		}
		f.Passes = f.Passes && !slices.ContainsFunc(room.Results, func(r Result) bool { return r.Blocks() })
		if !s.NotReadyOnly || !v.Ready {
			f.Rooms = append(f.Rooms, room)
		}
	}
	return f
}

func loosened(found *checks.Findings) (all []Loosened) {
	sys := found.Record.Planned.LengthsIn
	for _, l := range found.Loosened {
		say := say.Writer{Lengths: sys}
		all = append(all, Loosened{l.Rule.Name, say.Text(l.Rule.ContractLimit(l.Change)), say.Text(l.Rule.LimitIn(sys)), l.Change.Source, l.Excessive})
	}
	return all
}

func (s *Selection) shows(r *checks.Result, needs Needs) bool {
	if len(s.Rules) > 0 && !slices.Contains(s.Rules, r.Rule.Name) {
		return false
	}
	return s.All || needs.Passes || r.Outcome != checks.Pass && r.Outcome != checks.NotApplicable
}

func (s *Selection) result(r *checks.Result, rec *schema.Record, src *schema.Source, known map[string]checks.Outcome, needs Needs) Result {
	sys := rec.Planned.LengthsIn
	say := say.Writer{Lengths: sys}
	out := Result{
		Rule: r.Rule.Name, RuleID: r.Rule.ID, Subject: r.Subject.String(), item: r.Subject.Item, Elevation: r.Subject.Elevation, Outcome: r.Outcome,
		Finding: say.Text(r.Finding), Remedy: say.Text(r.Remedy), Source: say.Text(r.Source), Pointer: r.Pointer,
		Value: quantity(r.Value, sys), Limit: quantity(r.Limit, sys), Forecast: newForecast(r.Forecast, say),
		Fingerprint: Fingerprint(r.Rule.Name, r.Subject.String()),
	}
	if out.Value != nil && r.Limit.Unit == r.Value.Unit {
		out.Margin = quantity(r.Margin, sys)
	}
	if r.Known {
		out.Uncertainty = &r.Uncertainty
	}
	if r.Visit >= 0 {
		out.Visit = string(rec.Measured.Visits[r.Visit].Date)
	}
	if r.Concession >= 0 {
		c := rec.Agreed.Concessions[r.Concession]
		out.Concession = &Concession{Reason: c.Reason, By: c.By.Name, Date: string(c.Date)}
	}
	if was, ok := known[out.Fingerprint]; ok {
		out.Known = !r.Outcome.Holds() && noBetter(was, r.Outcome)
	}
	if needs.Places {
		out.Line, out.Column = src.Place(r.Pointer)
	}
	return out
}

// Fingerprint marks a finding by its rule and subject alone, so that it is
// found again when the record is put in another order, moved or renamed.
func Fingerprint(rule, subject string) string {
	sum := sha256.Sum256(fmt.Appendf(nil, "%d:%s%s", len(rule), rule, subject))
	return hex.EncodeToString(sum[:16])
}

// noBetter reports whether a finding was as bad as it is now, or worse.
func noBetter(was, is checks.Outcome) bool {
	order := checks.Outcomes() // worst first
	return slices.Index(order, was) <= slices.Index(order, is)
}

// Broken is the model of a record that cannot be used.
func Broken(path string, problems schema.Problems) *File {
	f := &File{Path: Slash(path), Answer: CannotBeUsed}
	for _, p := range problems {
		p = p.Short()
		f.Problems = append(f.Problems, Problem{p, p.Message()})
	}
	return f
}

// Slash writes a path with slashes, as every format does.
func Slash(path string) string { return filepath.ToSlash(path) }

func quantity(q checks.Quantity, sys length.System) *Quantity {
	if q.Unit == checks.NoUnit {
		return nil
	}
	return &Quantity{Text: q.In(sys), Number: q.N, Unit: q.Unit.Name()}
}
