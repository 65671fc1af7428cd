package pdf

import (
	"bytes"
	"strings"
	"testing"
)

// square is a picture of a given size that writes a word.
type square struct {
	w, h    float64
	painted *[]float64
}

func (s square) Size() (w, h float64) { return s.w, s.h }

func (s square) Paint(c *Canvas) {
	w, h := c.Size()
	*s.painted = append(*s.painted, w, h)
	c.Line(1, 0, 0, Point{0, 0}, Point{w, 0}, Point{w, h}, Point{0, h}, Point{0, 0})
	c.Text(Point{4, 12}, Left, 9, false, "painted")
}

func TestPictures(t *testing.T) {
	const width = 612 - 2*margin
	for name, tc := range map[string]struct {
		markdown string
		w, h     float64
		want     []float64 // size as painted
		words    string
	}{
		"natural size":       {"![alt](x)", 100, 50, []float64{100, 50}, "painted"},
		"too wide":           {"![alt](x)", 2 * width, 100, []float64{width, 50}, "painted"},
		"after words":        {"words ![alt](x) more", 100, 50, []float64{100, 50}, "words"},
		"not brought along":  {"![alt](y)", 100, 50, nil, "[alt]"},
		"in a table":         {"| a |\n|---|\n| ![alt](x) |", 100, 50, nil, "[alt]"},
		"of no size":         {"![alt](x)", 0, 50, nil, ""},
		"in a list in quote": {"> - ![alt](x)", 100, 50, []float64{100, 50}, "painted"},
	} {
		t.Run(name, func(t *testing.T) {
			var painted []float64
			var out bytes.Buffer
			err := Write(&out, Document{Parts: [][]byte{[]byte(tc.markdown)}, Pictures: map[string]Picture{"x": square{tc.w, tc.h, &painted}}})
			if err != nil {
				t.Fatal(err)
			}
			if len(painted) != len(tc.want) || len(painted) > 0 && (abs(painted[0]-tc.want[0]) > 1e-9 || abs(painted[1]-tc.want[1]) > 1e-9) {
				t.Errorf("painted %v, want %v", painted, tc.want)
			}
			if text := strings.Join(pageTexts(t, out.Bytes()), " "); !strings.Contains(text, tc.words) {
				t.Errorf("the page says %q, want %q in it", text, tc.words)
			}
		})
	}
}

func abs(x float64) float64 {
	if x < 0 {
		return -x
	}
	return x
}
