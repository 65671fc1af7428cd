package drawing

import (
	"strings"
	"testing"

	"setline.example/checks/say"
	"setline.example/schema/length"
)

// TestTurning: each corner that is turned has its arrow and figure within the
// box of its cabinet, in its own quarter, back above front; what stays has a dot.
func TestTurning(t *testing.T) {
	turn := func(tag, key string, up bool, by string) Turned {
		return Turned{tag, key, up, say.Name(by).Text(), say.That("%[1]s %[2]s turned %[3]s", say.Name(tag), say.Name(key), say.Name(by))}
	}
	turns := []Turned{turn("A1", "BR", true, "1 1/4"), turn("A1", "FL", false, "3/8"), turn("A7", "FR", false, "12 7/8")}
	for _, width := range []float64{150, 250, 490} {
		d, ok := Turning(Elevation{Room: "S-104", Name: "A"}, turns, say.That("Loosen the joint first"), length.InchSystem, width)
		if !ok {
			t.Fatal("nothing is drawn")
		}
		holds(t, d)
		for _, want := range []string{"Loosen the joint first", "A1 BR turned 1 1/4", "A1 FL turned 3/8", "A7 FR turned 12 7/8"} {
			if !strings.Contains(d.Alt, want) {
				t.Errorf("%q is not in %q", want, d.Alt)
			}
		}
		at := map[string]Shape{}
		for _, s := range d.Shapes {
			if s.Kind == Text {
				at[s.Text] = s
			}
		}
		tag, right, left := at["A1"].Points[0], at["1 1/4"].Points[0], at["3/8"].Points[0]
		if right.Y >= tag.Y || left.Y <= tag.Y || right.X <= tag.X || left.X >= tag.X {
			t.Errorf("%v and %v about %v", right, left, tag)
		}
	}
	if _, ok := Turning(Elevation{}, nil, say.Text{}, length.InchSystem, 490); ok {
		t.Error("nothing is drawn as something")
	}
}

// holds fails where a text leaves the drawing.
func holds(t *testing.T, d Drawing) {
	t.Helper()
	for _, s := range d.Shapes {
		if l, top, r, b, ok := s.Box(); ok && (l < 0 || top < 0 || r > d.Width || b > d.Height) {
			t.Errorf("%q leaves the drawing", s.Text)
		}
	}
}
