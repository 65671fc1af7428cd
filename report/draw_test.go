package report

import (
	"fmt"
	"os"
	"testing"

	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/report/pdf"
	"setline.example/schema"
	"setline.example/schema/length"
)

// TestPartsAreDrawnAlone: to show all parts of an elevation eight times as long
// takes about eight times as much. Each part once drew all of them, so that the
// report of an elevation of 800 cabinets took half a minute, and that of a
// longer one hours.
func TestPartsAreDrawnAlone(t *testing.T) {
	data, err := os.ReadFile("../examples/metric/job.json")
	if err != nil {
		t.Fatal(err)
	}
	// drawn is how much is asked of memory until all parts of an elevation of so
	// many units were shown.
	drawn := func(units int) float64 {
		rec, src, err := schema.Read("job.json", data)
		if err != nil {
			t.Fatal(err)
		}
		e := &rec.Planned.Rooms[0].Elevations[0]
		for i := len(e.Units); i < units; i++ {
			u := e.Units[1]
			u.Tag = fmt.Sprint("N", i)
			e.Units = append(e.Units, u)
		}
		found, err := checks.Run(rec, src)
		if err != nil {
			t.Fatal(err)
		}
		l := checks.Layouts(rec, found)[0]
		return testing.AllocsPerRun(1, func() {
			b := &viewer{words: say.Writer{Lengths: length.Metric}, sys: length.Metric, pictures: map[string]pdf.Picture{}}
			views, _ := b.drawings(l, 1, drawingWidth, b.pictures)
			for _, v := range append(views, b.places(l, 1, drawingWidth, nil)...) {
				b.pictures[v.Name].(redrawn).SVG()
			}
		})
	}
	if few, many := drawn(60), drawn(480); many > 12*few {
		t.Errorf("480 units ask %v times for memory, 60 of them %v times", many, few)
	}
}
