package report

import (
	"fmt"

	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/report/drawing"
	"setline.example/report/pdf"
	"setline.example/schema/length"
)

// CutsView is how the fillers of an elevation are cut.
type CutsView struct {
	Title    Text
	Drawings []DrawingView
	Says     []Text
}

// How high panels are drawn, in points: among others, and on a page of their own.
const (
	cutAmongOthers = 70
	cutAlone       = 300
)

// cuts makes the views of the fillers of an elevation: of all of them together,
// or of each alone.
func (b *viewer) cuts(c *checks.Cuts, alone bool) (views []CutsView) {
	if c == nil {
		return nil
	}
	if !alone || len(c.Fillers) == 0 {
		return []CutsView{b.cutsOf(c, c.Fillers, cutAmongOthers)}
	}
	for i := range c.Fillers {
		views = append(views, b.cutsOf(c, c.Fillers[i:i+1], cutAlone))
	}
	return views
}

func (b *viewer) cutsOf(c *checks.Cuts, fillers []checks.FillerCut, high float64) CutsView {
	title := say.That("%[1]s, elevation %[2]s: cut of the fillers", say.Name(c.Room), say.Name(c.Elevation))
	if len(fillers) == 1 {
		title = say.That("%[1]s, elevation %[2]s: cut of filler %[3]s", say.Name(c.Room), say.Name(c.Elevation), say.Name(fillers[0].Tag))
	}
	v := CutsView{Title: b.text(title)}
	var panels []drawing.Panel
	for i := range fillers {
		f := &fillers[i]
		if f.Problem.Empty() {
			panels = append(panels, b.panel(f))
		}
		for _, t := range f.Words() {
			v.Says = append(v.Says, b.text(t)+".")
		}
	}
	for _, t := range c.Says {
		v.Says = append(v.Says, b.text(t)+".")
	}
	if d, ok := drawing.Cuts(title, panels, b.words, drawingWidth, high); ok {
		b.drawnCuts++
		name := fmt.Sprintf("cut-%d", b.drawnCuts)
		b.pictures[name] = picture{d}
		v.Drawings = append(v.Drawings, DrawingView{Name: name, Alt: Text(d.Alt)})
	}
	return v
}

func (b *viewer) panel(f *checks.FillerCut) drawing.Panel {
	p := drawing.Panel{
		Tag: f.Tag, Right: f.Right, Comes: f.Comes, Height: f.Height, Left: f.Left, ToTop: f.ToTop, ToFoot: f.ToFoot,
	}
	for i, w := range f.Width {
		p.Width[i], p.U[i], p.Known[i] = w.Length, w.U, w.Known
	}
	return p
}

// CutsDocument is everything that the pages of the cuts show, and nothing else.
type CutsDocument struct {
	Project, Number Text
	Rows            []CutRow // the fillers that can be cut, in short
	Cuts            []CutsView
	Ready           bool // every filler can be cut
}

// CutRow is the cut of one filler, in short.
type CutRow struct{ Filler, Where, Comes, Floor, Middle, Top, ToTop, ToFoot Text }

func (b *viewer) cutRow(c *checks.Cuts, f *checks.FillerCut) CutRow {
	write := func(l length.Length) Text { return b.text(say.That("%[1]s", l)) }
	where := say.That("%[1]s, elevation %[2]s, left", say.Name(c.Room), say.Name(c.Elevation))
	if f.Right {
		where = say.That("%[1]s, elevation %[2]s, right", say.Name(c.Room), say.Name(c.Elevation))
	}
	return CutRow{
		Text(f.Tag), b.text(where), write(f.Comes), write(f.Width[0].Length), write(f.Width[1].Length), write(f.Width[2].Length),
		write(f.ToTop), write(f.ToFoot),
	}
}

// NewCutsView makes the views of the fillers of the elevations that keep wants,
// nil for all, one by one.
func NewCutsView(found *checks.Findings, keep func(room, elevation string) bool) CutsDocument {
	v, _ := newCutsView(found, keep)
	return v
}

func newCutsView(found *checks.Findings, keep func(room, elevation string) bool) (CutsDocument, map[string]pdf.Picture) {
	b := newViewer(found, nil)
	v := CutsDocument{Project: Text(b.rec.Planned.Project.Name), Number: Text(b.rec.Planned.Project.Number), Ready: true}
	for _, l := range checks.Layouts(b.rec, found) {
		if l.Cuts != nil && (keep == nil || keep(l.Room, l.Elevation)) {
			v.Ready = v.Ready && l.Cuts.Ready()
			v.Cuts = append(v.Cuts, b.cuts(l.Cuts, true)...)
			for i := range l.Cuts.Fillers {
				if f := &l.Cuts.Fillers[i]; f.Problem.Empty() {
					v.Rows = append(v.Rows, b.cutRow(l.Cuts, f))
				}
			}
		}
	}
	return v, b.pictures
}

// cutPage begins a page for each filler.
const cutPage = "fixed/cut.md"

// NewCuts makes the pages of the cuts: all in short with the cautions, then one
// for each filler.
func NewCuts(found *checks.Findings, record []byte, o Options, keep func(room, elevation string) bool) (*Report, error) {
	v, pictures := newCutsView(found, keep)
	r := &Report{
		ready: v.Ready, pictures: pictures, record: record, options: o,
		title: "Cut of the fillers: " + string(v.Project), subject: "Cut of the fillers",
		running: "Cut of the fillers", project: string(v.Project),
	}
	parts := []part{{"fixed/cuts.md", v}, cautions}
	for _, c := range v.Cuts {
		parts = append(parts, part{cutPage, c})
	}
	return r, r.assemble("", nil, parts)
}
