package report

import (
	"fmt"

	"setline.example/checks"
	"setline.example/checks/floor"
	"setline.example/checks/say"
	"setline.example/report/drawing"
	"setline.example/report/pdf"
	"setline.example/schema/length"
)

// drawingWidth is the width of a drawing in points; every paper is as wide.
const drawingWidth = 490

// DrawingView is a drawing, by the name under which Markdown shows it.
type DrawingView struct {
	Name    string
	Alt     Text // the drawing in words
	Caption Text // "" where the drawing says what it is
}

// picture is a drawing as a picture of a page.
type picture struct{ drawing.Drawing }

// Size implements [pdf.Picture].
func (p picture) Size() (w, h float64) { return p.Width, p.Height }

// whole is a drawing that stands where it is told, and of which the words may
// stand in its place.
type whole struct{ drawing.Drawing }

// Size implements [pdf.Picture].
func (p whole) Size() (w, h float64) { return p.Width, p.Height }

// Floats implements [pdf.Floating]: rows of the results may come first.
func (p picture) Floats() {}

// redrawn is a drawing that is made when it is shown, and was made before only
// to know how large it is and what it says: those of all rooms at once take more
// memory than their pages do.
type redrawn struct {
	picture // without its shapes
	make    func() drawing.Drawing
}

func redraw(d drawing.Drawing, again func() drawing.Drawing) redrawn {
	d.Shapes = nil
	return redrawn{picture{d}, again}
}

// Paint implements [pdf.Picture].
func (r redrawn) Paint(c *pdf.Canvas) { r.make().Paint(c) }

// SVG writes the drawing as a page in HTML has it.
func (r redrawn) SVG() []byte { return r.make().SVG() }

// abreastWidth is the width of a drawing that has another beside it, in points.
const abreastWidth = 238

// places draws an elevation from the front, with the numbers of the punch list at
// their places, width points wide.
func (b *viewer) places(l checks.Layout, n int, width float64, open []ResultView) (views []DrawingView) {
	e := b.elevation(l)
	e.Places = true
	for _, r := range open {
		if f, ok := faultAt(l, r); ok {
			e.Faults = append(e.Faults, f)
		}
	}
	caption := b.text(say.That("Elevation %[1]s", say.Name(l.Elevation)))
	sys := b.sys // what draws keeps nothing else of the viewer
	for i, draw := range drawing.Fronts(e, sys, width) {
		name, d := fmt.Sprintf("places-%d-%d", n, i+1), draw()
		b.pictures[name] = redraw(d, draw)
		views = append(views, DrawingView{name, Text(d.Alt), caption})
	}
	return views
}

// drawings draws an elevation from the front, and its
// floor, and how its tops moved where one moved beyond its uncertainty; else
// still says in a sentence that none did, "" where tops were not read twice.
// The pictures are added to those the document shows. n makes their names one
// of a kind.
func (b *viewer) drawings(l checks.Layout, n int, width float64, pictures map[string]pdf.Picture) (views []DrawingView, still Text) {
	e := b.elevation(l)
	e.Sketch = width < drawingWidth
	sys := b.sys // what draws keeps nothing else of the viewer
	var all []redrawn
	for _, draw := range drawing.Fronts(e, sys, width) {
		all = append(all, redraw(draw(), draw))
	}
	add := func(make func() (drawing.Drawing, bool)) {
		if d, ok := make(); ok {
			all = append(all, redraw(d, func() drawing.Drawing { d, _ := make(); return d }))
		}
	}
	add(func() (drawing.Drawing, bool) { return drawing.FloorProfile(e, sys, width) })
	changes := make([]drawing.Change, len(l.Changes))
	moved := false
	for i, c := range l.Changes {
		changes[i] = drawing.Change{Tag: c.Unit, Key: c.Corner, Corner: b.words.Words(c.Place), X: c.Along, Up: c.Up, U: c.U}
		moved = moved || c.Up.Abs() > c.U
	}
	if moved {
		add(func() (drawing.Drawing, bool) { return drawing.Movement(e, changes, sys, width) })
	} else {
		still = b.still(l.Changes)
	}
	views = make([]DrawingView, len(all))
	for i, d := range all {
		name := fmt.Sprintf("drawing-%d-%d", n, i+1)
		pictures[name] = d
		views[i] = DrawingView{Name: name, Alt: Text(d.Alt)}
		if e.Sketch {
			views[i].Caption = Text(d.Title)
		}
	}
	return views, still
}

