package report

import (
	"slices"

	"setline.example/checks"
	"setline.example/checks/say"
)

// TurnsView is what to turn in one run.
type TurnsView struct {
	Of      Text // "run A1 to A3"
	First   Text // what comes before anything is turned, "" for nothing
	HowMany Text // how many bolts of how many
	Turns   []TurnView
	Notes   []Text // what else there is to know, and what to do then
	Instead Text   // what to do where turning does not serve or is not known yet
	said    Text
}

// Said is all of it in sentences.
func (v TurnsView) Said() Text { return v.said }

// TurnView is how far one leveler is turned.
type TurnView struct{ Cabinet, Corner, Way, Turns, Say Text }

// turnsOf are the lists of one elevation.
func (b *viewer) turnsOf(found *checks.Findings, room, elevation string) (all []TurnsView) {
	for i := range found.Rooms {
		for n := range found.Rooms[i].Turns {
			if l := &found.Rooms[i].Turns[n]; l.Room == room && l.Elevation == elevation {
				all = append(all, b.turns(l))
			}
		}
	}
	return all
}

func (b *viewer) turns(l *checks.TurnList) TurnsView {
	write := func(t say.Text) Text { return Text(b.words.Text(t)) }
	v := TurnsView{Of: write(l.Of.ItemWords()), said: write(l.Text(b.sys))}
	if l.Nothing() {
		v.Instead = v.said
		return v
	}
	v.First, v.HowMany = write(l.First()), write(l.HowMany())
	for _, t := range l.Turns {
		way := say.Words("up")
		if t.Rise < 0 {
			way = "down"
		}
		v.Turns = append(v.Turns, TurnView{
			Text(t.Unit), Text(b.words.Words(t.Place)), Text(b.words.Words(way)), write(t.HowFar()), write(t.Text()),
		})
	}
	for _, n := range l.Notes() {
		v.Notes = append(v.Notes, write(n))
	}
	return v
}

// Turning reports whether there is anything to turn, or to do before it can be told.
func (v *LayoutView) Turning() bool {
	return slices.ContainsFunc(v.Elevations, func(e LayoutElevation) bool { return len(e.Turns) > 0 })
}

// Read reports whether any top was read in the elevations that are shown.
func (v *LayoutView) Read() bool {
	return slices.ContainsFunc(v.Elevations, func(e LayoutElevation) bool { return e.begun })
}
