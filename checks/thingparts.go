package checks

import (
	"maps"
	"slices"
	"strings"

	"setline.example/schema"
	"setline.example/schema/length"
)

// Which there are of a thing, what they are called, and what they are held against.

func these(keys ...string) func(whose) []string { return func(whose) []string { return keys } }

var (
	cornerKeys = these("FL", "FR", "BL", "BR")
	sideKeys   = these("front", "back", "left", "right", "FL-BR", "FR-BL")
)

func frontKeys(w whose) []string { return w.u.fronts }

func called(words string) func(string) string { return func(string) string { return words } }

func named(words map[string]string) func(string) string {
	return func(key string) string { return words[key] }
}

func spaced(key string) string { return strings.ReplaceAll(key, "_", " ") }

func atCorner(before string) func(string) string {
	return func(key string) string { return before + string(cornerOf(key).word) }
}

func cornerOf(key string) corner {
	for _, c := range corners {
		if c.key == key {
			return c
		}
	}
	return corner{}
}

// sideOf are the words of the line along which level is read.
func sideOf(key string) string {
	for _, s := range sides {
		if s.key == key {
			return string(s.words)
		}
	}
	return ""
}

func says(words string) func(*asker, whose, string) string {
	return func(*asker, whose, string) string { return words }
}

// ofRule is the limit of the rule that asks.
func ofRule(a *asker, _ whose, _ string) string {
	if a.rule == nil {
		return ""
	}
	return a.atMost()
}

func standsOnFloor(w whose) bool { return w.e.hasCabinets() }

func floorLine(f *schema.FloorSeen, key string) *[]schema.FloorReading {
	if key == "front" {
		return &f.Front
	}
	return &f.Back
}

// lengthAt is the length at a corner, nil where there is none.
func lengthAt(l *schema.CornerLengths, key string) *length.Length {
	switch key {
	case "FL":
		return l.FL
	case "FR":
		return l.FR
	case "BL":
		return l.BL
	}
	return l.BR
}

func answerAt(a *schema.CornerAnswers, key string) *bool {
	switch key {
	case "FL":
		return a.FL
	case "FR":
		return a.FR
	case "BL":
		return a.BL
	}
	return a.BR
}

func levelAt(l *schema.LevelSeen, key string) *schema.Deviation {
	switch key {
	case "front":
		return l.Front
	case "back":
		return l.Back
	case "left":
		return l.Left
	case "right":
		return l.Right
	case "FL-BR":
		return l.FLBR
	}
	return l.FRBL
}

func plumbAt(p *schema.PlumbSeen, key string) *schema.Deviation {
	switch key {
	case "front":
		return p.Front
	case "left":
		return p.Left
	}
	return p.Right
}

// Boxes of what is not one value.

func deviationBlanks(*asker, whose) []Blank {
	return []Blank{
		{Steps: []string{"off"}, Kind: LengthKind, Words: "off", Required: true},
		{Steps: []string{"over"}, Kind: LengthKind, Words: "over", Required: true},
	}
}

func labelBlanks(*asker, whose) []Blank {
	all := make([]Blank, 0, 5)
	for _, name := range []string{"order", "part", "line", "room", "elevation"} {
		all = append(all, Blank{Steps: []string{name}, Kind: Words, Words: name, Short: name == "line" || name == "elevation"})
	}
	return all
}

func labelWanted(_ *asker, w whose, _ string) string {
	return "part " + w.u.plan.Part + ", with order and line number"
}

// screwBlanks ask for a set of like fasteners at one place.
func screwBlanks(a *asker, _ whose) []Blank {
	return []Blank{
		{Steps: []string{"fastener"}, Kind: Choice, Words: "screw", Choices: sortedNames(a.rec.Planned.Fasteners), Required: true},
		{Steps: []string{"count"}, Kind: CountKind, Words: "how many", Required: true},
		{Steps: []string{"through"}, Kind: Choice, Words: "through", Choices: []string{"vacated hinge hole", "behind front rail", "side", "face"}},
		{Steps: []string{"tip_shows"}, Kind: YesNo, Words: "tip shows"},
	}
}

func twoPegBlanks() []Blank {
	pair := func(key, words string) []Blank {
		return []Blank{
			{Steps: []string{key, "0"}, Kind: LengthKind, Words: words + " A", Required: true},
			{Steps: []string{key, "1"}, Kind: LengthKind, Words: words + " B", Required: true},
		}
	}
	return append(append(pair("midway", "midway"), pair("unequal", "near one")...), pair("distances", "distance to")...)
}

func sortedNames[V any](m map[string]V) []string { return slices.Sorted(maps.Keys(m)) }
