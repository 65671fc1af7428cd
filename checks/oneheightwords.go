package checks

import (
	"slices"

	"setline.example/checks/say"
	"setline.example/checks/strip"
	"setline.example/schema/length"
)

// Serves reports whether one height serves all elevations of the line, as far
// as their floors are known.
func (l *LineHeight) Serves() bool { return l.Common.Serves }

// names are those of the elevations at some positions.
func (l *LineHeight) names(at []int) say.Text {
	all := make([]say.Text, len(at))
	for n, i := range at {
		all[n] = say.Name(l.Elevations[i].Elevation).Text()
	}
	return say.And(all...)
}

// all are the positions of all elevations.
func (l *LineHeight) all() []int {
	at := make([]int, len(l.Elevations))
	for i := range at {
		at[i] = i
	}
	return at
}

// Words say whether one height serves, in a sentence or a few: the heights; or
// what leaves none, by how much, and what would serve instead.
func (l *LineHeight) Words(sys length.System) []say.Text {
	line := say.That("down from reference line %[1]s as on %[2]s", say.Name(l.Reference), l.Date)
	if l.Serves() {
		return []say.Text{say.Sentences(
			l.asKnown(
				say.That("One height serves elevations %[1]s: tops from %[2]s to %[3]s %[4]s", l.names(l.all()), l.Common.Highest, l.Common.Lowest, line),
				say.That("As far as is known one height serves elevations %[1]s: tops from %[2]s to %[3]s %[4]s", l.names(l.all()), l.Common.Highest, l.Common.Lowest, line)),
			l.decides())}
	}
	all := []say.Text{say.Sentences(
		say.That("No one height serves elevations %[1]s; %[2]s is missing", l.names(l.all()), l.Common.Missing()),
		l.decides(), say.That("Readings are %[1]s", line))}
	if l.Bare.Serves {
		all = append(all, l.asKnown(
			say.That("Without reserve one serves: tops from %[1]s to %[2]s", l.Bare.Highest, l.Bare.Lowest),
			say.That("As far as is known one serves without reserve: tops from %[1]s to %[2]s", l.Bare.Highest, l.Bare.Lowest)))
	}
	return append(all, l.packing(sys), l.fewest())
}

// asKnown is how to say that a height serves: plainly, or as far as is known where
// something that decides it was not observed on some elevation.
func (l *LineHeight) asKnown(plainly, asFar say.Text) say.Text {
	if slices.ContainsFunc(l.Elevations, func(e ElevationHeight) bool { return len(e.Lacks) > 0 }) {
		return asFar
	}
	return plainly
}

// decides says which two limits decide.
func (l *LineHeight) decides() say.Text {
	return say.That("%[1]s than %[2]s, %[3]s than %[4]s",
		l.limit(l.Common.High, true).Says, l.Common.Highest, l.limit(l.Common.Low, false).Says, l.Common.Lowest)
}

func (l *LineHeight) limit(p strip.Place, upper bool) *HeightLimit {
	return l.Elevations[p.Row].limit(p.Limit, upper)
}

func (e *ElevationHeight) limit(n int, upper bool) *HeightLimit {
	if upper {
		return &e.Upper[n]
	}
	return &e.Lower[n]
}

// packing says what would have to be packed, or why that does not help.
func (l *LineHeight) packing(sys length.System) say.Text {
	p := l.Packing
	if !p.Mends {
		stays := l.limit(p.Stays, true)
		return say.That("Packing makes none: %[1]s than %[2]s, and no leveler decides that", stays.Says, stays.Down)
	}
	under := make([]say.Text, len(p.Under))
	for i, u := range p.Under {
		at := l.limit(u.Place, true)
		under[i] = say.That("%[1]s %[2]s", at.Of, PackingWords(u.Thickness, at.There, sys))
	}
	return l.asKnown(
		say.That("With packing one serves, and nowhere with less than with tops at %[1]s: under %[2]s", p.At, say.Few(under...)),
		say.That("As far as is known one serves with packing, and nowhere with less than with tops at %[1]s: under %[2]s", p.At, say.Few(under...)))
}

// fewest says how many heights are needed at least, and which.
func (l *LineHeight) fewest() say.Text {
	var parts []say.Text
	for _, i := range l.Never {
		e := &l.Elevations[i]
		parts = append(parts, say.That("%[1]s has none by itself, %[2]s is missing", say.Name(e.Elevation), e.Own.Missing()))
	}
	for _, g := range l.Groups {
		parts = append(parts, say.That("%[1]s with tops from %[2]s to %[3]s", l.names(g.Rows), g.Highest, g.Lowest))
	}
	switch {
	case len(l.Groups) == 0:
		return say.Semicolons(parts...)
	case len(l.Groups) == 1:
		return say.That("Each by itself: %[1]s", say.Semicolons(parts...))
	}
	first := make([]int, len(l.Groups))
	for i, g := range l.Groups {
		first[i] = g.First
	}
	return say.That("No fewer than %[1]s heights serve, since none serves two of %[2]s: %[3]s",
		len(l.Groups), l.names(first), say.Semicolons(parts...))
}

// Words say which heights serve one elevation, and what it is drawn at.
func (e *ElevationHeight) Words() say.Text {
	from, to := e.Own.Highest, e.Own.Lowest
	upper, lower := e.limit(e.Own.High.Limit, true).Says, e.limit(e.Own.Low.Limit, false).Says
	text := say.That("%[1]s: tops from %[2]s (%[3]s) to %[4]s (%[5]s)", say.Name(e.Elevation), from, upper, to, lower)
	if !e.Own.Serves {
		text = say.That("%[1]s: none, for %[2]s than %[3]s and %[4]s than %[5]s", say.Name(e.Elevation), upper, from, lower, to)
	}
	drawn := say.Text{}
	if e.HasDrawn {
		drawn = say.That("drawn %[1]s", e.Drawn)
	}
	lacks := say.Text{}
	if len(e.Lacks) > 0 {
		lacks = say.That("as far as is known: %[1]s", say.Semicolons(e.Lacks...))
	}
	return say.Semicolons(text, drawn, lacks)
}

// ApartWords say which elevations are left out and why, and what would let
// their heights be compared; nothing where none is.
func (o *OneHeight) ApartWords() say.Text {
	if len(o.Apart) == 0 {
		return say.Text{}
	}
	return say.Sentences(
		say.That("Not compared with others: %[1]s", say.Semicolons(o.Apart...)),
		say.That("Heights compare where the floors were read on one visit from one reference line, written down for each elevation by the same name"))
}
