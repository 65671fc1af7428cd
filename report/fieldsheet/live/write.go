package live

import (
	"strconv"
	"strings"

	"github.com/go-json-experiment/json/jsontext"
)

// AppendJSON writes the verdict as JSON (RFC 8259), as [Verdict] names its members.
func (v *Verdict) AppendJSON(out []byte) []byte { return v.append(out, nil) }

// AppendChanges writes the verdict that the room was judged to last. Of its results
// those that the verdict before held already stand as their positions in it.
func (r *Room) AppendChanges(out []byte, v *Verdict) []byte { return v.append(out, r.told.same) }

func (v *Verdict) append(out []byte, before []int) []byte {
	w := &writer{out: out}
	w.in("{}", func() {
		w.boxes("refused", v.Refused)
		w.boxes("doubted", v.Doubted)
		w.results(v.Results, before)
		w.name("ready")
		w.out = strconv.AppendBool(w.out, v.Ready)
	})
	return w.out
}

// Verdicts are written by token: what does that for any Go type is a tenth of a
// program that a page carries, and slow in a browser.

// writer writes a verdict.
type writer struct {
	out   []byte
	comma bool
}

// in writes what comes between two marks, with commas between its parts.
func (w *writer) in(marks string, write func()) {
	w.next()
	w.out, w.comma = append(w.out, marks[0]), false
	write()
	w.out, w.comma = append(w.out, marks[1]), true
}

func (w *writer) next() {
	if w.comma {
		w.out = append(w.out, ',')
	}
	w.comma = true
}

// name begins a member.
func (w *writer) name(name string) {
	w.next()
	w.out, w.comma = append(append(w.out, '"'), name+`":`...), false
}

// text writes a member that is a text, and nothing where it is empty and may be.
func (w *writer) text(name, text string, always bool) {
	if text == "" && !always {
		return
	}
	w.name(name)
	w.out, _ = jsontext.AppendQuote(w.out, strings.ToValidUTF8(text, "\ufffd")) // so that it can be written
	w.comma = true
}

func (w *writer) boxes(name string, all []Box) {
	if len(all) == 0 {
		return
	}
	w.name(name)
	w.in("[]", func() {
		for _, b := range all {
			w.in("{}", func() {
				w.text("box", b.Name, true)
				w.text("found", b.Found, true)
				w.text("expected", b.Expected, true)
				w.text("mend", b.Mend, false)
			})
		}
	})
}

// results writes those that stood before as their positions.
func (w *writer) results(all []Result, before []int) {
	w.name("results")
	w.in("[]", func() {
		for i := range all {
			if before == nil || before[i] < 0 {
				w.result(&all[i])
				continue
			}
			w.next()
			w.out = strconv.AppendInt(w.out, int64(before[i]), 10)
		}
	})
}

func (w *writer) result(r *Result) {
	w.in("{}", func() {
		w.text("id", r.RuleID, true)
		w.text("rule", r.Rule, true)
		w.text("elevation", r.Elevation, false)
		w.text("kind", r.Kind, true)
		w.text("of", r.Of, true)
		w.text("name", r.Name, true)
		w.text("outcome", string(r.Outcome), true)
		w.text("finding", r.Finding, true)
		w.text("remedy", r.Remedy, false)
		w.text("at", r.At, false)
	})
}
