package drawing

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"testing"

	"setline.example/checks/say"
	"setline.example/report/pdf"
	"setline.example/schema/chance"
	"setline.example/schema/length"
	"setline.example/schema/plaintext"
)

const inSystem = length.InchSystem

type testCase struct {
	name string
	e    Elevation
}

func cases() []testCase {
	repeat := func(w float64, n int) []float64 {
		ws := make([]float64, n)
		for i := range ws {
			ws[i] = w
		}
		return ws
	}
	dense := surveyed(row(repeat(9, 20)...))
	for i := range dense.Units {
		dense.Units[i].Tag = fmt.Sprintf("BASE-CABINET-%02d-DRAWERS", i)
	}
	tiny := row(2)
	long := surveyed(row(repeat(24, 60)...))
	mixed := row(3, 9, 2, 1, 1, 48, 1, 1, 9, 3)
	for i := range mixed.Units {
		mixed.Units[i].Tag = "W" + strings.Repeat("W", i)
	}
	many := sample()
	for i := range 12 {
		word := "fail"
		if i%3 == 0 {
			word = "not observed"
		}
		many.Faults = append(many.Faults, Fault{100 + i, inches(75), []FaultPlace{AtTop, AtFront, AtFoot, AtJoint}[i%4], word, word == "fail"})
	}
	feet := sample()
	for i := range 40 {
		feet.Faults = append(feet.Faults, Fault{1000 + i, inches(float64(i) * 4), AtFoot, "a word that nobody expected to be as long as this one", false})
	}
	names := sample()
	names.Room, names.Name = strings.Repeat("Preparation room ", 40), strings.Repeat("Ω", 500)
	names.Left, names.Right, names.HighLine = strings.Repeat("stair ", 60), strings.Repeat("x", 900), strings.Repeat("back", 99)
	hostile := sample()
	hostile.Room = "<script>alert(1)</script> & \"'"
	hostile.Units[1].Tag, hostile.Units[2].Tag = "]]><b>&amp;", "A\u202Eb\x00\xff\uFFFE"
	hostile.Faults[0].Word, hostile.Faults[0].Fails = "</text>\u2066", false
	beyond := sample()
	beyond.Faults = append(beyond.Faults, Fault{-7, inches(-500), AtFront, "", false}, Fault{8, inches(5000), "elsewhere", "fail", true})
	over := sample()
	for i := range over.Units {
		over.Units[i].X = inches(float64(i))
	}
	huge := sample()
	huge.Units[3].X, huge.Units[3].Width, huge.SetTop = math.MaxInt64-5, math.MaxInt64, math.MinInt64
	huge.Units[2].Extension[0], huge.Front[1].Down = math.MaxInt64, math.MaxInt64
	small := sample()
	for i := range small.Units {
		small.Units[i].X, small.Units[i].Width = length.Length(i), 1
	}
	small.Width = 0
	odd := sample()
	odd.BodyHeight, odd.HasHigh, odd.HasSet, odd.Front = 0, false, false, nil
	odd.Units[1].Rows = []Row{{Drawers: math.MaxInt, Doors: -3, Height: -5}, {Panels: 2, Height: math.MaxInt64}}
	low := sample()
	low.SetTop = inches(90) // the floor is above the tops
	high := sample()
	high.SetTop = inches(11)
	return []testCase{
		{"normal", sample()}, {"dense", dense}, {"tiny", tiny}, {"sixty units", long}, {"mixed", mixed},
		{"twelve faults on one cabinet", many}, {"forty faults at feet", feet}, {"long names", names},
		{"hostile", hostile}, {"faults beyond the ends", beyond}, {"units over each other", over},
		{"huge", huge}, {"small", small}, {"odd", odd}, {"floor above the tops", low}, {"reference line near", high},
		{"no units", Elevation{}}, {"no width", Elevation{Units: []Unit{{Tag: "A1"}, {Width: -5}}}},
		{"no floor", row(3, 24, 24)},
	}
}

type rect struct {
	l, t, r, b float64
	what       string
}

func checkClear(t *testing.T, d Drawing) {
	t.Helper()
	for _, w := range wrongs(d) {
		t.Errorf("%.40q: %s", d.Title, w)
	}
}

