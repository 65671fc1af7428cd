package drawing

import (
	"math/rand/v2"
	"strings"
	"testing"

	"setline.example/checks/say"
	"setline.example/schema/chance"
	"setline.example/schema/length"
)

// Whatever is recorded, drawings stay clear, finite and well-formed.
func TestRandom(t *testing.T) {
	long(t)
	r := chance.Source(t)
	for range 60 {
		e := randomElevation(r)
		width := []float64{144, 250, 468, 540, 900}[r.IntN(5)]
		sys := []length.System{length.InchSystem, length.Metric}[r.IntN(2)]
		ds := Front(e, sys, width)
		if d, ok := FloorProfile(e, sys, width); ok {
			ds = append(ds, d)
		}
		var cs []Change
		for _, u := range e.Units {
			for _, c := range []string{"front-left", "front-right", "back-left", "back-right"}[r.IntN(4):] {
				cs = append(cs, Change{u.Tag, c, c, u.X, any64th(r, 64) - length.Inch/2, any64th(r, 8)})
			}
		}
		if d, ok := Movement(e, cs, sys, width); ok {
			ds = append(ds, d)
		}
		if d, ok := OneHeight(randomHeights(r), say.Writer{Lengths: sys}, width); ok {
			ds = append(ds, d)
		}
		if d, ok := Cuts(say.That("cut"), randomPanels(r), say.Writer{Lengths: sys}, width, 120); ok {
			ds = append(ds, d)
		}
		if d, ok := Tops(randomTop(r, e), sys, width); ok {
			ds = append(ds, d)
		}
		ds = append(ds, Settings(e, randomSetting(r, e), sys, width)...)
		for _, d := range ds {
			checkClear(t, d)
			checkSVG(t, d.SVG())
		}
		if t.Failed() {
			t.Fatalf("width %v, system %s, elevation %+v", width, sys, e)
		}
	}
}

func any64th(r *rand.Rand, below int) length.Length {
	return length.Length(r.IntN(below)) * length.Inch / 64
}

func randomElevation(r *rand.Rand) Elevation {
	var widths []float64
	for range 1 + r.IntN(40) {
		widths = append(widths, []float64{0.5, 2, 3, 9, 12, 18, 24, 36, 48}[r.IntN(9)])
	}
	e := row(widths...)
	if r.IntN(4) > 0 {
		e = surveyed(e)
		e.HighAt, e.HighLine = any64th(r, 64*100), []string{"front", "back"}[r.IntN(2)]
	}
	for i := range e.Units {
		e.Units[i].Tag = strings.Repeat([]string{"W", "i", "A1-", "Ж", "木"}[r.IntN(5)], r.IntN(14))
		e.Units[i].Height = []length.Length{0, inches(28), inches(34.5), inches(84)}[r.IntN(4)]
	}
	for i := range r.IntN(30) {
		f := Fault{r.IntN(2000) + i, any64th(r, 64*300),
			[]FaultPlace{AtTop, AtFront, AtFoot, AtJoint}[r.IntN(4)], []string{"fail", "not observed", "undecided"}[r.IntN(3)], false}
		f.Fails = f.Word == "fail"
		e.Faults = append(e.Faults, f)
	}
	return e
}

// randomSetting is any setting of the cabinets of an elevation.
func randomSetting(r *rand.Rand, e Elevation) (s Setting) {
	s.Height, s.How, s.Legend = say.That("Tops at %[1]s", any64th(r, 900)), say.That("down from the line"), say.That("Large: turns.")
	if r.IntN(2) == 0 {
		s.Stop = say.That("STOP: %[1]s", say.Name(strings.Repeat("floor within travel, ", 1+r.IntN(6))))
	}
	for _, u := range e.Units {
		if u.Filler {
			continue
		}
		stand := Stand{Tag: u.Tag}
		for i := range stand.Feet {
			f := Foot{Left: say.That("%[1]s left", any64th(r, 200)), Low: r.IntN(3) == 0, Says: say.That("all of it")}
			f.Figure = []say.Text{
				say.That("%[1]s", r.IntN(200)), say.That("%[1]s %[2]s/8", r.IntN(200), 1+r.IntN(7)), say.That("%[1]s/64", r.IntN(63)), say.That("%[1]s", any64th(r, 300)),
			}[r.IntN(4)]
			if r.IntN(8) == 0 {
				f.Figure, f.Wrong = say.That("STOP"), say.That("too low: pack %[1]s", any64th(r, 300))
			}
			stand.Feet[i] = f
		}
		s.Stands = append(s.Stands, stand)
	}
	return s
}

func randomHeights(r *rand.Rand) Heights {
	h := Heights{Room: "R", Reference: strings.Repeat("L", r.IntN(90)), Highest: any64th(r, 900), Serves: r.IntN(2) == 0}
	h.Lowest = h.Highest + any64th(r, 60)
	for range 1 + r.IntN(12) {
		row := Height{Name: strings.Repeat([]string{"A", "木", "wall "}[r.IntN(3)], 1+r.IntN(20)), HasDrawn: r.IntN(2) == 0, Drawn: any64th(r, 900)}
		row.Highest, row.Lowest = any64th(r, 900), any64th(r, 900)
		if h.Serves {
			row.Highest, row.Lowest = h.Highest-any64th(r, 60), h.Lowest+any64th(r, 60)
		}
		h.Rows = append(h.Rows, row)
	}
	return h
}

func randomPanels(r *rand.Rand) (all []Panel) {
	for range r.IntN(3) {
		p := Panel{Tag: strings.Repeat("F", 1+r.IntN(30)), Right: r.IntN(2) == 0, Comes: any64th(r, 400), Height: any64th(r, 3000), ToTop: any64th(r, 3000)}
		for i := range 3 {
			p.Width[i], p.U[i], p.Known[i] = any64th(r, 400), any64th(r, 10), r.IntN(2) == 0
			p.Left[i] = p.Comes - p.Width[i]
		}
		all = append(all, p)
	}
	return all
}

// randomTop lays one or two tops on the units of an elevation.
func randomTop(r *rand.Rand, e Elevation) Top {
	t := Top{Elevation: e}
	end := length.Length(0)
	for i := range t.Units {
		u := &t.Units[i]
		u.Depth = length.Length(12+r.IntN(20)) * length.Inch
		end = u.X + u.Width
		for k := range 4 {
			m := Mark{X: u.X, Tag: u.Tag, Number: 4*i + k + 1, Carries: r.IntN(3) == 0, Words: u.Tag + " front-left"}
			if k%2 == 1 {
				m.X += u.Width
			}
			if k < 2 {
				m.Y = u.Depth
			}
			switch {
			case m.Carries:
			case r.IntN(2) == 0:
				m.Put = any64th(r, 5)
			default:
				m.Raise = any64th(r, 100)
			}
			t.Marks = append(t.Marks, m)
		}
	}
	cut := any64th(r, 64*200)
	t.Pieces = []Piece{{-any64th(r, 64*3), cut, 0, 25 * length.Inch}, {cut, end + any64th(r, 64*3), any64th(r, 64*4), 23 * length.Inch}}
	t.X, t.Y = end/2, 12*length.Inch
	return t
}
