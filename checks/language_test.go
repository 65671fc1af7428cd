package checks

import (
	"encoding/json"
	"regexp"
	"strings"
	"testing"

	"setline.example/checks/internal/rooms"
	"setline.example/checks/say"
	"setline.example/schema"
)

// foreign is a language made by machine: every letter of ours is one of another
// alphabet, and what is said is longer by a third. What of a document is then
// still written with ours was glued together from words, or never was a text.
func foreign(one, many string, n int) string {
	if many != "" && n != 1 {
		one = many
	}
	var b strings.Builder
	letters := 0
	for i := 0; i < len(one); i++ {
		if strings.HasPrefix(one[i:], "%[") {
			b.WriteString(one[i : i+5])
			i += 4
			continue
		}
		if c := one[i] | 0x20; 'a' <= c && c <= 'z' {
			letters++
			b.WriteRune('α' + rune(c-'a')%17)
			continue
		}
		b.WriteByte(one[i])
	}
	return b.String() + strings.Repeat("ω", (letters+2)/3)
}

var ownWord = regexp.MustCompile(`[A-Za-z]+`)

// typed are the words that people typed into a record, and units: what no
// language changes. Names of fields are none of them.
func typed(t *testing.T, rec *schema.Record) map[string]bool {
	t.Helper()
	data, err := json.Marshal(rec)
	if err != nil {
		t.Fatal(err)
	}
	var tree any
	if err := json.Unmarshal(data, &tree); err != nil {
		t.Fatal(err)
	}
	known := map[string]bool{"in": true, "mm": true, "ft": true, "m": true}
	add := func(text string) {
		for _, w := range ownWord.FindAllString(text, -1) {
			known[w] = true
		}
	}
	var walk func(any)
	walk = func(v any) {
		switch v := v.(type) {
		case map[string]any:
			for key, member := range v {
				if strings.ContainsAny(key, "0123456789") {
					add(key) // a tag, an order, a date
				}
				walk(member)
			}
		case []any:
			for _, e := range v {
				walk(e)
			}
		case string:
			add(v)
		}
	}
	walk(tree)
	// Answers that can be chosen have words of our own.
	for _, own := range ownWord.FindAllString("front upper rear side behind rail vacated hinge hole inside face top level laser rule drawer door filler wall exposed", -1) {
		delete(known, own)
	}
	for name := range rec.Planned.Instruments {
		add(name)
	}
	for name := range rec.Planned.Fasteners {
		add(name)
	}
	return known
}

// TestSecondLanguage: everything that is said of a record is said by texts, of
// which nothing is glued from English. Faults of every rule are planted, so that
// every kind of result is said.
func TestSecondLanguage(t *testing.T) {
	w, said := say.Writer{Language: foreign}, 0
	check := func(t *testing.T, rec *schema.Record) {
		known := typed(t, rec)
		found := judge(t, rec)
		look := func(what string, text say.Text) {
			said++
			for _, own := range ownWord.FindAllString(w.Text(text), -1) {
				if !known[own] {
					t.Errorf("%s has %q in English: %q, from %q", what, own, w.Text(text), text)
				}
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
	rng := seeded(t)
	for range 5 {
		check(t, rooms.New(rng, rooms.Size{Rooms: 1, Elevations: 2, Cabinets: 4}))
	}
	if said < 1000 {
		t.Errorf("%d texts were looked at", said)
	}
}