// wrongs finds text and numbered circles that overlap another or leave the
// drawing, and numbers that are not finite.
func wrongs(d Drawing) (found []string) {
	say := func(format string, args ...any) { found = append(found, fmt.Sprintf(format, args...)) }
	var all []rect
	const slack = 0.01
	for _, s := range d.Shapes {
		for _, p := range s.Points {
			if math.IsNaN(p.X+p.Y) || math.IsInf(p.X+p.Y, 0) {
				say("a point at %v", p)
			}
			if s.Kind != Text && (p.X < -slack || p.X > d.Width+slack || p.Y < -slack || p.Y > d.Height+slack) {
				say("a shape leaves the drawing of %.0f by %.0f at %v", d.Width, d.Height, p)
			}
		}
		l, top, r, b, ok := s.Box()
		if !ok {
			continue
		}
		if l < -slack || top < -slack || r > d.Width+slack || b > d.Height+slack {
			say("%q (%.1f,%.1f to %.1f,%.1f) leaves the drawing of %.0f by %.0f", s.Text, l, top, r, b, d.Width, d.Height)
		}
		if s.Kind == Text && s.Size < leastTag {
			say("%q is set at %.2f pt", s.Text, s.Size)
		}
		for _, o := range all {
			if l < o.r-slack && o.l < r-slack && top < o.b-slack && o.t < b-slack {
				say("%q overlaps %q", s.Text, o.what)
			}
		}
		all = append(all, rect{l, top, r, b, s.Text})
	}
	if len(all) == 0 {
		say("no text")
	}
	return found
}

// TestWordsCanBeRead: on a page's width no words of a usual elevation are smaller than
// 7.5 pt, whatever is drawn.
func TestWordsCanBeRead(t *testing.T) {
	e, r := sample(), chance.Source(t)
	in := say.Writer{Lengths: length.InchSystem}
	ds := append(Front(e, length.InchSystem, 468), Settings(e, randomSetting(r, e), length.InchSystem, 468)...)
	for _, draw := range []func() (Drawing, bool){
		func() (Drawing, bool) { return FloorProfile(e, length.InchSystem, 468) },
		func() (Drawing, bool) { return Movement(e, sampleChanges(), length.InchSystem, 468) },
		func() (Drawing, bool) { return OneHeight(randomHeights(r), in, 468) },
		func() (Drawing, bool) { return Cuts(say.That("cut"), randomPanels(r), in, 468, 120) },
		func() (Drawing, bool) { return Tops(randomTop(r, e), length.InchSystem, 468) },
	} {
		d, ok := draw()
		if !ok {
			t.Fatal("found no drawing")
		}
		ds = append(ds, d)
	}
	for _, d := range ds {
		for _, s := range d.Shapes {
			if s.Kind == Text && s.Size < 7.5 {
				t.Errorf("%.40q: found %q at %.1f pt, expected 7.5 or more", d.Title, s.Text, s.Size)
			}
		}
	}
}

func TestNothingOverlaps(t *testing.T) {
	long(t)
	for _, c := range cases() {
		t.Run(c.name, func(t *testing.T) {
			for _, sys := range []length.System{length.InchSystem, length.Metric} {
				for _, w := range []float64{468, 300, 100, 0, math.NaN(), 2000} {
					for _, d := range Front(c.e, sys, w) {
						checkClear(t, d)
					}
					if d, ok := FloorProfile(c.e, sys, w); ok {
						checkClear(t, d)
					}
					cs := sampleChanges()
					for i := range cs {
						cs[i].X, cs[i].Up = cs[i].X*9, cs[i].Up-7
						if u := c.e.Units; len(u) > 0 {
							cs[i].Tag = u[i/4%len(u)].Tag
						}
					}
					if d, ok := Movement(c.e, cs, sys, w); ok {
						checkClear(t, d)
					}
				}
			}
		})
	}
}

// The checker must be able to see each thing that it looks for.
func TestCheckerSees(t *testing.T) {
	text := func(x, y, size float64) Shape {
		return Shape{Kind: Text, Points: []pdf.Point{pt(x, y)}, Text: "A1", Size: size}
	}
	circle := Shape{Kind: Circle, Points: []pdf.Point{pt(50, 50)}, Radius: 5, Text: "1"}
	for _, c := range []struct {
		name   string
		shapes []Shape
		wrong  bool
	}{
		{"apart", []Shape{text(10, 20, 8), text(40, 20, 8), circle}, false},
		{"text on text", []Shape{text(10, 20, 8), text(18, 22, 8)}, true},
		{"text on a circle", []Shape{circle, text(52, 52, 6)}, true},
		{"beyond the right side", []Shape{text(95, 20, 8)}, true},
		{"above the top", []Shape{text(10, 2, 8)}, true},
		{"too small", []Shape{text(10, 20, 4)}, true},
		{"not a number", []Shape{text(10, 20, 8), {Kind: Line, Points: []pdf.Point{pt(1, math.NaN())}}}, true},
		{"a line beyond", []Shape{text(10, 20, 8), {Kind: Line, Points: []pdf.Point{pt(1, 1), pt(1, 101)}}}, true},
		{"nothing", nil, true},
	} {
		if got := wrongs(Drawing{Width: 100, Height: 100, Shapes: c.shapes}); len(got) > 0 != c.wrong {
			t.Errorf("%s: found %q", c.name, got)
		}
	}
}

