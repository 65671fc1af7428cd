package webpage

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"errors"
	"image"
	"image/jpeg"
	"os"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"setline.example/report/fieldsheet"
	"setline.example/schema"
)

// sheetOf is the sheet of an example.
func sheetOf(t testing.TB, name string) *fieldsheet.Sheet {
	t.Helper()
	data, err := os.ReadFile("../../../examples/" + name + "/job.json")
	if err != nil {
		t.Fatal(err)
	}
	rec, src, err := schema.Read(name, data)
	if err != nil {
		t.Fatal(err)
	}
	s, err := fieldsheet.New(rec, src, fieldsheet.Options{All: true, Date: time.Date(2026, 10, 1, 0, 0, 0, 0, time.UTC), Version: "test"})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func written(t testing.TB, name string) string {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, sheetOf(t, name)); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// TestPageIsItsOwn: the same sheet is the same page; nothing in it is fetched, and
// its policy names what runs.
func TestPageIsItsOwn(t *testing.T) {
	if testing.Short() {
		t.Skip("it takes long, so this was not checked (-short)")
	}
	for _, name := range []string{"annex", "metric"} {
		page := written(t, name)
		if again := written(t, name); again != page {
			t.Errorf("%s: the same sheet is another page", name)
		}
		for _, outside := range []string{"src=\"http", "href=\"http", "@import", "url(", "fetch("} {
			if strings.Contains(page, outside) {
				t.Errorf("%s: the page has %q", name, outside)
			}
		}
		if n := strings.Count(page, "'sha256-"); n != 3 {
			t.Errorf("%s: the policy names %d hashes, want those of two scripts and the look", name, n)
		}
		if strings.Contains(page, "unsafe-inline") || strings.Contains(page, "'unsafe-eval'") {
			t.Errorf("%s: the policy is loose", name)
		}
	}
}

// TestPageInASCII: of a job that is written in ASCII the page is too, so that a
// browser reads it in half the memory; scripts and looks say the same as before.
func TestPageInASCII(t *testing.T) {
	page := written(t, "annex")
	for i, line := range strings.Split(page, "\n") {
		if j := strings.IndexFunc(line, func(r rune) bool { return r >= utf8.RuneSelf }); j >= 0 {
			t.Fatalf("line %d: %.80q", i+1, line[j:])
		}
	}
	const said = "\u2713 \u2026\U0001f4f7"
	for kind, want := range map[string]string{".js": `\u2713 \u2026\ud83d\udcf7`, ".css": `\2713  \2026 \1f4f7 `} {
		if got := inASCII(said, kind); got != want {
			t.Errorf("%s: %q, want %q", kind, got, want)
		}
	}
	if !strings.Contains(page, `\u`) || !strings.Contains(page, `\2713  `) {
		t.Error("nothing of it had to be written so")
	}
}

// photographed is a block with a picture, and its name.
func photographed(t *testing.T) (id, block string) { return photographedTo(t, 1) }

// photographedTo is [photographed] with so much of the picture's file.
func photographedTo(t *testing.T, part float64) (id, block string) {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, image.NewGray(image.Rect(0, 0, 40, 30)), nil); err != nil {
		t.Fatal(err)
	}
	b.Truncate(int(part * float64(b.Len())))
	sum := sha256.Sum256(b.Bytes())
	id = hex.EncodeToString(sum[:])
	return id, `<script type="text/plain" id="setline-photo-` + id + `" data-setline="">` + base64.StdEncoding.EncodeToString(b.Bytes()) + `</script>`
}

