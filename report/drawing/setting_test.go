package drawing

import (
	"maps"
	"strings"
	"testing"

	"setline.example/checks/say"
)

// TestSettingsOfLongElevations: every cabinet has its plan, in order, at most so
// many beside each other, in figures no smaller than can be read at arm's length.
func TestSettingsOfLongElevations(t *testing.T) {
	for _, n := range []int{1, 5, 6, 20, 40} {
		widths := make([]float64, n)
		for i := range widths {
			widths[i] = 24
		}
		e := row(widths...)
		s := Setting{Height: say.That("Tops"), How: say.That("how"), Legend: say.That("Large."), Stop: say.That("STOP: it")}
		for _, u := range e.Units {
			stand := Stand{Tag: u.Tag}
			for i := range stand.Feet {
				stand.Feet[i] = Foot{Figure: say.That("9 3/8"), Left: say.That("left"), Says: say.That("%[1]s", say.Name(u.Tag))}
			}
			s.Stands = append(s.Stands, stand)
		}
		ds := Settings(e, s, inSystem, 490)
		if want := (n + 4) / 5; len(ds) != want {
			t.Errorf("%d cabinets in %d rows, want %d", n, len(ds), want)
		}
		var tags []string
		for i, d := range ds {
			checkClear(t, d)
			stops := 0
			for _, shape := range d.Shapes {
				switch {
				case shape.Kind == Text && shape.Size == standTag && strings.HasPrefix(shape.Text, "A"):
					tags = append(tags, shape.Text)
				case shape.Text == "9" && shape.Size < leastFigure:
					t.Errorf("%d cabinets: a figure of %v pt", n, shape.Size)
				case shape.Text == "STOP: it":
					stops++
				}
			}
			if want := map[bool]int{true: 1}[i == 0]; stops != want {
				t.Errorf("row %d of %d cabinets says stop %d times, want %d", i+1, n, stops, want)
			}
		}
		var want []string
		for _, u := range e.Units {
			want = append(want, u.Tag)
		}
		if strings.Join(tags, " ") != strings.Join(want, " ") {
			t.Errorf("%d cabinets: in plan are %q, want %q", n, tags, want)
		}
	}
	// Without figures, where no floor was read, it is drawn from the front alone,
	// with tags to be read as far as figures are.
	e := row(24, 30, 36)
	s := Setting{Stop: say.That("STOP: it"), Stands: []Stand{{Tag: "A1"}, {Tag: "A2"}, {Tag: "A3"}}}
	ds := Settings(e, s, inSystem, 490)
	if len(ds) != 1 {
		t.Fatalf("%d drawings without figures", len(ds))
	}
	checkClear(t, ds[0])
	texts := map[string]float64{}
	for _, shape := range ds[0].Shapes {
		if shape.Kind == Text {
			texts[shape.Text] = shape.Size
		}
	}
	if want := map[string]float64{"STOP: it": stopText, e.Units[0].Tag: standTag, e.Units[1].Tag: standTag, e.Units[2].Tag: standTag}; !maps.Equal(texts, want) {
		t.Errorf("without figures it says %v, want %v", texts, want)
	}
	if ds := Settings(row(), Setting{}, inSystem, 490); ds != nil {
		t.Errorf("nothing to set gives %d drawings", len(ds))
	}
}