// The boxes must be wide enough for the font that is embedded.
func TestTextWidth(t *testing.T) {
	var seen int
	onPages(t, Front(sample(), inSystem, 468), func(c *pdf.Canvas, _ Drawing) {
		for r := ' '; r <= '~'; r++ {
			for _, bold := range []bool{false, true} {
				s := "n" + string(r) + "n" // a space alone has no width on a canvas
				if got, want := textWidth(s, 10, bold), c.TextWidth(10, bold, s); got < want-1e-9 || got > want*1.25 {
					t.Errorf("%q (bold %v) is given %.2f; the font wants %.2f", s, bold, got, want)
				}
				seen++
			}
		}
		for _, s := range []string{"…", "≈ 1/64 in", "± 3 mm", "‹U+202E›"} {
			if got, want := textWidth(s, 10, false), c.TextWidth(10, false, s); got < want {
				t.Errorf("%q is given %.2f; the font wants %.2f", s, got, want)
			}
		}
	})
	if seen == 0 {
		t.Fatal("no canvas was seen")
	}
}

// Every unit's sides stand where the stated scale puts them.
func TestToScale(t *testing.T) {
	for _, c := range cases()[:6] {
		for _, d := range Front(c.e, inSystem, 468) {
			var scale float64
			for _, s := range d.Shapes {
				if i := strings.Index(s.Text, "scale 1:"); i >= 0 {
					fmt.Sscanf(s.Text[i:], "scale 1:%g", &scale)
				}
			}
			if scale == 0 {
				t.Fatalf("%s: no scale is said", c.name)
			}
			// Units are the only boxes stroked black and 0.7 wide.
			var xs [][2]float64
			for _, s := range d.Shapes {
				if s.Kind == Area && s.Stroke == Black && s.LineWidth == 0.7 && s.Fill == None {
					xs = append(xs, [2]float64{s.Points[0].X, s.Points[1].X})
					if h := (s.Points[2].Y - s.Points[1].Y) * scale / 72; math.Abs(h-34.5) > 1e-6 {
						t.Errorf("%s: a unit is %v in high", c.name, h)
					}
				}
			}
			first := unitAt(t, c.e, d, len(xs))
			for i, x := range xs {
				u := c.e.Units[first+i]
				if got := (x[1] - x[0]) * scale / 72; math.Abs(got-u.Width.Inches()) > 1e-9 {
					t.Errorf("%s: %s is %v in wide; want %v", c.name, u.Tag, got, u.Width.Inches())
				}
				if got, want := (x[0]-xs[0][0])*scale/72, (u.X - c.e.Units[first].X).Inches(); math.Abs(got-want) > 1e-9 {
					t.Errorf("%s: %s is %v in from the first; want %v", c.name, u.Tag, got, want)
				}
				if !u.Filler && x[1]-x[0] < 22-1e-9 {
					t.Errorf("%s: %s is %.1f pt wide", c.name, u.Tag, x[1]-x[0])
				}
			}
		}
	}
}

// unitAt finds the first unit of a part through its alternative text.
func unitAt(t *testing.T, e Elevation, d Drawing, n int) int {
	t.Helper()
	_, rest, _ := strings.Cut(d.Alt, "left to right: ")
	for i := range e.Units {
		if strings.HasPrefix(rest, clean(e.Units[i].Tag)+" (") {
			if i+n > len(e.Units) {
				t.Fatalf("%d units from %s", n, e.Units[i].Tag)
			}
			return i
		}
	}
	t.Fatalf("no unit in %q", d.Alt)
	return 0
}

func TestParts(t *testing.T) {
	c := cases()[3]
	ds := Front(c.e, inSystem, 468)
	if len(ds) < 2 {
		t.Fatalf("60 units of 24 in are drawn in %d parts", len(ds))
	}
	units := 0
	for i, d := range ds {
		if want := fmt.Sprintf("part %d of %d", i+1, len(ds)); !strings.Contains(d.Title, want) {
			t.Errorf("title %q; want %q in it", d.Title, want)
		}
		units += strings.Count(d.Alt, "(cabinet,")
	}
	if units != 60 {
		t.Errorf("the parts show %d units; want 60", units)
	}
	if n := len(Front(sample(), inSystem, 468)); n != 1 {
		t.Errorf("the sample is drawn in %d parts", n)
	}
}

// Every fault is in exactly one part, with its number and word.
func TestFaultsShown(t *testing.T) {
	for _, c := range cases() {
		if len(c.e.Units) == 0 {
			continue
		}
		found := map[string]int{}
		for _, d := range Front(c.e, inSystem, 468) {
			for _, s := range d.Shapes {
				if s.Kind == Circle {
					found[s.Text]++
				}
			}
		}
		for _, f := range c.e.Faults {
			if found[fmt.Sprint(f.Number)] != 1 {
				t.Errorf("%s: fault %d is drawn %d times", c.name, f.Number, found[fmt.Sprint(f.Number)])
			}
		}
	}
}

