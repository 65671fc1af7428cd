package report

import (
	"bytes"
	"os"
	"strings"
	"testing"
)

// TestSoilExample: the example with photographs shows all of them, says that they
// are drawn, has its letterhead, and tells of the packing and of the visit that
// was taken back.
func TestSoilExample(t *testing.T) {
	const folder = "../examples/soil/"
	found, faults, data := findings(t, folder+"job.json")
	o := options(os.DirFS(folder + "letterhead"))
	o.Photos = LoadPhotos(found.Record, os.DirFS(folder))
	r, err := New(found, faults, data, o)
	if err != nil {
		t.Fatal(err)
	}
	var page bytes.Buffer
	if err := r.HTML(&page); err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(page.String(), "<img "); n != 5 || !r.Ready() {
		t.Errorf("%d pictures, want four photographs and a logo; ready %v", n, r.Ready())
	}
	text := markdown(t, r)
	for words, times := range map[string]int{
		"drawn in place of a photograph": 4, "Not shown": 0, "Photographs not as recorded": 0,
		"the whole visit of Ingrid Sørlie": 1, "A4 packing BR": 1,
	} {
		if n := strings.Count(text, words); n != times {
			t.Errorf("the report says %q %d times, want %d", words, n, times)
		}
	}
	if again, err := Rebuild(pdfOf(t, r)); err != nil || again.Differs != "" {
		t.Errorf("made again: %+v, %v", again, err)
	}
}
