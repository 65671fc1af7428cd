package checks

import (
	"maps"
	"slices"

	"setline.example/checks/say"
	"setline.example/schema"
	"setline.example/schema/length"
)

// Which there are of a thing, what they are called, and what they are held against.

//go:noinline
func these(keys ...string) func(whose) []string { return func(whose) []string { return keys } }

var (
	cornerKeys = these("FL", "FR", "BL", "BR")
	sideKeys   = these("front", "back", "left", "right", "FL-BR", "FR-BL")
)

func frontKeys(w whose) []string { return w.u.fronts }

//go:noinline
func called(words say.Words) func(string) say.Text {
	return func(string) say.Text { return words.Text() }
}

//go:noinline
func named(words map[string]say.Words) func(string) say.Text {
	return func(key string) say.Text { return words[key].Text() }
}

//go:noinline
func atCorner(words func(say.Words) say.Text) func(string) say.Text {
	return func(key string) say.Text { return words(cornerOf(key).word) }
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
func sideOf(key string) say.Words {
	for _, s := range sides {
		if s.key == key {
			return s.words
		}
	}
	return ""
}

func drawerWords(slot string) say.Text { return frontWords("drawer " + slot) }

//go:noinline
func says(words say.Words) func(*asker, whose, string) say.Text {
	return func(*asker, whose, string) say.Text { return words.Text() }
}

// ofRule is the limit of the rule that asks.
func ofRule(a *asker, _ whose, _ string) say.Text {
	if a.rule == nil {
		return say.Text{}
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
		{Steps: []string{"off"}, Kind: LengthKind, Words: say.That("off"), Required: true},
		{Steps: []string{"over"}, Kind: LengthKind, Words: say.That("over"), Required: true},
	}
}

func bodyHeight(w whose, _ string) length.Length { return *w.u.body.Height }

// sideLength is how long the side of a cabinet is that a level is laid along; 0
// for a diagonal, which no drawing gives.
func sideLength(w whose, key string) length.Length {
	switch key {
	case "front", "back":
		return w.u.width
	case "left", "right":
		return *w.u.body.Depth
	}
	return 0
}

func labelBlanks(*asker, whose) []Blank {
	all := make([]Blank, 0, 5)
	for _, b := range []struct {
		name  string
		words say.Words
	}{{"order", "order"}, {"part", "part"}, {"line", "line"}, {"room", "room"}, {"elevation", "elevation"}} {
		all = append(all, Blank{Steps: []string{b.name}, Kind: Words, Words: b.words.Text(), Short: b.name == "line" || b.name == "elevation"})
	}
	return all
}

func labelWanted(_ *asker, w whose, _ string) say.Text {
	return say.That("part %[1]s, with order and line number", say.Name(w.u.plan.Part))
}

// screwBlanks ask for a set of like fasteners at one place.
func screwBlanks(a *asker, _ whose) []Blank {
	return []Blank{
		{Steps: []string{"fastener"}, Kind: Choice, Words: say.That("screw"), Choices: sortedNames(a.rec.Planned.Fasteners), Required: true},
		{Steps: []string{"count"}, Kind: CountKind, Words: say.That("how many"), Required: true},
		{Steps: []string{"through"}, Kind: Choice, Words: say.That("through"), Choices: []string{"vacated hinge hole", "behind front rail", "side", "face"}},
		{Steps: []string{"tip_shows"}, Kind: YesNo, Words: say.That("tip shows")},
	}
}

func twoPegBlanks() []Blank {
	blank := func(key, n string, words say.Words) Blank {
		return Blank{Steps: []string{key, n}, Kind: LengthKind, Words: words.Text(), Required: true}
	}
	return []Blank{
		blank("midway", "0", "midway A"), blank("midway", "1", "midway B"),
		blank("unequal", "0", "near one A"), blank("unequal", "1", "near one B"),
		blank("distances", "0", "distance to A"), blank("distances", "1", "distance to B"),
	}
}

func sortedNames[V any](m map[string]V) []string { return slices.Sorted(maps.Keys(m)) }