func TestSVG(t *testing.T) {
	long(t)
	for _, c := range cases() {
		t.Run(c.name, func(t *testing.T) {
			for _, d := range everyDrawing(c.e) {
				b := d.SVG()
				if !bytes.Equal(b, d.SVG()) {
					t.Fatal("two writes differ")
				}
				checkSVG(t, b)
			}
			a, b := everyDrawing(c.e), everyDrawing(c.e)
			for i := range a {
				if !bytes.Equal(a[i].SVG(), b[i].SVG()) {
					t.Error("two drawings of the same elevation differ")
				}
			}
		})
	}
}

// checkSVG reads the file as XML and holds that it has only elements that draw.
func checkSVG(t *testing.T, b []byte) {
	t.Helper()
	allowed := map[string]bool{"svg": true, "title": true, "desc": true, "rect": true, "g": true, "polyline": true, "polygon": true, "circle": true, "text": true}
	texts := map[string]string{}
	dec := xml.NewDecoder(bytes.NewReader(b))
	var at string
	for {
		tok, err := dec.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatalf("not well-formed: %v", err)
		}
		switch tok := tok.(type) {
		case xml.StartElement:
			at = tok.Name.Local
			if !allowed[at] {
				t.Errorf("element %q", at)
			}
			for _, a := range tok.Attr {
				if strings.HasPrefix(a.Name.Local, "on") || strings.Contains(a.Name.Local, "href") {
					t.Errorf("attribute %q", a.Name.Local)
				}
			}
		case xml.CharData:
			texts[at] += string(tok)
			for _, r := range string(tok) {
				if plaintext.Invisible(r) && r != '\n' {
					t.Errorf("%U in the text of %s", r, at)
				}
			}
		}
	}
	for _, name := range []string{"title", "desc", "text"} {
		if strings.TrimSpace(texts[name]) == "" {
			t.Errorf("no text in %s", name)
		}
	}
	if strings.Contains(string(b), "NaN") || strings.Contains(string(b), "Inf\"") {
		t.Error("a number is not finite")
	}
}

func TestHostileTextIsShown(t *testing.T) {
	b := string(Front(cases()[8].e, inSystem, 468)[0].SVG())
	for _, want := range []string{"&lt;script&gt;", "‹U+202E›", "‹U+0000›", "‹U+2066›"} {
		if !strings.Contains(b, want) {
			t.Errorf("%q is not in the file", want)
		}
	}
	if strings.Contains(b, "<script") {
		t.Error("a script is in the file")
	}
}

func TestEmpty(t *testing.T) {
	ds := Front(Elevation{}, inSystem, 468)
	if len(ds) != 1 || !strings.Contains(ds[0].Alt, "No units") || ds[0].Height > 60 {
		t.Errorf("no units give %+v", ds)
	}
	if _, ok := FloorProfile(row(24), inSystem, 468); ok {
		t.Error("a profile without a survey")
	}
	if _, ok := Movement(row(24), nil, inSystem, 468); ok {
		t.Error("movement without changes")
	}
	checkSVG(t, Drawing{Title: "x", Alt: "y", Shapes: []Shape{{Kind: Text}, {Kind: Line}, {Kind: Text, Points: []pdf.Point{{}}, Text: "z"}}}.SVG())
}

// The stated exaggeration is the one drawn, and the dots stand on it.
func TestProfileScale(t *testing.T) {
	e := sample()
	d, ok := FloorProfile(e, inSystem, 468)
	if !ok {
		t.Fatal("no profile")
	}
	var k float64
	for _, s := range d.Shapes {
		if strings.HasPrefix(s.Text, "vertical scale ") {
			fmt.Sscanf(s.Text, "vertical scale %g times", &k)
		}
	}
	if k < 2 {
		t.Fatalf("exaggeration %v", k)
	}
	for _, s := range d.Shapes {
		if s.Kind != Line || len(s.Points) != len(e.Front) || s.LineWidth != 0.9 {
			continue
		}
		rs := e.Front
		if s.Dash > 0 {
			rs = e.Back
		}
		n := len(rs) - 1
		h := (s.Points[n].X - s.Points[0].X) / (rs[n].At - rs[0].At).Inches()
		v := (s.Points[n].Y - s.Points[0].Y) / (rs[n].Down - rs[0].Down).Inches()
		if math.Abs(v/h-k) > 1e-6 {
			t.Errorf("drawn %v times; said %v", v/h, k)
		}
	}
	if !strings.Contains(d.Alt, "high point: reading 52 15/16 in, back line at 0 in") {
		t.Errorf("alt %q", d.Alt)
	}
}
