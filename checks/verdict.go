package checks

import (
	"slices"

	"setline.example/schema"
)

// Findings are all that the rules say of one record.
type Findings struct {
	Record *schema.Record
	// Results are in walking order: room by room, in each the room as a whole
	// first and then unit by unit, and for each unit rule by rule.
	Results []Result
	// Rooms are the verdicts, in walking order.
	Rooms []Verdict
	// Loosened are the limits that the contract set looser than ours.
	Loosened []Loosened

	job *facts // by which it was judged
}

// Verdict says whether a room is ready to be handed over. It is ready when
// every applicable rule passes or is conceded.
type Verdict struct {
	Room    *schema.Room
	Ready   bool
	Results []Result // of this room, a part of Findings.Results
	Counts  map[Outcome]int
	// Turns say what to turn in the runs of which the tops do not pass.
	Turns []TurnList
}

// Reasons returns the results that keep the room from being ready, worst first.
func (v Verdict) Reasons() []Result {
	var open []Result
	for _, o := range outcomes {
		if o.Holds() {
			continue
		}
		for _, r := range v.Results {
			if r.Outcome == o {
				open = append(open, r)
			}
		}
	}
	return open
}

// Notices returns the results that are worth knowing and keep no room from
// being ready.
func (v Verdict) Notices() []Result {
	var all []Result
	for _, r := range v.Results {
		if r.Outcome == Notice {
			all = append(all, r)
		}
	}
	return all
}

// Ready reports whether every room is ready.
func (f *Findings) Ready() bool {
	return !slices.ContainsFunc(f.Rooms, func(v Verdict) bool { return !v.Ready })
}

// verdicts draws the verdict of every room from the sorted results.
func verdicts(rec *schema.Record, results []Result) []Verdict {
	all := make([]Verdict, len(rec.Planned.Rooms))
	for i := range all {
		n := 0
		for n < len(results) && results[n].Subject.room == i {
			n++
		}
		v := Verdict{Room: &rec.Planned.Rooms[i], Results: results[:n:n], Counts: map[Outcome]int{}}
		results = results[n:]
		v.Ready = n > 0 // a room of which no rule says anything has not been shown to be right
		for _, r := range v.Results {
			v.Counts[r.Outcome]++
			v.Ready = v.Ready && r.Outcome.Holds()
		}
		all[i] = v
	}
	return all
}
