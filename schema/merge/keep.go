package merge

import (
	"slices"
	"unicode/utf8"

	"setline.example/schema"
)

// What was decided stays in the record with what was not taken: of an observation
// as a correction of the visit, of a concession among former ones, of all else
// as a change of the plan.

// mend is a value of a visit that was decided: what stood there before, in the
// order in which it was told.
type mend struct {
	at  string
	was []*node
}

// keep keeps what was not taken.
func (m *merger) keep(path []string, a, b *node, answer Answer) {
	other := b
	if answer == Second {
		other = a
	}
	if path[0] == "agreed" && path[1] == "concessions" && other != nil {
		m.conceded = append(m.conceded, other)
		return
	}
	if at, ok := seenAt(path); ok {
		// As the first copy has it is what was entered, and its faults are numbered
		// by that. Where it stays, the other value stood there for a moment.
		was := []*node{a}
		if answer == First {
			was = append(was, b)
		}
		m.mended = append(m.mended, mend{at, was})
		return
	}
	m.note(path, other, answer)
}

// seenAt is the way within a visit to what was observed, where a correction can
// name it.
func seenAt(path []string) (string, bool) {
	if path[0] != "measured" || len(path) < 4 {
		return "", false
	}
	switch path[3] {
	case "date", "purpose", "site", "rooms", "former", "instruments":
	default:
		return "", false
	}
	for _, step := range path[4:] {
		switch step {
		case "photos", "all":
			return "", false
		}
	}
	return schema.Pointer("", anyOf(path[3:])...), true
}

// longest is how many characters a note holds.
const longest = 2000

// note keeps a value that was not taken as a change of the plan does. Where the
// second copy's was not taken the first stays as it was: that is a change by itself,
// which leads nowhere.
func (m *merger) note(path []string, was *node, answer Answer) {
	notes := &m.notes
	if answer != Second {
		notes = &m.stayed
	}
	at := notedAt(path)
	words := ""
	if was != nil {
		words = string(was.json())
		if w := was.word(); w != "" {
			words = w
		}
	}
	for {
		piece := cut(words, longest)
		*notes = append(*notes, object("of", textNode(at.of), "change", textNode("otherwise"), "field", textNode(at.field), "was", textNode(piece)))
		if words = words[len(piece):]; words == "" {
			return
		}
	}
}

// cut is the beginning of a text, of so many bytes at most.
func cut(s string, most int) string {
	if len(s) <= most {
		return s
	}
	for !utf8.RuneStart(s[most]) {
		most--
	}
	return s[:most]
}

// last is behind all places in the order of entry that the copies have.
const last = 1 << 30

// decision is a correction or a change of the plan by who decided.
func (m *merger) decision(members ...any) *node {
	by := object("name", textNode(m.by.By.Name), "role", textNode(m.by.By.Role), "firm", textNode(m.by.By.Firm))
	m.told++
	members = append(members, "by", by, "date", textNode(string(m.by.Date)), "reason", textNode(m.by.Reason), "entered", laterNode(last+m.told))
	return object(members...)
}

// noted is the merged record with what was not taken.
func (m *merger) noted(n *node) *node {
	changes := slices.Clone(n.at("planned", "changes").elements())
	for _, notes := range [][]*node{m.stayed, m.notes} {
		if len(notes) > 0 {
			changes = append(changes, m.decision("what", list(notes...)))
			n = n.with("planned", n.member("planned").with("changes", list(changes...)))
		}
	}
	if len(m.conceded) > 0 {
		former := list(n.at("agreed", "former_concessions").elements()...)
		former.kids = append(former.kids[:len(former.kids):len(former.kids)], m.conceded...)
		n = n.with("agreed", n.member("agreed").with("former_concessions", former))
	}
	return n
}
