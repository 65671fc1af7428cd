package drawing

import (
	"setline.example/checks/say"
	"setline.example/report/pdf"
	"setline.example/schema/length"
)

// Panel is a filler to be cut to a wall, seen from the front. Widths are at the
// floor, half way up and at the tops, from the straight edge.
type Panel struct {
	Tag    string
	Right  bool          // it stands at the right end and is cut on its right edge
	Comes  length.Length // its width as it comes
	Height length.Length
	Width  [3]length.Length
	U      [3]length.Length // the uncertainty of each, where Known
	Known  [3]bool
	Left   [3]length.Length
	ToTop  length.Length // diagonal from the foot of the straight edge, A, to the top of the cut one, C
	ToFoot length.Length // diagonal from the top of the straight edge, B, to the foot of the cut one, D
}

// What a drawing of panels keeps to, in points.
const (
	panelText = handWords
	panelWide = 0.34 // of its room, the panel as it comes
	leastSide = 70   // beside it, for its widths
)

// Cuts draws panels side by side, so high: as they come with dashes, what stays
// with whole lines, both diagonals thin, and at three heights the width and what
// is cut off. Widths are drawn wider than to scale. ok is false for no panel.
func Cuts(title say.Text, panels []Panel, w say.Writer, width, high float64) (d Drawing, ok bool) {
	if len(panels) == 0 {
		return Drawing{}, false
	}
	c := cuts{high: high}
	c.w, c.say = usableWidth(width), w
	c.text(4, 10, pdf.Left, 9, true, fit(w.Text(title), 9, true, c.w-8))
	says := say.That("seen from the front, widths drawn wider than to scale; dashed: as it comes, grey: cut off; A and B on the straight edge, C and D on the cut")
	y := c.paragraph(4, 14, c.w-8, handWords, w.Text(says))
	alt := w.Text(say.That("%[1]s. %[2]s.", title, says))
	room := c.w / float64(len(panels))
	bottom := y
	for i, p := range panels {
		if room < 2*leastSide+40 { // too narrow for two beside each other
			bottom = c.panel(p, 0, c.w, bottom)
		} else {
			bottom = max(bottom, c.panel(p, float64(room*float64(i)), room, y))
		}
		alt += " " + w.Text(p.words())
	}
	return c.drawing(bottom+3, w.Text(title), alt), true
}

type cuts struct {
	sheet
	high float64
}

func (p Panel) words() say.Text {
	return say.That("%[1]s: %[2]s wide at the floor, %[3]s half way up, %[4]s at the tops, of %[5]s; A to C %[6]s, B to D %[7]s.",
		say.Name(clean(p.Tag)), p.Width[0], p.Width[1], p.Width[2], p.Comes, p.ToTop, p.ToFoot)
}

// panel draws one in a column from left, and returns the y below it.
func (c *cuts) panel(p Panel, left, room, y float64) float64 {
	top, foot := y+22, y+22+c.high
	wide := min(float64(panelWide*room), room-2*leastSide)
	most := max(p.Comes, p.Width[0], p.Width[1], p.Width[2], 1).Inches()
	// From the straight edge towards the wall.
	straight, way := left+room/2-wide/2, 1.0
	if !p.Right {
		straight, way = left+room/2+wide/2, -1
	}
	at := func(w length.Length) float64 {
		return straight + float64(way*wide*max(w.Inches(), 0)/most)
	}
	heights := [3]float64{foot, (top + foot) / 2, top}
	edge := make([]pdf.Point, 3)
	for i := range edge {
		edge[i] = pt(at(p.Width[i]), heights[i])
	}
	comes := at(p.Comes)
	c.area(Pale, None, 0, append(edge[:3:3], pt(comes, top), pt(comes, foot))...)
	c.line(0.6, Dark, 3, pt(straight, top), pt(comes, top), pt(comes, foot), pt(straight, foot))
	c.line(0.4, Grey, 1.5, pt(straight, foot), edge[2])
	c.line(0.4, Grey, 1.5, pt(straight, top), edge[0])
	c.line(1.6, Black, 0, edge...)
	c.line(1, Black, 0, edge[0], pt(straight, foot), pt(straight, top), edge[2])
	c.labels(p, straight, straight+float64(way*wide), way, heights, room)
	c.corners(p, straight, edge, way, left, room)
	c.text(left+room/2, top-12, pdf.Center, 8, true, fit(p.Tag, 8, true, room-8))
	y = foot + 20
	for _, t := range []say.Text{say.That("A to C %[1]s", p.ToTop), say.That("B to D %[1]s", p.ToFoot)} {
		c.text(left+room/2, y, pdf.Center, panelText, true, fit(c.say.Text(t), panelText, true, room-8))
		y += 10
	}
	return y
}

// labels writes the width beside the straight edge, and what is cut off beside
// the other, at each height.
func (c *cuts) labels(p Panel, straight, outer, way float64, heights [3]float64, room float64) {
	side := (room-float64(panelWide*room))/2 - 16
	in, out := pdf.Right, pdf.Left
	if way < 0 {
		in, out = out, in
	}
	for i, y := range heights {
		c.line(0.4, Dark, 0, pt(straight-float64(way*4), y), pt(straight-float64(way*9), y))
		c.text(straight-float64(way*11), y+1, in, panelText, true, fit(c.say.Text(size(p.Width[i])), panelText, true, side))
		if p.Known[i] {
			c.small(straight-float64(way*11), y+9.5, in, false, say.That("± %[1]s", say.Decimal(p.U[i])), side)
		}
		off := say.That("off %[1]s", p.Left[i])
		if p.Left[i] < 0 {
			off = say.That("short by %[1]s", p.Left[i].Abs())
		}
		c.small(outer+float64(way*9), y+2, out, false, off, side)
	}
}

// corners names the ends of the diagonals, beyond the panel's foot and top.
func (c *cuts) corners(p Panel, straight float64, edge []pdf.Point, way, left, room float64) {
	cut := func(x float64) float64 { // clear of the letter on the straight edge
		if way > 0 {
			return max(x, straight+8)
		}
		return min(x, straight-8)
	}
	for _, l := range []struct {
		letter say.Words
		x, y   float64
	}{
		{"A", straight, edge[0].Y + 9}, {"D", cut(edge[0].X), edge[0].Y + 9},
		{"B", straight, edge[2].Y - 3}, {"C", cut(edge[2].X), edge[2].Y - 3},
	} {
		c.text(min(max(l.x, left+4), left+room-4), l.y, pdf.Center, panelText, true, c.say.Words(l.letter))
	}
}