// still says of tops that were read more than once that none of them moved
// beyond the uncertainty of its change.
func (b *viewer) still(changes []checks.LayoutChange) Text {
	if len(changes) == 0 {
		return ""
	}
	most := changes[0]
	for _, c := range changes {
		if c.Up.Abs() > most.Up.Abs() {
			most = c
		}
	}
	text := say.Count(len(changes), "Tops read again on a later visit: %[1]s corner; it has not moved beyond the uncertainty of that.",
		"Tops read again on a later visit: %[1]s corners; none has moved beyond the uncertainty of its change.")
	switch {
	case most.Up > 0:
		text = say.That("%[1]s Most: %[2]s %[3]s, up by %[4]s ± %[5]s.", text, say.Name(most.Unit), most.Place, most.Up, say.Decimal(most.U))
	case most.Up < 0:
		text = say.That("%[1]s Most: %[2]s %[3]s, down by %[4]s ± %[5]s.", text, say.Name(most.Unit), most.Place, -most.Up, say.Decimal(most.U))
	}
	return b.text(text)
}

// elevation turns a layout into what there is to draw.
func (b *viewer) elevation(l checks.Layout) drawing.Elevation {
	e := drawing.Elevation{
		Language: b.words.Language,
		Room:     l.Room, Name: l.Elevation, Width: l.Width, Left: l.Plan.Left, Right: l.Plan.Right,
		SetTop: l.SetTop, HasSet: l.Set,
		HighAt: l.High.At, HighLine: l.High.Line, HasHigh: l.High.Line != "",
		Front: floorReadings(l.Floor.Front), Back: floorReadings(l.Floor.Back),
	}
	if l.Plan.TopThickness != nil {
		e.TopThickness = *l.Plan.TopThickness
	}
	extension := map[string][2]length.Length{}
	known := map[string]int{}
	for _, c := range l.Corners {
		if !c.Known {
			continue
		}
		x := extension[c.Unit]
		switch c.Key {
		case "FL":
			x[0] = c.Extension
			known[c.Unit]++
		case "FR":
			x[1] = c.Extension
			known[c.Unit]++
		}
		extension[c.Unit] = x
	}
	for _, u := range l.Units {
		d := drawing.Unit{Tag: u.Tag, X: u.X, Width: u.Width, Height: u.Height, Filler: u.Cabinet == nil}
		if u.Cabinet != nil {
			e.BodyHeight = max(e.BodyHeight, u.Height)
			for _, row := range u.Cabinet.Front {
				r := drawing.Row{Drawers: row.Drawers, Doors: row.Doors, Panels: row.Panels}
				if row.Height != nil {
					r.Height = *row.Height
				}
				d.Rows = append(d.Rows, r)
			}
		}
		d.Extension, d.HasExtension = extension[u.Tag], known[u.Tag] == 2
		e.Units = append(e.Units, d)
	}
	return e
}

// FrontDrawings draws an elevation from the front as it is planned, width
// points wide: its units and no more.
func FrontDrawings(l checks.Layout, w say.Writer, width float64) []drawing.Drawing {
	e := (&viewer{words: w}).elevation(l)
	e.Places, e.TopThickness = true, 0
	return drawing.Front(e, w.Lengths, width)
}

func floorReadings(l floor.Line) []drawing.Reading {
	all := make([]drawing.Reading, len(l))
	for i, r := range l {
		all[i] = drawing.Reading{At: r.At, Down: r.Down}
	}
	return all
}

// faultAt places a numbered fault of the punch list on the drawing. What
// nobody observed has no number and is not drawn: the list names it.
func faultAt(l checks.Layout, r ResultView) (drawing.Fault, bool) {
	x, ok := l.Place(r.of.Subject)
	if r.number == 0 || !ok {
		return drawing.Fault{}, false
	}
	return drawing.Fault{
		Number: r.number, X: x, Y: faultPlaces[r.of.Rule.At],
		Word: string(r.Outcome), Fails: r.of.Outcome == checks.Fail,
	}, true
}

var faultPlaces = map[checks.DrawnAt]drawing.FaultPlace{
	checks.DrawnAtFront: drawing.AtFront, checks.DrawnAtTop: drawing.AtTop,
	checks.DrawnAtFoot: drawing.AtFoot, checks.DrawnAtJoint: drawing.AtJoint,
}
