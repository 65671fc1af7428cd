package drawing

import (
	"setline.example/checks/say"
	"setline.example/report/pdf"
	"setline.example/schema/length"
)

// Turned is a leveler that is to be turned.
type Turned struct {
	Tag, Key string   // "A3", "FL"
	Up       bool     // else down
	By       say.Text // how far: "1 1/4"
	Says     say.Text // all of it: "A3 front-left up 1 1/4"
}

// What a drawing of turns keeps to, in points.
const (
	planWidth  = 86 // of a cabinet
	planHeight = 50
	planGap    = 8
	turnFigure = 10 // size
	noteSize   = 8
	turnArrow  = 3.2
)

// Turning draws the cabinets that are touched in plan, back above front, as the
// one with the wrench stands before them: at each corner that is turned an arrow
// and how far, in large figures; a dot at one that stays. It is not to scale.
// Notes stand over them. ok is false where nothing is turned.
func Turning(e Elevation, turns []Turned, notes say.Text, sys length.System, width float64) (d Drawing, ok bool) {
	if len(turns) == 0 {
		return Drawing{}, false
	}
	t := turning{Elevation: e}
	t.w, t.say = usableWidth(width), e.writer(sys)
	return t.draw(turns, t.say.Text(notes)), true
}

type turning struct {
	Elevation
	sheet
}

func (t *turning) draw(turns []Turned, notes string) Drawing {
	title := t.title("what to turn")
	y := 2.0
	if !t.Sketch {
		t.text(4, 10, pdf.Left, 9, true, t.heading(t.say, "what to turn", t.w-8))
		y = 14
	}
	says := say.That("cabinets in plan, back above front, not to scale; figures are turns of the bolt from where it stands, an arrow up lifts the corner, a dot stays; cabinets that are not drawn stay")
	y = t.paragraph(4, y, t.w-8, noteSize, notes)
	y = t.paragraph(4, y, t.w-8, noteSize, t.say.Text(says)) + 4
	across := max(int((t.w-8+planGap)/(planWidth+planGap)), 1)
	alt := clean(t.say.Text(say.That("%[1]s. %[2]s.", title, says)) + " " + notes)
	n := 0
	for rest := turns; len(rest) > 0; n++ {
		k := 1
		for k < len(rest) && rest[k].Tag == rest[0].Tag {
			k++
		}
		left := 4 + float64(float64(n%across)*(planWidth+planGap))
		t.cabinet(left, y+float64(float64(n/across)*(planHeight+planGap)), rest[:k])
		for _, one := range rest[:k] {
			alt += " " + t.say.Text(say.That("%[1]s.", one.Says))
		}
		rest = rest[k:]
	}
	rows := (n + across - 1) / across
	return t.drawing(y+float64(float64(rows)*(planHeight+planGap)), t.say.Text(title), alt)
}

// cabinet draws one cabinet in plan.
func (t *turning) cabinet(left, top float64, turns []Turned) {
	right, bottom := left+planWidth, top+planHeight
	t.area(White, Black, 0.8, box(left, top, right, bottom)...)
	t.line(2, Black, 0, pt(left, bottom), pt(right, bottom)) // its front
	t.text(left+planWidth/2, top+planHeight/2+2.8, pdf.Center, greatestTag, false, fit(turns[0].Tag, greatestTag, false, planWidth-6))
	for _, key := range []string{"BL", "BR", "FL", "FR"} {
		x, y, align, way := left+8, top+9, pdf.Left, 1.0
		if key[1] == 'R' {
			x, align, way = right-8, pdf.Right, -1.0
		}
		if key[0] == 'F' {
			y = bottom - 9
		}
		if !t.corner(x, y, align, way, key, turns) {
			t.dot(x, y, 1.3, Grey, None)
		}
	}
}

// corner draws how a corner is turned, and reports whether it is.
func (t *turning) corner(x, y float64, align pdf.Align, way float64, key string, turns []Turned) bool {
	for _, one := range turns {
		if one.Key != key {
			continue
		}
		tip, base := y-turnArrow, y+turnArrow
		if !one.Up {
			tip, base = base, tip
		}
		t.area(Black, None, 0, pt(x, tip), pt(x-turnArrow, base), pt(x+turnArrow, base))
		room := float64(planWidth)/2 - 14
		text, size := t.say.Text(one.By), float64(turnFigure)
		size = max(noteSize, min(size, size*room/max(textWidth(text, size, true), 1)))
		t.text(x+float64(way*(turnArrow+2)), y+float64(0.36*size), align, size, true, fit(text, size, true, room))
		return true
	}
	return false
}
