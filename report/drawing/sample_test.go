package drawing

import (
	"fmt"

	"setline.example/schema/length"
)

func inches(n float64) length.Length { return nearest(n) }

// row makes an elevation of units of these widths in inches. A width under 6 in
// is a filler.
func row(widths ...float64) Elevation {
	e := Elevation{Room: "Room 214", Name: "A", Left: "wall", Right: "exposed", BodyHeight: inches(34.5), TopThickness: inches(1.25)}
	x := 0.0
	for i, w := range widths {
		u := Unit{Tag: fmt.Sprintf("A%d", i+1), X: inches(x), Width: inches(w), Height: inches(34.5), Filler: w < 6}
		if !u.Filler {
			u.Rows = []Row{{Drawers: 1 + i%2, Height: inches(6)}, {Doors: 1 + i%2}}
			if i%3 == 2 {
				u.Rows = []Row{{Drawers: 1}, {Drawers: 1}, {Drawers: 1}, {Drawers: 1}}
			}
			u.Extension, u.HasExtension = [2]length.Length{inches(1.25 + float64(i%4)/16), inches(1.25 + float64(i%4+1)/16)}, true
		}
		e.Units = append(e.Units, u)
		x += w
	}
	e.Width = inches(x)
	return e
}

// surveyed adds a floor that falls by 3/8 in to the right.
func surveyed(e Elevation) Elevation {
	w := e.Width.Inches()
	for at := 0.0; ; at += 12 {
		at = min(at, w)
		wave := []float64{0, 1. / 16, -1. / 32}[int(at/12)%3]
		e.Front = append(e.Front, Reading{inches(at), inches(53) + length.Length(float64(length.Inch)*(0.375*at/w)) + inches(wave)})
		e.Back = append(e.Back, Reading{inches(at), inches(52.9375) + length.Length(float64(length.Inch)*(0.3125*at/w))})
		if at == w {
			break
		}
	}
	for i := range e.Front {
		e.Front[i].Down -= e.Front[i].Down % (length.Inch / 64)
		e.Back[i].Down -= e.Back[i].Down % (length.Inch / 64)
	}
	e.SetTop, e.HasSet = inches(52.9375-1.25-34.5), true
	e.HighAt, e.HighLine, e.HasHigh = 0, "back", true
	return e
}

// sample is an invented elevation with three faults.
func sample() Elevation {
	e := surveyed(row(3, 24, 30, 36, 24, 18, 2))
	e.Faults = []Fault{
		{1, inches(57), AtJoint, "fail", true},
		{2, inches(93), AtFoot, "fail", true},
		{3, inches(105), AtFront, "not observed", false},
	}
	return e
}

func sampleChanges() []Change {
	var cs []Change
	for i, u := range sample().Units {
		if u.Filler {
			continue
		}
		for j, c := range [][2]string{{"FL", "front-left"}, {"FR", "front-right"}, {"BL", "back-left"}, {"BR", "back-right"}} {
			x := u.X
			if j%2 == 1 {
				x += u.Width
			}
			cs = append(cs, Change{u.Tag, c[0], c[1], x, inches(float64((i*7+j*3)%9-4) / 64), inches(1. / 32)})
		}
	}
	return cs
}
