package fieldsheet

import (
	"slices"

	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/schema/length"
)

// A short sheet has no box for what the plan knows: where along the floor levelers
// stand, over what a cabinet is read for plumb. It is printed beside the box that
// it goes with, and travels with the sheet.

// spareReadings is how many places of a floor line are left open, for the highest
// that the crew finds between those printed.
const spareReadings = 1

// short gives an ask as a short sheet asks it.
func (s *Sheet) short(a *checks.Ask) *checks.Ask {
	switch {
	case s.options.All:
		return a
	case a.Again != nil:
		again := *a
		again.Blanks = a.Again
		a = &again
	}
	if s.options.Each {
		return a
	}
	return shortened(a)
}

func shortened(a *checks.Ask) *checks.Ask {
	short := *a
	if a.Thing.Of == checks.OfInstrument && a.Limit.Empty() {
		short.Blanks = a.Blanks[:1] // nobody asks when it was checked
		return &short
	}
	if a.Thing.Stands == checks.AsLine {
		short.Blanks = shortLine(a.Blanks)
		return &short
	}
	short.Blanks = slices.Clone(a.Blanks)
	for i := 1; i < len(short.Blanks); i++ {
		if b := &short.Blanks[i]; b.Kind == checks.LengthKind && b.Usual != "" {
			b.Printed = true
			with := &short.Blanks[i-1]
			with.Words = say.That("%[1]s %[2]s %[3]s", with.Words, b.Words, PrintedLength(b))
		}
	}
	return &short
}

// shortLine leaves of a line of the floor the places that are suggested, printed,
// and a few open ones.
func shortLine(blanks []checks.Blank) (short []checks.Blank) {
	spare := 0
	for i := 0; i+1 < len(blanks); i += 2 {
		at, down := blanks[i], blanks[i+1]
		if at.Usual != "" {
			at.Printed = true
			down.Words = say.That("at %[1]s", PrintedLength(&at))
		} else if spare++; spare > spareReadings {
			break
		}
		short = append(short, at, down)
	}
	return short
}

// PrintedLength is what stands on a sheet for a blank that has no box.
func PrintedLength(b *checks.Blank) length.Length {
	l, _ := length.Parse(b.Usual) // it comes from a length
	return l
}

// printed are the values that stand on the sheet and have no box, by the names
// that their boxes would have.
func (s *Sheet) printed() map[string]string { return printedOn(s.asks()) }

// Printed gives what stands printed on a short sheet that asks these asks, by the
// names that boxes for it would have.
func Printed(asks []*checks.Ask) map[string]string {
	short := make([]*checks.Ask, len(asks))
	for i, a := range asks {
		short[i] = shortened(a)
	}
	return printedOn(short)
}

func printedOn(asks []*checks.Ask) map[string]string {
	all := map[string]string{}
	for _, a := range asks {
		for i := range a.Blanks {
			if b := &a.Blanks[i]; b.Printed {
				all[a.Name(b)] = b.Usual
			}
		}
	}
	return all
}
