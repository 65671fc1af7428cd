package drawing

import (
	"math"
	"strings"
	"testing"

	"setline.example/checks/say"
	"setline.example/schema/length"
)

var inInches = say.Writer{Lengths: length.InchSystem}

// TestBarsToOneScale: bars are as high as their heights have it, the band lies
// where all of them are, and what is drawn is said in words too.
func TestBarsToOneScale(t *testing.T) {
	h := Heights{
		Room: "R1", Reference: "L1", Highest: inches(9), Lowest: inches(9.25), Serves: true,
		Rows: []Height{
			{Name: "A", Highest: inches(8.75), Lowest: inches(9.25), Drawn: inches(9), HasDrawn: true},
			{Name: "B", Highest: inches(9), Lowest: inches(9.75)},
		},
	}
	d, ok := OneHeight(h, inInches, 468)
	if !ok {
		t.Fatal("nothing drawn")
	}
	checkClear(t, d)
	var bars []float64
	for _, s := range d.Shapes {
		if s.Kind == Area && s.Fill == White && s.Stroke == Black && s.Points[1].X-s.Points[0].X == barWidth {
			bars = append(bars, s.Points[2].Y-s.Points[1].Y)
		}
	}
	if len(bars) != 2 || math.Abs(bars[1]/bars[0]-1.5) > 1e-9 {
		t.Errorf("bars are %v high, want the second half as high again", bars)
	}
	for _, want := range []string{"shaded: the heights that serve all, 9 in to 9 1/4 in", "A: 8 3/4 in to 9 1/4 in, drawn 9 in.", "B: 9 in to 9 3/4 in."} {
		if !strings.Contains(d.Alt, want) {
			t.Errorf("%q does not say %q", d.Alt, want)
		}
	}
	h.Serves, h.Rows[1] = false, Height{Name: "B", Highest: inches(10), Lowest: inches(9.5)}
	d, _ = OneHeight(h, inInches, 468)
	checkClear(t, d)
	for _, want := range []string{"no height serves all", "B: none, no higher than 10 in and no lower than 9 1/2 in."} {
		if !strings.Contains(d.Alt, want) {
			t.Errorf("%q does not say %q", d.Alt, want)
		}
	}
	extreme := Heights{Rows: []Height{{Highest: math.MinInt64, Lowest: math.MaxInt64}, {Drawn: 1, HasDrawn: true}}}
	d, _ = OneHeight(extreme, say.Writer{Lengths: length.Metric}, 0)
	checkClear(t, d)
	if _, ok := OneHeight(Heights{}, inInches, 468); ok {
		t.Error("no elevation is drawn")
	}
}
