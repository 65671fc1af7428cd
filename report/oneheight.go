package report

import (
	"fmt"

	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/report/drawing"
)

// OneHeightView is whether one set height serves the elevations of a room.
type OneHeightView struct {
	Room     Text
	Drawings []DrawingView
	Says     []Text
	Short    []Text // whether one does, and no more
}

// oneHeight makes the view of a room's heights, nil where there is nothing to
// say. The pictures are added to those the document shows.
func (b *viewer) oneHeight(o *checks.OneHeight) *OneHeightView {
	if o == nil {
		return nil
	}
	v := &OneHeightView{Room: Text(o.Room)}
	for i := range o.Lines {
		l := &o.Lines[i]
		if d, ok := drawing.OneHeight(b.heights(o.Room, l), b.words, drawingWidth); ok {
			b.compared++
			name := fmt.Sprintf("heights-%d", b.compared)
			b.pictures[name] = picture{d}
			v.Drawings = append(v.Drawings, DrawingView{Name: name, Alt: Text(d.Alt)})
		}
		for n, t := range l.Words(b.sys) {
			v.Says = append(v.Says, b.text(t)+".")
			if n == 0 {
				v.Short = append(v.Short, b.text(t)+".")
			}
		}
		for k := range l.Elevations {
			v.Says = append(v.Says, b.text(l.Elevations[k].Words())+".")
		}
	}
	if apart := b.text(o.ApartWords()); apart != "" {
		v.Says = append(v.Says, apart+".")
		v.Short = append(v.Short, b.text(say.That("not all compared, since not all floors were read from one reference line on one visit (annex).")))
	}
	return v
}

// heights are the heights of one reference line as there is to draw.
func (b *viewer) heights(room string, l *checks.LineHeight) drawing.Heights {
	h := drawing.Heights{
		Room: room, Reference: l.Reference,
		Highest: l.Common.Highest, Lowest: l.Common.Lowest, Serves: l.Serves(),
	}
	for _, e := range l.Elevations {
		h.Rows = append(h.Rows, drawing.Height{
			Name: e.Elevation, Highest: e.Own.Highest, Lowest: e.Own.Lowest, Drawn: e.Drawn, HasDrawn: e.HasDrawn,
		})
	}
	return h
}

// noOneHeight is the view of a room that no one height serves, for who has to
// know why it has several; nil for others.
func (b *viewer) noOneHeight(layouts []checks.Layout) *OneHeightView {
	if len(layouts) == 0 || layouts[0].OneHeight == nil {
		return nil
	}
	o := checks.OneHeight{Room: layouts[0].Room}
	for _, l := range layouts[0].OneHeight.Lines {
		if !l.Serves() {
			o.Lines = append(o.Lines, l)
		}
	}
	if len(o.Lines) == 0 {
		return nil
	}
	return b.oneHeight(&o)
}
