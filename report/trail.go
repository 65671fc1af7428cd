package report

import (
	"encoding/json"
	"slices"
	"strconv"
	"strings"

	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/schema"
	"setline.example/schema/length"
	"setline.example/schema/plaintext"
)

// What a record says of what was written down wrong: a report tells it beside
// what counts.

// empty are the numbers of faults that were entered and never were.
func (b *viewer) empty() Text {
	return b.numbers(func(f *checks.Fault) bool { return f.TakenBack })
}

// replanned are the numbers of faults of what the plan has no more, or otherwise.
func (b *viewer) replanned() Text {
	return b.numbers(func(f *checks.Fault) bool { return f.Replanned })
}

func (b *viewer) numbers(of func(*checks.Fault) bool) Text {
	var numbers []string
	for i := range b.faults {
		if of(&b.faults[i]) && b.covers.has(b.faults[i].Subject.Room) {
			numbers = append(numbers, strconv.Itoa(b.faults[i].Number))
		}
	}
	return Text(strings.Join(numbers, ", "))
}

// trail lists what was withdrawn or corrected, visit by visit as the record has them.
func (b *viewer) trail() []TrailView {
	var all []TrailView
	for i := range b.rec.Measured.Visits {
		v := &b.rec.Measured.Visits[i]
		if !slices.Contains(b.told, i) && !b.covers.hasVisit(v) {
			continue
		}
		visit := Text(v.Date)
		if n, counts := b.number[i]; counts {
			visit = Text(strconv.Itoa(n) + ", " + string(v.Date))
		}
		whole := b.text(say.That("the whole visit of %[1]s", people(v)))
		for _, u := range v.Undone {
			all = append(all,
				TrailView{visit, whole, none, b.own("withdrawn"), b.party(u.Withdrawn.By), Text(u.Withdrawn.Date), Text(u.Withdrawn.Reason)},
				TrailView{visit, whole, b.own("withdrawn"), b.own("counts again"), b.party(u.By), Text(u.Date), Text(u.Reason)})
		}
		if w := v.Withdrawn; w != nil {
			all = append(all, TrailView{visit, whole, none, b.own("withdrawn"), b.party(w.By), Text(w.Date), Text(w.Reason)})
		}
		values, told := v.Values(), map[string]bool{}
		for _, c := range v.Corrections {
			if !b.covers.hasCorrection(c.At) {
				continue
			}
			most := longestStanding
			if told[c.At] {
				most = longestAgain
			}
			told[c.At] = true
			all = append(all, TrailView{visit, Text(strings.Join(schema.Steps(c.At), " ")), b.json(c.Was), b.json(standing(values, c.At, most)), b.party(c.By), Text(c.Date), Text(c.Reason)})
		}
	}
	for _, c := range b.rec.Agreed.FormerConcessions {
		if w := c.Withdrawn; w != nil && b.covers.has(schema.RoomOf(c.Subject)) {
			all = append(all, TrailView{Text(c.Date), b.text(say.That("concession of %[1]s for %[2]s", say.Name(c.Rule), say.Name(c.Subject))), Text(c.Reason), b.own("withdrawn"), b.party(w.By), Text(w.Date), Text(w.Reason)})
		}
	}
	for _, r := range b.rec.Agreed.FormerReinspections {
		if w := r.Withdrawn; w != nil && b.covers.has(r.Room) {
			all = append(all, TrailView{Text(r.Date), b.text(say.That("re-inspection of room %[1]s", say.Name(r.Room))), Text(r.Date), b.own("withdrawn"), b.party(w.By), Text(w.Date), Text(w.Reason)})
		}
	}
	return all
}

// json writes a value of a record for people: lengths in the record's system,
// everything that is not one value as it stands.
func (b *viewer) json(text []byte) Text {
	if text == nil {
		return b.own("not observed")
	}
	var v any
	if json.Unmarshal(text, &v) != nil {
		return Text(text)
	}
	switch v := v.(type) {
	case bool:
		return b.own(answerWord(v))
	case string:
		if l, err := length.Parse(v); err == nil {
			return Text(l.In(b.sys))
		}
		return Text(v)
	}
	return Text(text)
}

func answerWord(yes bool) say.Words {
	if yes {
		return "yes"
	}
	return "no"
}

// standing is what stands at a place of a visit now, nil where nothing does. Of
// what is long, such as a whole room, it is the beginning: the record has all of
// it, and has it once, however often it was corrected.
func standing(v *schema.Values, at string, most int) []byte {
	text, ok := v.At(at)
	if !ok {
		return nil
	}
	return []byte(plaintext.Cut(string(text), most))
}

// How many characters of what stands are told, and how many where they were told
// before. A cabinet with all that is seen of it has fewer than the first.
const (
	longestStanding = 2000
	longestAgain    = 200
)
