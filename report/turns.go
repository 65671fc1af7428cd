package report

import (
	"fmt"
	"slices"

	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/report/drawing"
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

// turnsOf are the lists of one elevation, with what is to be turned drawn. The
// picture is added to those the document shows.
func (b *viewer) turnsOf(l checks.Layout, n int) (all []TurnsView, views []DrawingView) {
	for i := range l.Turns {
		all = append(all, b.turns(&l.Turns[i]))
	}
	if d, ok := turning(l, b.elevation(l), say.Text{}, b.words, drawingWidth); ok {
		name := fmt.Sprintf("turns-%d", n)
		b.pictures[name] = picture{d}
		views = append(views, DrawingView{Name: name, Alt: Text(d.Alt)})
	}
	return all, views
}

// TurnDrawing draws what to turn in an elevation, width points wide, as a
// sketch that says what comes first; ok is false where there is nothing.
func TurnDrawing(l checks.Layout, w say.Writer, width float64) (drawing.Drawing, bool) {
	e := (&viewer{words: w}).elevation(l)
	e.Sketch = true
	var notes []say.Text
	for i := range l.Turns {
		if list := &l.Turns[i]; !list.Nothing() {
			notes = append(notes, say.That("%[1]s: %[2]s", say.Sentence(list.Of.ItemWords()), say.Sentences(list.First(), list.HowMany())))
		}
	}
	return turning(l, e, say.That("%[1]s.", say.Sentences(notes...)), w, width)
}

func turning(l checks.Layout, e drawing.Elevation, notes say.Text, w say.Writer, width float64) (drawing.Drawing, bool) {
	var all []drawing.Turned
	for _, list := range l.Turns {
		for _, t := range list.Turns {
			all = append(all, drawing.Turned{Tag: t.Unit, Key: t.Key, Up: t.Rise > 0, By: t.HowFar(), Says: t.Text()})
		}
	}
	return drawing.Turning(e, all, notes, w.Lengths, width)
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
