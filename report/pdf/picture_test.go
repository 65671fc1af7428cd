package pdf

import (
	"bytes"
	"fmt"
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

// TestFigures: pictures with captions stand two abreast, each caption below its
// own picture and on its page, whatever they are and however many there are.
func TestFigures(t *testing.T) {
	long(t)
	const half = (612 - 2*margin - figureGap) / 2
	var painted []float64
	pictures := map[string]Picture{"x": square{300, 200, &painted}, "high": square{100, 3000, &painted}, "wide": square{480, 100, &painted}}
	write := func(markdown string) []string {
		t.Helper()
		painted = nil
		var out bytes.Buffer
		if err := Write(&out, Document{Parts: [][]byte{[]byte(markdown)}, Pictures: pictures}); err != nil {
			t.Fatal(err)
		}
		return pageTexts(t, out.Bytes())
	}

	write("![alt](x) One\n\n![alt](x)\nTwo\n\n![alt](x) **Three**\n\nwords")
	if len(painted) != 6 || abs(painted[0]-half) > 1e-9 || abs(painted[1]-half*2/3) > 1e-9 {
		t.Errorf("painted %v, want three of %v by %v", painted, half, half*2/3)
	}

	// One by itself is as wide as it is drawn.
	write("![alt](x) One\n\nwords\n\n![alt](x) Another")
	if len(painted) != 4 || abs(painted[0]-300) > 1e-9 || abs(painted[2]-300) > 1e-9 {
		t.Errorf("painted %v, want 300 by 200 twice", painted)
	}

	// A wide one has a row of its own, and parts those before from those behind it.
	write("![alt](x) One\n\n![alt](wide) Two\n\n![alt](x) Three\n\nwords")
	if len(painted) != 6 || abs(painted[0]-half) > 1e-9 || abs(painted[2]-480) > 1e-9 || abs(painted[4]-half) > 1e-9 {
		t.Errorf("painted %v, want %v, 480 and %v wide", painted, half, half)
	}

	// No caption leaves its picture, and no two share a place.
	var b strings.Builder
	for i := range 41 {
		fmt.Fprintf(&b, "![alt](x) Caption %d\n\n", i)
	}
	pages := write("# Title\n\n" + b.String())
	n := 0
	for _, page := range pages {
		if p, c := strings.Count(page, "painted"), strings.Count(page, "Caption"); p != c {
			t.Errorf("%d pictures and %d captions share a page", p, c)
		}
		n += strings.Count(page, "Caption")
	}
	if n != 41 || len(pages) < 5 {
		t.Errorf("%d captions on %d pages", n, len(pages))
	}

	// A caption longer than a page begins under its picture, and none of it is lost.
	long := strings.Repeat("word ", 3000)
	pages = write("![alt](x) " + long + "\n\n![alt](high) Short\n\n")
	if !strings.Contains(pages[0], "painted") || !strings.Contains(pages[0], "word") {
		t.Errorf("the first page says %.80q", pages[0])
	}
	if got := strings.Count(strings.Join(pages, " "), "word"); got != 3000 {
		t.Errorf("%d words of 3000", got)
	}

	// Two pictures with words between them are no figure.
	write("![alt](x) and ![alt](x)")
	if len(painted) != 4 || abs(painted[0]-300) > 1e-9 {
		t.Errorf("painted %v", painted)
	}
}
