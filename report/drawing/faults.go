package drawing

import (
	"strconv"

	"setline.example/report/pdf"
)

// Faults in points.
const (
	leastRadius = 6.6
	mostRadius  = 9.6 // a number of four digits
	faultRow    = 20
	faultWord   = handWords // size, of numbers too
	longestWord = 90
)

// shows reports whether a fault is on this part: the one it stands in, the
// left one where it is between two, the nearest where it is beyond the ends.
func (f *front) shows(x Fault) bool {
	return (f.i == 0 || x.X > f.part.from) && (f.i == len(f.parts)-1 || x.X <= f.part.to)
}

// faults makes the labels of the part's faults: those of feet stand below the
// floor, the others above the tops. Each label is a numbered circle and a word.
func (f *front) faults() (above, foot []*label) {
	for _, x := range f.Faults {
		if !f.shows(x) {
			continue
		}
		word := fit(x.Word, faultWord, false, longestWord)
		if word == "" {
			word = f.say.Words("not said")
		}
		number := strconv.Itoa(x.Number)
		r := min(max(textWidth(number, faultWord, len(number) < 3)/circleText, leastRadius), mostRadius)
		w := 2*r + 2 + textWidth(word, faultWord, false)
		at := min(max(f.x(x.X.Inches()), f.left()), f.right())
		tone := Dark
		if x.Fails {
			tone = Accent
		}
		l := &label{tone: tone, at: at + w/2 - r, width: w, target: func() pdf.Point { return pt(at, f.faultY(x.Y)) }}
		l.draw = func(left, mid float64) {
			l.circle = pt(left+r, mid)
			c := Shape{Kind: Circle, Points: []pdf.Point{l.circle}, Radius: r, Fill: White,
				Stroke: Black, LineWidth: 0.7, Dash: 1.5, Text: number, Size: faultWord, Align: pdf.Center, Bold: len(number) < 3}
			if x.Fails {
				c.Stroke, c.Dash, c.LineWidth = Accent, 0, 1.3
			}
			f.over = append(f.over, c)
			f.text(left+2*r+2, mid+2.9, pdf.Left, faultWord, false, word)
		}
		if x.Y == AtFoot {
			foot = append(foot, l)
		} else {
			above = append(above, l)
		}
	}
	return above, foot
}

func (f *front) faultY(at FaultPlace) float64 {
	switch at {
	case AtTop:
		return f.top
	case AtFoot:
		return f.y(f.body)
	case AtJoint:
		return f.top + float64(0.25*f.s*f.body)
	}
	return f.top + float64(0.75*f.s*f.body)
}

// leaders draws a line from every circle to its fault, with a dot at the fault.
func (f *front) leaders(ls []*label) {
	for _, l := range ls {
		if l.target == nil {
			continue
		}
		p := l.target()
		width := 0.4
		if l.tone == Accent {
			width = 0.8
		}
		f.line(width, l.tone, 0, l.circle, p)
		f.dot(p.X, p.Y, 1.4, Black, None)
	}
}
