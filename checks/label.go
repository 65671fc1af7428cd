package checks

import (
	"strings"

	"setline.example/schema"
)

var labelComplete = &Rule{
	ID:         "label-complete",
	Name:       "label complete",
	Family:     Receiving,
	Asks:       "Every unit carries a label with order, part and line number, and room and elevation where the order gave them; and the label is that of the unit drawn there.",
	Why:        "The label is how a part is ordered again, and how a unit that stands in the wrong room is found before it is joined.",
	LimitWords: "order, part and line number; room and elevation where the order gave them",
	Source:     "common practice, no source",
	Needs:      "Read the label on the unit",
	Remedy:     "Find which unit this is by its packing list, put it where it is drawn, and mark it",
	observe:    askUnits((*asker).label),
	judge:      judgeLabels,
}

func judgeLabels(b *bench) {
	b.units(func(r *room, u *unit) {
		label := latest(u.asCab, func(s *schema.CabinetSeen) *schema.Label { return s.Label }, "label")
		if u.cabinet == nil {
			label = latest(u.asFill, func(s *schema.FillerSeen) *schema.Label { return s.Label }, "label")
		}
		if !label.ok {
			b.notObserved(u.subject, u.at, "Label")
			return
		}
		wrong := labelFaults(label.value, u, b.lines)
		res := Result{Subject: u.subject, Visit: label.visit, Pointer: label.at.pointer(), Outcome: Pass, Finding: "Label complete, and of the unit drawn here"}
		if len(wrong) > 0 {
			res.Outcome, res.Finding = Fail, capital(strings.Join(wrong, "; "))
		}
		b.add(res)
	})
}

// packedLine is a line of a packing list by order and line number.
type packedLine struct{ order, line string }

func packedLines(a *schema.Arrived) map[packedLine]schema.PackingLine {
	lines := map[packedLine]schema.PackingLine{}
	for _, list := range a.PackingLists {
		for number, line := range list.Lines {
			lines[packedLine{list.Order, number}] = line
		}
	}
	return lines
}

// labelFaults says what is wrong with a label on a unit.
func labelFaults(l schema.Label, u *unit, lines map[packedLine]schema.PackingLine) []string {
	var wrong []string
	var missing []string
	for _, f := range []struct{ name, value string }{{"order number", l.Order}, {"part number", l.Part}, {"line number", l.Line}} {
		if f.value == "" {
			missing = append(missing, f.name)
		}
	}
	line, listed := lines[packedLine{l.Order, l.Line}]
	if listed && line.Room != "" && l.Room == "" {
		missing = append(missing, "room")
	}
	if listed && line.Elevation != "" && l.Elevation == "" {
		missing = append(missing, "elevation")
	}
	if len(missing) > 0 {
		wrong = append(wrong, "no "+joined(missing)+" on the label")
	}
	if l.Part != "" && l.Part != u.plan.Part {
		wrong = append(wrong, "label says part "+l.Part+", drawn is "+u.plan.Part)
	}
	if l.Room != "" && l.Room != u.subject.Room {
		wrong = append(wrong, "label says room "+l.Room)
	}
	if l.Elevation != "" && l.Elevation != u.subject.Elevation {
		wrong = append(wrong, "label says elevation "+l.Elevation)
	}
	switch {
	case len(missing) > 0:
	case len(lines) > 0 && !listed:
		wrong = append(wrong, "line "+l.Line+" of order "+l.Order+" is on no packing list")
	case listed && line.Part != l.Part:
		wrong = append(wrong, "line "+l.Line+" of the packing list is part "+line.Part)
	case listed && line.Room != "" && line.Room != u.subject.Room:
		wrong = append(wrong, "line "+l.Line+" of the packing list is for room "+line.Room)
	}
	return wrong
}

// joined lists words with "or" where the last is.
func joined(words []string) string {
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " or " + words[n-1]
	}
	return strings.Join(words, "")
}
