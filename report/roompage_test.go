package report

import (
	"os"
	"slices"
	"strings"
	"testing"

	"setline.example/checks"
)

// TestFrontsOfARoom: an elevation by itself is as wide as the page, unless a
// photograph stands beside it, which then stands nowhere else.
func TestFrontsOfARoom(t *testing.T) {
	for _, c := range []struct {
		example       string
		photos        bool
		width         float64
		beside, after int
	}{
		{"metric", false, drawingWidth, 0, 0},
		{"soil", false, drawingWidth, 0, 4}, // nobody looked for them
		{"soil", true, abreastWidth, 1, 3},
		{"annex", false, abreastWidth, 0, 0},
	} {
		folder := "../examples/" + c.example
		found, faults, data := findings(t, folder+"/job.json")
		o := options(nil)
		if c.photos {
			o.Photos = LoadPhotos(found.Record, os.DirFS(folder))
		}
		v, pictures := newView(found, faults, data, o)
		page := v.Rooms[0].Page
		if w, _ := pictures[page.Places[0].Name].Size(); w != c.width || len(page.Beside) != c.beside || len(page.Photos) != c.after {
			t.Errorf("%s: %v wide, %d photographs beside it and %d after, want %v, %d and %d", c.example, w, len(page.Beside), len(page.Photos), c.width, c.beside, c.after)
		}
	}
}

// TestCommonPracticeIsSaidOnce: of rules for which nothing is published the list
// says so once for all, and of every other it names the source.
func TestCommonPracticeIsSaidOnce(t *testing.T) {
	r, _ := annexReport(t)
	_, list, _ := strings.Cut(string(r.parts[r.annex]), "## Rules, limits")
	if strings.Contains(list, "Source: common practice, no source.\n") || strings.Count(list, "Where no source is named, it is common practice.") != 1 {
		t.Errorf("common practice is not said once:\n%s", list)
	}
	_, idle, _ := strings.Cut(list, "Nothing here to judge by ")
	idle, _, _ = strings.Cut(idle, ";")
	sourced := 0
	found, _, _ := findings(t, annex)
	for _, rule := range checks.All() {
		judged := slices.ContainsFunc(found.Results, func(r checks.Result) bool { return r.Rule == rule && r.Outcome != checks.NotApplicable })
		if rule.Source != checks.CommonPractice && rule.Family != checks.ClosingOut && judged {
			sourced++
		}
		explained, named := strings.Contains(list, "- **"+rule.Name+": "), strings.Contains(idle, rule.Name)
		if judged != explained || !judged && rule.Family != checks.ClosingOut && !named {
			t.Errorf("%s: judged something here: %t, explained: %t, named: %t", rule.Name, judged, explained, named)
		}
	}
	if n := strings.Count(list, " Source: "); n != sourced || n < 10 {
		t.Errorf("%d sources in the list, want %d", n, sourced)
	}
}

// TestPunchListIsWhole: it stands on one page where it can.
func TestPunchListIsWhole(t *testing.T) {
	r, _ := annexReport(t)
	if len(r.whole) != 2 || !strings.Contains(string(r.parts[r.whole[0]]), "## Punch list") || !strings.Contains(string(r.parts[r.whole[1]]), "## Cautions") {
		t.Errorf("whole are parts %v", r.whole)
	}
}
