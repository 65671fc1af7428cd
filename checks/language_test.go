package checks

import (
	"testing"

	"setline.example/checks/internal/rooms"
	"setline.example/checks/say"
	"setline.example/checks/say/foreign"
	"setline.example/schema"
	"setline.example/schema/chance"
)

// TestSecondLanguage: everything that is said of a record is said by texts, of
// which nothing is glued from English. Faults of every rule are planted, so that
// every kind of result is said.
func TestSecondLanguage(t *testing.T) {
	long(t)
	w, said := say.Writer{Language: foreign.Language}, 0
	check := func(t *testing.T, rec *schema.Record) {
		known := foreign.Typed(rec)
		found := judge(t, rec)
		look := func(what string, text say.Text) {
			said++
			if left := foreign.Left(w.Text(text), known); left != nil {
				t.Errorf("%s has %q in English: %q, from %q", what, left, w.Text(text), text)
			}
		}
		for _, r := range found.Results {
			what := r.Rule.Name + " of " + r.Subject.String()
			look("the finding of "+what, r.Finding)
			look("the remedy of "+what, r.Remedy)
			look("the source of "+what, r.Source)
			look("the subject of "+what, r.Subject.Words())
		}
		for v := range rec.Measured.Visits {
			for _, d := range Doubts(rec, v) {
				look("a doubt", d.sentence())
				look("the mend of a doubt", d.Mend())
			}
		}
		asks, err := runAsks(source(t, rec))
		if err != nil {
			t.Fatal(err)
		}
		for _, a := range asks {
			what := a.Name(nil)
			look("what asks "+what, a.Words)
			look("what says which of several is "+what, a.Short)
			look("what limits "+what, a.Limit)
			for _, b := range a.Blanks {
				look("a box of "+what, b.Words)
				for _, c := range b.Choices {
					look("an answer of "+what, AnswerWords(c))
				}
			}
		}
		for _, r := range All() {
			look("the limit of "+r.Name, r.LimitIn(found.Record.Planned.LengthsIn))
			for _, own := range []say.Words{r.Asks, r.Why, r.Needs, r.Remedy, r.Source} {
				look(r.Name, own.Text())
			}
		}
	}
	for _, c := range oneFault {
		t.Run(c.name, func(t *testing.T) {
			rec := fixture()
			c.edit(rec)
			check(t, rec)
		})
	}
	rng := chance.Source(t)
	for range 5 {
		check(t, rooms.New(rng, rooms.Size{Rooms: 1, Elevations: 2, Cabinets: 4}))
	}
	if said < 1000 {
		t.Errorf("%d texts were looked at", said)
	}
}