// TestRead takes the answers out of pages as they are saved, by the page and by
// browsers, and refuses what is none; it looks at nothing else.
func TestRead(t *testing.T) {
	page := written(t, "metric")
	program, err := rules()
	if err != nil {
		t.Fatal(err)
	}
	page = strings.Replace(page, program, "", 1) // which is not read
	atEnd := func(page, more string) string {
		return strings.TrimSuffix(page, "</body></html>") + more + "</body></html>"
	}
	id, picture := photographed(t)
	const answered = `{"setline_answers":1,"entries":{"date":"2026-10-01","rooms/1%2E12/x=yes":true,"remark":"a \u003c/script> b"},"stands":["date"],"photos":[]}`
	with := func(answers string) string { return strings.Replace(page, noAnswers, answers, 1) }
	taken := func(id, picture string) string {
		return atEnd(with(strings.Replace(answered, `"photos":[]`, `"photos":[{"id":"`+id+`","room":"1.12","of":"N2","caption":"c","by":"d","type":"image/jpeg"}]`, 1)), picture)
	}
	shot := taken(id, picture)
	for _, c := range []struct {
		name, text string
		kind       schema.ProblemKind // "" where it is read
		photos     int
	}{
		{"as saved", with(answered), "", 0},
		{"as a browser saves it", "<!-- saved from url=(0014)about:internet -->\n" + strings.ReplaceAll(with(answered), `data-setline=""`, `data-setline`), "", 0},
		{"single quotes, capitals", strings.Replace(with(answered), `<script type="application/json" id="setline-answers"`, `<SCRIPT TYPE='application/json' ID='setline-answers'`, 1), "", 0},
		{"answers that its code would write", atEnd(with(answered), `<p>id="setline-answers"</p><!-- <script id="setline-answers">{}</script> -->`), "", 0},
		{"with a photograph", shot, "", 1},
		{"a photograph that was changed", strings.Replace(shot, picture, strings.Replace(picture, "/9j/", "/9k/", 1), 1), schema.Malformed, 0},
		{"a photograph that was cut", taken(photographedTo(t, 0.9)), schema.Malformed, 0},
		{"a photograph that is not there", strings.Replace(shot, picture, "", 1), schema.Malformed, 0},
		{"two blocks of answers", atEnd(with(answered), block("application/json", answersBlock, answered)), schema.Malformed, 0},
		{"no answers", "<!DOCTYPE html><p>a page</p>", schema.OtherFile, 0},
		{"no page", "%PDF-1.7", schema.OtherFile, 0},
		{"empty", "", schema.OtherFile, 0},
		{"cut in the middle", with(answered)[:strings.Index(with(answered), `"remark"`)], schema.Malformed, 0},
		{"another form", with(strings.Replace(answered, `answers":1`, `answers":2`, 1)), schema.Malformed, 0},
		{"text for a tick", with(strings.Replace(answered, `x=yes":true`, `x=yes":"yes"`, 1)), schema.Malformed, 0},
		{"a tick for text", with(strings.Replace(answered, `"2026-10-01"`, `true`, 1)), schema.Malformed, 0},
		{"nothing for an answer", with(strings.Replace(answered, `"2026-10-01"`, `null`, 1)), schema.Malformed, 0},
		{"not a number", with(strings.Replace(answered, `"2026-10-01"`, `NaN`, 1)), schema.Malformed, 0},
		{"a number beyond all", with(strings.Replace(answered, `"2026-10-01"`, `1e999`, 1)), schema.Malformed, 0},
		{"an object for an answer", with(strings.Replace(answered, `"date":"2026-10-01"`, `"__proto__":{"date":"2026-10-01"}`, 1)), schema.Malformed, 0},
		{"a script in an answer", with(strings.Replace(answered, `a \u003c/script> b`, `</script><script>alert(1)</script>`, 1)), schema.Malformed, 0},
		{"a hundred thousand lists", with(`{"setline_answers":1,"entries":` + strings.Repeat("[", 100_000)), schema.Malformed, 0},
		{"half a letter", with(strings.Replace(answered, `2026-10-01`, `\ud800`, 1)), schema.Malformed, 0},
		{"a number for an answer", with(strings.Replace(answered, `"2026-10-01"`, `7`, 1)), schema.Malformed, 0},
		{"a name twice", with(strings.Replace(answered, `{"date"`, `{"date":"2026-10-02","date"`, 1)), schema.Malformed, 0},
		{"a verdict", with(strings.Replace(answered, `"stands"`, `"verdict":"ready","stands"`, 1)), schema.Malformed, 0},
		{"too large", strings.Repeat(" ", fieldsheet.MaxFilled+1), schema.TooLarge, 0},
	} {
		f, err := Read("x.html", []byte(c.text))
		if c.kind == "" {
			if err != nil {
				t.Errorf("%s: %v", c.name, err)
				continue
			}
			if f.Entries["date"].Text != "2026-10-01" || !f.Entries["rooms/1%2E12/x=yes"].On || f.Entries["remark"].Text != "a </script> b" || f.Plan == "" || len(f.AsRead) != 1 || len(f.Photos) != c.photos {
				t.Errorf("%s: %+v", c.name, f)
			}
			continue
		}
		var problems schema.Problems
		if !errors.As(err, &problems) || problems[0].Kind != c.kind || problems[0].File != "x.html" || problems[0].Mend == "" {
			t.Errorf("%s: %v, want %s", c.name, err, c.kind)
		}
	}
	f, err := Read("x.html", []byte(shot))
	if err != nil || f.Photos[0].File != "1_12-N2-"+id[:12]+".jpg" || f.Photos[0].SHA256 != id {
		t.Errorf("%v, %+v", err, f)
	}
}

// FuzzRead reads any bytes as a filled page: answers, or problems with their mends.
func FuzzRead(f *testing.F) {
	f.Add([]byte(block("application/json", answersBlock, noAnswers) + block("text/plain", planBlock, "eA==")))
	f.Add([]byte(`<script id=setline-answers>{"setline_answers":1,"entries":{"a":true},"stands":[],"photos":[{"id":"00"}]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		filled, err := Read("x.html", data)
		var problems schema.Problems
		if err == nil {
			if filled.Entries == nil {
				t.Error("read, and no answers")
			}
		} else if !errors.As(err, &problems) || len(problems) == 0 || problems[0].Mend == "" {
			t.Errorf("an error that is no problem of the sheet: %v", err)
		}
	})
}
