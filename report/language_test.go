package report

import (
	"bytes"
	"strings"
	"testing"

	"setline.example/checks"
	"setline.example/checks/say/foreign"
	"setline.example/report/drawing"
	"setline.example/report/pdf"
	"setline.example/schema"
)

// TestAnotherLanguageChangesWordsOnly: a report in another language has the same
// answer, the same rows of results with the same numbers, and the same marks at
// the same places on its drawings; only what is said of them is another.
func TestAnotherLanguageChangesWordsOnly(t *testing.T) {
	found, faults, _ := findings(t, annex)
	english, pictures := newView(found, faults, nil, Options{})
	other, others := newView(found, faults, nil, Options{language: foreign.Language})
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
			for n := range room.Page.Places {
				name := room.Page.Places[n].Name
				marks += sameMarks(t, wholeDrawing(t, pictures[name]), wholeDrawing(t, others[name]))
			}
			for n := range g.Drawings {
				marks += sameMarks(t, wholeDrawing(t, pictures[g.Drawings[n].Name]), wholeDrawing(t, others[og.Drawings[n].Name]))
			}
		}
	}
	if marks == 0 {
		t.Error("no drawing has a mark")
	}
}

// wholeDrawing is the drawing of a picture, made anew where it is not kept: then
// it has to be what its size and words were taken from.
func wholeDrawing(t *testing.T, p pdf.Picture) drawing.Drawing {
	t.Helper()
	if w, ok := p.(whole); ok {
		return w.Drawing
	}
	r, ok := p.(redrawn)
	if !ok {
		return p.(picture).Drawing
	}
	d := r.make()
	if w, h := r.Size(); r.Shapes != nil || len(d.Shapes) == 0 || w != d.Width || h != d.Height || r.Alt != d.Alt {
		t.Errorf("%s: %d shapes kept; made again it has %d, is %v by %v and says %q, want %v by %v and %q",
			d.Title, len(r.Shapes), len(d.Shapes), d.Width, d.Height, d.Alt, w, h, r.Alt)
	}
	return d
}

func sameRow(t *testing.T, r, other ResultView) {
	t.Helper()
	if r.of.Limit.Unit == checks.Days {
		r.Value, r.Limit, r.Margin = other.Value, other.Limit, other.Margin // "4 days"
	}
	r.of, other.of = nil, nil
	for _, v := range []*ResultView{&r, &other} {
		v.Where, v.Rule, v.Outcome, v.Finding, v.Remedy, v.Seen, v.no = "", "", "", "", "", "", ""
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

// names are what no language changes: of standards, of programs, of formats.
var names = []string{"Setline", "v", "SHA", "PDF", "HTML", "Markdown"}

// TestNothingIsLeftInEnglish: in another language the whole of a report and of a
// layout sheet is in it, and so are their drawings and what those are in words.
func TestNothingIsLeftInEnglish(t *testing.T) {
	for _, example := range []string{"annex", "metric"} {
		found, faults, data := findings(t, "../examples/"+example+"/job.json")
		rec := found.Record
		o := options(nil)
		o.language = foreign.Language
		known := foreign.Typed(rec)
		for _, name := range append(names, "top", "side", "filler", "behind") { // which remarks have too
			known[name] = true
		}
		whole, err := New(found, faults, data, o)
		if err != nil {
			t.Fatal(err)
		}
		for _, all := range []bool{true, false} {
			var punch bytes.Buffer
			if err := punchCSV(&punch, found, faults, all, foreign.Language); err != nil {
				t.Fatal(err)
			}
			for line := range strings.Lines(punch.String()) {
				if left := foreign.Left(line, known); left != nil {
					t.Errorf("the punch list of %s has %q in English: %.300s", example, left, line)
				}
			}
		}
		layout, err := NewLayout(found, data, o, LayoutOptions{})
		if err != nil {
			t.Fatal(err)
		}
		e := &rec.Planned.Rooms[0].Elevations[0]
		first, last := e.Units[0].Tag, e.Units[len(e.Units)-1].Tag
		e.Tops = []schema.Top{{From: first, To: e.Units[1].Tag}, {From: e.Units[2].Tag, To: last}}
		if found, err = checks.Run(rec, schema.NewSource(example, data)); err != nil {
			t.Fatal(err)
		}
		release, err := NewRelease(found, data, o, nil)
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range []*Report{whole, layout, release} {
			inForeign(t, example+": "+r.title, r, known)
		}
	}
}

func inForeign(t *testing.T, what string, r *Report, known map[string]bool) {
	t.Helper()
	look := func(where, text string) {
		for _, line := range strings.Split(text, "\n") {
			if left := foreign.Left(line, known); left != nil {
				t.Errorf("%s has %q in English: %.300s", where, left, line)
			}
		}
	}
	var text bytes.Buffer
	if err := r.Markdown(&text); err != nil {
		t.Fatal(err)
	}
	look(what, text.String())
	look(what+", head", strings.TrimPrefix(r.title, turnoverTitle)+"\n"+r.subject+"\n"+r.running) // a report is known by its title
	drawn := 0
	for name, p := range r.pictures {
		switch p.(type) {
		case picture, redrawn, whole:
		default:
			continue
		}
		d := wholeDrawing(t, p)
		drawn++
		look(what+", "+name+" in words", d.Title+"\n"+d.Alt)
		for _, s := range d.Shapes {
			look(what+", "+name, s.Text)
		}
	}
	if drawn == 0 || text.Len() < 1000 {
		t.Errorf("%s: %d drawings and %d bytes were looked at", what, drawn, text.Len())
	}
}
