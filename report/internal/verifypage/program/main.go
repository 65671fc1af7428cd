// Command program is what the page that verifies runs: the same verification as
// "setline verify", of a report that was dropped on the page. Built for js/wasm
// it gives the page one function, "setlineVerify"; built for another system it
// takes the files as arguments, so that both can be held against each other.
//
// It writes no file, asks nobody anything, and knows nothing of the page.
package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"runtime/debug"
	"time"

	"setline.example/report/sign"
	"setline.example/report/trust"
	"setline.example/report/verify"
)

// question is what the page asks. Files are bytes, nil where there is none.
type question struct {
	report     []byte
	reportName string
	trust      []byte
	trustName  string
	expect     []string // roles that must have signed
	strict     bool
	day        string // YYYY-MM-DD, the day to verify at
}

// answer is what it gets: JSON, and the files that can be taken out.
type answer struct {
	// Verification as "setline verify --format json" writes it; nil where there is an error.
	Verification *verify.Verification `json:"verification,omitempty"`
	// Text as "setline verify" prints it.
	Text string `json:"text,omitempty"`
	// Error is why the file cannot be read, or the question is wrong.
	Error string `json:"error,omitempty"`

	record, part []byte
}

// ways are what there is on the page for what a command has flags for.
var ways = verify.Ways{
	Trust:  "choose above whom you trust",
	Photos: `this page looks at no photographs outside the report; ask who took them, or "setline verify" with their folder`,
	Rooms:  "look whether it is the rooms that you expect",
	Part:   `"Save the part that holds" saves`,
}

// ask answers a question.
func ask(q *question) (a answer) {
	o := verify.Options{Strict: q.strict, Version: version(), Ways: ways}
	for _, role := range q.expect {
		o.Expect = append(o.Expect, sign.Role(role))
	}
	day, err := time.Parse(time.DateOnly, q.day)
	if err != nil {
		return answer{Error: fmt.Sprintf("found the day %q, expected one such as 2026-10-02", q.day)}
	}
	o.At = day.Add(24*time.Hour - time.Second) // its end, in UTC
	if q.trust != nil {
		if o.Trust, err = trust.Read(q.trustName, q.trust); err != nil {
			return answer{Error: err.Error()}
		}
	}
	found, err := verify.Report(q.report, o)
	if err != nil {
		return answer{Error: fmt.Sprintf("%s: %v", q.reportName, err)}
	}
	var text bytes.Buffer
	if err := found.Text(&text, q.reportName); err != nil {
		return answer{Error: err.Error()}
	}
	return answer{Verification: &found.Verification, Text: text.String(), record: found.Record, part: found.Part}
}

// json is the answer without its files.
func (a *answer) json() []byte {
	out, err := json.Marshal(a)
	if err != nil {
		panic(err) // it is made of strings, numbers and yes and no
	}
	return out
}

// version is that of the program, as it was built.
func version() string {
	if info, ok := debug.ReadBuildInfo(); ok && info.Main.Version != "" && info.Main.Version != "(devel)" {
		return info.Main.Version
	}
	return "devel"
}
