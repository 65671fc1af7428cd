package findings

import (
	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/schema/length"
)

// TurnList is what to turn so that a run, or a cabinet on its own, comes within level, set height, plane and twist. It is computed from the tops as they were read, and judged by the rules themselves.
type TurnList struct {
	// The run or cabinet, after the room's name and "/".
	Of string `json:"of"`
	// Elevation as planned.
	Elevation string `json:"elevation"`
	// How many levelers it has of which the top was read.
	Bolts int `json:"bolts"`
	// What to turn, in walking order. Without these the text says what comes first.
	Turns []Turn `json:"turns,omitempty"`
	// Whether no fewer bolts serve.
	Fewest bool `json:"fewest"`
	// A number of bolts that no answer goes below.
	AtLeast int `json:"at_least"`
	// Corners that stay as they are though off the mark.
	Stays []CornerLength `json:"stays,omitempty"`
	// Joints that are to be loosened first.
	Loosen []string `json:"loosen,omitempty"`
	// Corners whose foot does not bear; then nothing is computed.
	NotBearing []Corner `json:"not_bearing,omitempty"`
	// Corners whose bolts do not reach the mark: how far they would have to come up, down below zero, more than they can.
	Short []CornerLength `json:"short,omitempty"`
	// By how much higher another set height would serve, lower below zero; none where none does.
	SetHeightBy *Quantity `json:"set_height_by,omitempty"`
	// What has to be packed under a foot, more than is there, for tops that stand higher than the mark by "raise".
	Packing []CornerLength `json:"packing,omitempty"`
	// By how much the tops then stand above the mark.
	Raise *Quantity `json:"raise,omitempty"`
	// All of it in words, with what to do then.
	Text string `json:"text"`
}

// Corner is a corner of a cabinet.
type Corner struct {
	// Tag of the cabinet.
	Unit string `json:"unit"`
	// Which of its corners.
	Corner string `json:"corner" jsonschema:"enum=FL,enum=FR,enum=BL,enum=BR"`
}

// Turn is how far a leveler is turned.
type Turn struct {
	// Tag of the cabinet.
	Unit string `json:"unit"`
	// Which of its corners.
	Corner string `json:"corner" jsonschema:"enum=FL,enum=FR,enum=BL,enum=BR"`
	// Eighths of a turn, above zero where the corner comes up; none where no threads are planned.
	Eighths int `json:"eighths,omitempty"`
	// How far the corner comes up, below zero where it comes down, to the nearest nanometre.
	Rise Quantity `json:"rise"`
}

// CornerLength is a length at a corner of a cabinet.
type CornerLength struct {
	// Tag of the cabinet.
	Unit string `json:"unit"`
	// Which of its corners.
	Corner string `json:"corner" jsonschema:"enum=FL,enum=FR,enum=BL,enum=BR"`
	// The length, up above zero.
	By Quantity `json:"by"`
}

func turnLists(of []checks.TurnList, sys length.System) (all []TurnList) {
	for i := range of {
		all = append(all, turnList(&of[i], sys))
	}
	return all
}

func turnList(l *checks.TurnList, sys length.System) TurnList {
	out := TurnList{
		Of: l.Of.String(), Elevation: l.Elevation, Bolts: l.Bolts, Fewest: l.Fewest, AtLeast: l.AtLeast,
		Loosen: l.Loosen, Text: say.Writer{Lengths: sys}.Text(l.Text(sys)),
	}
	at := func(c checks.CornerName, by length.Length) CornerLength {
		return CornerLength{c.Unit, c.Key, *quantity(checks.LengthOf(by), sys)}
	}
	for _, t := range l.Turns {
		out.Turns = append(out.Turns, Turn{t.Unit, t.Key, t.Eighths, *quantity(checks.LengthOf(t.Rise), sys)})
	}
	for _, s := range l.Stays {
		out.Stays = append(out.Stays, at(s.CornerName, s.Off))
	}
	for _, c := range l.NotBearing {
		out.NotBearing = append(out.NotBearing, Corner{c.Unit, c.Key})
	}
	for _, s := range l.Short {
		out.Short = append(out.Short, at(s.CornerName, s.By))
	}
	for _, p := range l.Packing {
		out.Packing = append(out.Packing, at(p.CornerName, p.More))
	}
	if by, ok := l.Move(); ok {
		out.SetHeightBy = quantity(checks.LengthOf(by), sys)
	}
	if l.Raise > 0 {
		out.Raise = quantity(checks.LengthOf(l.Raise), sys)
	}
	return out
}
