package report

import (
	"os"
	"strings"
	"testing"

	"setline.example/checks"
	"setline.example/report/drawing"
	"setline.example/schema"
)

// longer is a language made by machine: all in brackets, and longer by a third.
func longer(one, many string, n int) string {
	if many != "" && n != 1 {
		one = many
	}
	return "⟦" + one + strings.Repeat("·", (len(one)+2)/3) + "⟧"
}

// TestAnotherLanguageChangesWordsOnly: a report in another language has the same
// answer, the same rows of results with the same numbers, and the same marks at
// the same places on its drawings; only what is said of them is another.
func TestAnotherLanguageChangesWordsOnly(t *testing.T) {
	data, err := os.ReadFile("../examples/annex/job.json")
	if err != nil {
		t.Fatal(err)
	}
	rec, src, err := schema.Read("job.json", data)
	if err != nil {
		t.Fatal(err)
	}
	found, err := checks.Run(rec, src)
	if err != nil {
		t.Fatal(err)
	}
	faults, err := checks.History(rec, src)
	if err != nil {
		t.Fatal(err)
	}
	english, pictures := newView(found, faults, Options{})
	other, others := newView(found, faults, Options{language: longer})
	if english.Ready != other.Ready || len(pictures) != len(others) {
		t.Errorf("ready %t with %d drawings, want %t with %d", other.Ready, len(others), english.Ready, len(pictures))
	}
	marks := 0
	for i, room := range english.Rooms {
		for k, g := range room.Groups {
			og := other.Rooms[i].Groups[k]
			if len(g.Results) != len(og.Results) || len(g.Drawings) != len(og.Drawings) {
				t.Fatalf("%s, %s: %d rows and %d drawings, want %d and %d", room.Name, g.Title, len(og.Results), len(og.Drawings), len(g.Results), len(g.Drawings))
			}
			for n, r := range g.Results {
				sameRow(t, r, og.Results[n])
			}
			for n := range g.Drawings {
				marks += sameMarks(t, pictures[g.Drawings[n].Name].(picture).Drawing, others[og.Drawings[n].Name].(picture).Drawing)
			}
		}
	}
	if marks == 0 {
		t.Error("no drawing has a mark")
	}
}

func sameRow(t *testing.T, r, other ResultView) {
	t.Helper()
	for _, said := range []Text{other.Rule, other.Outcome} {
		if !strings.HasPrefix(string(said), "⟦") {
			t.Errorf("%s is not said in the other language: %s", r.Rule, said)
		}
	}
	if !strings.Contains(string(other.Finding), "⟦") {
		t.Errorf("%s is not said in the other language: %s, %s", r.Rule, other.Outcome, other.Finding)
	}
	r.of, other.of = nil, nil
	for _, v := range []*ResultView{&r, &other} {
		v.Where, v.Rule, v.Outcome, v.Finding, v.Remedy = "", "", "", "", ""
	}
	if r != other {
		t.Errorf("a row is %+v, want %+v", other, r)
	}
}

// sameMarks compares the circles of two drawings, which are the marks of faults,
// and counts them. Their labels may stand elsewhere along the drawing.
func sameMarks(t *testing.T, d, other drawing.Drawing) (n int) {
	t.Helper()
	marks := func(d drawing.Drawing) (all []string) {
		for _, s := range d.Shapes {
			if s.Kind == drawing.Circle {
				all = append(all, s.Text, map[bool]string{true: "fails"}[s.Stroke == drawing.Accent])
			}
		}
		return all
	}
	a, b := marks(d), marks(other)
	if strings.Join(a, " ") != strings.Join(b, " ") {
		t.Errorf("the marks are %q, want %q", b, a)
	}
	return len(a)
}
