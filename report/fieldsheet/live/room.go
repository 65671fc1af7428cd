package live

import (
	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/report/fieldsheet/collect"
	"setline.example/schema"
)

// Room is a room ready to be judged. It can be judged any number of times, from
// one goroutine at a time.
type Room struct {
	rec   *schema.Record
	rules *checks.Judging
	found *checks.Findings // while nothing is observed
	sheet *collect.Filling
	say   say.Writer
	told  told
	// names are those of places, by pointers into the visit that is being filled in;
	// the same ones decide after each entry.
	names map[string]string
}

// Open reads a record of one room, as [OfRoom] cut it. The error is that of
// [schema.Read] or of the rules.
func Open(record []byte) (*Room, error) {
	rec, src, err := schema.Read("the room", record)
	if err != nil {
		return nil, err
	}
	rules, err := checks.NewJudging(rec, src)
	if err != nil {
		return nil, err
	}
	found, err := rules.Run(rec)
	if err != nil {
		return nil, err
	}
	return &Room{
		rec: rec, rules: rules, found: found, sheet: collect.NewFilling(rec, src, collect.AskedOf(rec, src, found)),
		say: say.Writer{Lengths: rec.Planned.LengthsIn}, names: map[string]string{},
	}, nil
}

// Question is what was filled in on a sheet of the room since the last question.
type Question struct {
	// Entries are the boxes that hold something else now, by their names, those of
	// the visit and of this room. One that was cleared says nothing.
	Entries map[string]Entry `json:"entries,omitempty"`
	// Stands names the boxes of which somebody said that they stand as read.
	Stands []string `json:"stands,omitempty"`
	// Today is the date of the visit where none is filled in yet, YYYY-MM-DD.
	Today string `json:"today"`
}

// Entry is one box: what is written there, or that it is ticked.
type Entry struct {
	Text string `json:"text,omitempty"`
	On   bool   `json:"on,omitempty"`
}

// Verdict is what the rules say of the room with what was filled in.
type Verdict struct {
	// Refused are boxes of which what stands there is no value. The room is judged
	// without them.
	Refused []Box `json:"refused,omitempty"`
	// Doubted are boxes of which the value is likely a slip, and of which nobody
	// said that it stands. The room is judged with them.
	Doubted []Box `json:"doubted,omitempty"`
	// Results are those of the rules, in walking order.
	Results []Result `json:"results"`
	// Ready says that nothing keeps the room from being ready but what arrived.
	Ready bool `json:"ready"`
}

// Box says what is wrong with a box.
type Box struct {
	Name     string `json:"box"`
	Found    string `json:"found"`
	Expected string `json:"expected"`
	Mend     string `json:"mend,omitempty"`
}

// Result is what one rule says of one thing.
type Result struct {
	RuleID    string         `json:"id"`
	Rule      string         `json:"rule"`
	Elevation string         `json:"elevation,omitempty"`
	Kind      string         `json:"kind"` // what it is of: a unit, a joint, a run
	Of        string         `json:"of"`   // "A3", "A3+A4", "run A1 to A5"
	Name      string         `json:"name"` // that in words
	Outcome   checks.Outcome `json:"outcome"`
	Finding   string         `json:"finding"`
	Remedy    string         `json:"remedy,omitempty"`
	// At names the place in the visit of what decided, "" where that is of another
	// visit or of none.
	At string `json:"at,omitempty"`
}
