package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"encoding/json"
	"flag"
	"image"
	"image/color"
	"image/jpeg"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"setline.example/report/fieldsheet/collect"
	"setline.example/schema"
)

var updatePagePictures = flag.Bool("update-page-pictures", false, "take the pictures of the sheet as a page anew")

// browsers are those in which a sheet as a page is tried, by the names of their
// programs.
var browsers = []struct {
	name     string
	programs []string
}{
	{"chrome", []string{"chromium", "chromium-browser", "google-chrome"}},
	{"firefox", []string{"firefox-esr", "firefox"}},
}

// browserNamed finds a browser, and what drives it. Where one is missing the test
// is skipped, and fails where CI=true.
func browserNamed(t *testing.T, name string) string {
	t.Helper()
	long(t)
	lacks := func(what string) {
		if os.Getenv("CI") == "true" {
			t.Fatalf("%s is missing; see .ci/run", what)
		}
		t.Skipf("%s is missing, so the sheet as a page was not tried in it", what)
	}
	if exec.Command("node", "-e", `require("puppeteer-core"), require("axe-core")`).Run() != nil {
		lacks("node with puppeteer-core and axe-core in NODE_PATH")
	}
	for _, b := range browsers {
		for _, program := range b.programs {
			if path, err := exec.LookPath(program); err == nil && b.name == name {
				return path
			}
		}
	}
	lacks(name)
	return ""
}

// pageJob is a room from its tables, its sheet as a page, and what the example's
// filled sheet answers.
type pageJob struct {
	t       *testing.T
	dir     string
	record  string
	page    string
	entries map[string]any
}

const firstVisit = "../../examples/annex/sheets/first-visit.md"

func newPageJob(t *testing.T) *pageJob {
	t.Helper()
	dir := t.TempDir()
	j := &pageJob{t: t, dir: dir, record: filepath.Join(dir, "room.json"), page: filepath.Join(dir, "sheet.html")}
	csv := "../../examples/annex/csv/"
	j.must("start", "-o", j.record, "--name", "Marrow Ridge College, Science Annex", "--number", "MR-118", "--installer", "Fennick & Dole Casework Installers", "--contractor", "Tarn Valley Builders",
		"--height", "34 in", "--depth", "22 in", "--gauge", "18", "--front-rail-depth", "7/8 in", "--leveler-least", "1/2 in", "--leveler-greatest", "2 in", "--threads", "16",
		"--units", csv+"units.csv", "--instruments", csv+"instruments.csv", "--screws", csv+"screws.csv")
	j.must("add", j.record, "--packing-list", csv+"packing-list.csv")
	j.must("add", j.record, "--floor", csv+"floor.csv", "--date", "2026-10-05", "--by", "Marek Łuczak", "--role", "installer", "--instrument", "line laser checked 2026-10-01")
	j.must("sheet", j.record, "-o", j.page, "--date", "2026-10-05", "--each")
	j.entries = j.answers()
	return j
}

func (j *pageJob) must(args ...string) string {
	j.t.Helper()
	var out, told bytes.Buffer
	if code := run(args, strings.NewReader(""), &out, &told); code != 0 {
		j.t.Fatalf("setline %s: exit code %d\n%s%s", strings.Join(args, " "), code, out.Bytes(), told.Bytes())
	}
	return out.String()
}

// answers are those of the example's filled sheet, by the names of the boxes.
func (j *pageJob) answers() map[string]any {
	j.t.Helper()
	rec, src, err := schema.Read("room.json", j.read(j.record))
	if err != nil {
		j.t.Fatal(err)
	}
	asks, err := collect.Asked(rec, src)
	if err != nil {
		j.t.Fatal(err)
	}
	f, err := collect.ReadMarkdown("first-visit.md", j.read(firstVisit), collect.NewBoxes(asks))
	if err != nil {
		j.t.Fatal(err)
	}
	all := map[string]any{}
	for name, e := range f.Entries {
		switch {
		case e.On:
			all[name] = true
		case e.Text != "":
			all[name] = e.Text
		}
	}
	if len(all) < 80 {
		j.t.Fatalf("the example's sheet answers %d boxes only", len(all))
	}
	return all
}

func (j *pageJob) read(path string) []byte {
	j.t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		j.t.Fatal(err)
	}
	return data
}

// collected is the record with a sheet collected into a copy of it.
func (j *pageJob) collected(sheet string) []byte {
	j.t.Helper()
	copy := filepath.Join(j.t.TempDir(), "room.json")
	if err := os.WriteFile(copy, j.read(j.record), 0o600); err != nil {
		j.t.Fatal(err)
	}
	j.must("collect", copy, sheet)
	return j.read(copy)
}

// pageQuestion is what testdata/clients/page.cjs reads.
type pageQuestion map[string]any

func (j *pageJob) ask(program string, q pageQuestion, answer any) {
	j.t.Helper()
	q["program"], q["url"], q["folder"], q["profile"] = program, "file://"+j.page, j.t.TempDir(), j.t.TempDir()
	in, err := json.Marshal(q)
	if err != nil {
		j.t.Fatal(err)
	}
	c := exec.CommandContext(j.t.Context(), "node", "../../testdata/clients/page.cjs")
	var told bytes.Buffer
	c.Stdin, c.Stderr = bytes.NewReader(in), &told
	out, err := c.Output()
	if err == nil {
		err = json.Unmarshal(out, answer)
	}
	if err != nil {
		j.t.Fatalf("%v: %v\n%.3000s", q["does"], err, told.Bytes())
	}
}

// TestPageGivesTheSameVisit: every answer of the example's sheet, filled in on the
// page, saved and collected, gives the record that the same sheet in Markdown
// gives, in both browsers; a copy of the copy is the same file, and so is a copy
// without answers the page itself.
func TestPageGivesTheSameVisit(t *testing.T) {
	j := newPageJob(t)
	want := j.collected(firstVisit)
	for _, b := range browsers {
		t.Run(b.name, func(t *testing.T) {
			program := browserNamed(t, b.name)
			own := *j
			own.t = t
			var a struct {
				File, Again, Empty        string
				Nowhere, Errors, Requests []string
			}
			own.ask(program, pageQuestion{"does": "fill", "browser": b.name, "entries": j.entries, "original": b.name == "chrome", "lang": "de"}, &a)
			if len(a.Nowhere) > 0 || len(a.Errors) > 0 {
				t.Errorf("boxes that are nowhere: %q, errors: %q", a.Nowhere, a.Errors)
			}
			if got := own.collected(a.File); !bytes.Equal(got, want) {
				t.Errorf("the page gives another record:\n%s", firstDifference(got, want))
			}
			if !bytes.Equal(own.read(a.File), own.read(a.Again)) {
				t.Error("a copy of the copy is another file")
			}
			if a.Empty != "" && !bytes.Equal(own.read(a.Empty), own.read(j.page)) {
				t.Errorf("a copy without answers is another file:\n%s", firstDifference(own.read(a.Empty), own.read(j.page)))
			}
			for _, r := range a.Requests {
				if !strings.HasPrefix(r, "file://") && !strings.HasPrefix(r, "blob:") && !strings.HasPrefix(r, "data:") {
					t.Errorf("the page asked for %s", r)
				}
			}
		})
	}
}

// firstDifference shows where two texts part.
func firstDifference(got, want []byte) string {
	n := 0
	for n < len(got) && n < len(want) && got[n] == want[n] {
		n++
	}
	cut := func(b []byte) []byte { return b[max(0, n-80):min(len(b), n+200)] }
	return "got  …" + string(cut(got)) + "\nwant …" + string(cut(want))
}

// TestPageLosesNothing: what the page shows as kept is there after its browser was
// killed; of two tabs only one writes; without storage it is said loudly, and what
// was entered can be saved.
func TestPageLosesNothing(t *testing.T) {
	program := browserNamed(t, "chrome")
	j := newPageJob(t)
	t.Run("killed", func(t *testing.T) {
		var a struct {
			Shown []struct{ Kept, Entered, Had int }
			Lost  []any
		}
		j.ask(program, pageQuestion{"does": "kill", "kills": 2, "where": "S-112, elevation A", "to": "A2"}, &a)
		if len(a.Lost) > 0 || len(a.Shown) != 2 || a.Shown[1].Had == 0 {
			t.Errorf("%+v", a)
		}
	})
	t.Run("two tabs", func(t *testing.T) {
		var a struct {
			Said, After string
			Locked      bool
		}
		j.ask(program, pageQuestion{"does": "twice"}, &a)
		if !a.Locked || !strings.Contains(a.Said, "open in another tab") || a.After != "" {
			t.Errorf("%+v", a)
		}
	})
	t.Run("no storage", func(t *testing.T) {
		var a struct {
			Said, File string
			State      struct{ State, Text string }
		}
		j.ask(program, pageQuestion{"does": "blocked", "entries": j.entries}, &a)
		if !strings.Contains(a.Said, "keeps nothing") || !strings.Contains(a.State.Text, "NOT KEPT") {
			t.Errorf("%+v", a)
		}
		if !bytes.Equal(j.collected(a.File), j.collected(firstVisit)) {
			t.Error("what was saved without storage gives another record")
		}
	})
}

// TestPageForEveryone: nothing on the page is too small to touch or wider than the
// screen, magnified too; axe-core finds nothing serious; keys alone do.
func TestPageForEveryone(t *testing.T) {
	program := browserNamed(t, "chrome")
	j := newPageJob(t)
	var found struct{ Axe, Small, Wide []string }
	q := pageQuestion{"does": "look", "where": "S-112, elevation A", "to": "A2"}
	if *updatePagePictures {
		q["pictures"] = "../../testdata/pages/sheet"
	}
	j.ask(program, q, &found)
	for _, wrong := range [][]string{found.Axe, found.Small, found.Wide} {
		for _, one := range wrong {
			t.Error(one)
		}
	}
	var typed struct{ Entries map[string]any }
	j.ask(program, pageQuestion{"does": "keyboard", "to": "A2"}, &typed)
	if len(typed.Entries) < 2 || typed.Entries["people/0/name"] != "Keys Only" {
		t.Errorf("typed by keys alone: %v", typed.Entries)
	}
}

// TestPagePhotograph: a photograph is turned upright, made small, saved with the
// page, and comes beside the record as the picture that was embedded.
func TestPagePhotograph(t *testing.T) {
	program := browserNamed(t, "chrome")
	j := newPageJob(t)
	picture := filepath.Join(t.TempDir(), "camera.jpg")
	if err := os.WriteFile(picture, onItsSide(t), 0o600); err != nil {
		t.Fatal(err)
	}
	var a struct {
		File   string
		Errors []string
	}
	j.ask(program, pageQuestion{"does": "photo", "entries": j.entries, "picture": picture, "where": "S-112, elevation A", "to": "A2"}, &a)
	j.must("collect", j.record, a.File)
	rec, _, err := schema.Read("room.json", j.read(j.record))
	if err != nil {
		t.Fatal(err)
	}
	photos := rec.Measured.Visits[len(rec.Measured.Visits)-1].Rooms["S-112"].Photos
	if len(photos) != 1 || photos[0].Of != "A2" || photos[0].Caption != "scratch on the side <b>" || len(a.Errors) > 0 {
		t.Fatalf("%+v, %q", photos, a.Errors)
	}
	shown, err := jpeg.Decode(bytes.NewReader(j.read(filepath.Join(j.dir, photos[0].File))))
	if err != nil {
		t.Fatal(err)
	}
	if size := shown.Bounds().Size(); size != image.Pt(800, 1600) {
		t.Errorf("it is %v, want it upright and 1600 pixels high", size)
	}
	if r, _, b, _ := shown.At(400, 100).RGBA(); r < b {
		t.Error("its top is not what was on its left")
	}
	sum := sha256.Sum256(j.read(filepath.Join(j.dir, photos[0].File)))
	if photos[0].SHA256 != hex.EncodeToString(sum[:]) {
		t.Error("the record has another SHA-256 of it")
	}
}

// TestPageOffline: a sheet from a server opens without it, with what was entered.
func TestPageOffline(t *testing.T) {
	program := browserNamed(t, "chrome")
	j := newPageJob(t)
	served := filepath.Join(t.TempDir(), "served") + "/"
	j.must("sheet", j.record, "-o", served)
	var a struct {
		State struct {
			State string
			Count int
		}
		Errors []string
	}
	j.ask(program, pageQuestion{"does": "offline", "served": served, "entries": map[string]any{"date": "2026-10-06", "people/0/name": "Ingrid Sørlie"}}, &a)
	if a.State.Count != 2 || a.State.State != "kept" || len(a.Errors) > 0 {
		t.Errorf("%+v", a)
	}
}

// onItsSide is a picture of 2000 by 1000 pixels, red at its left and blue at its
// right, that an Exif tag says to turn by 90 degrees clockwise (Exif 2.32, 4.6.4,
// orientation 6).
func onItsSide(t *testing.T) []byte {
	t.Helper()
	m := image.NewRGBA(image.Rect(0, 0, 2000, 1000))
	for y := range 1000 {
		for x := range 2000 {
			c := color.RGBA{200, 30, 30, 255}
			if x >= 1000 {
				c = color.RGBA{30, 30, 200, 255}
			}
			m.SetRGBA(x, y, c)
		}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, m, nil); err != nil {
		t.Fatal(err)
	}
	tiff := []byte("Exif\x00\x00MM\x00\x2a\x00\x00\x00\x08\x00\x01\x01\x12\x00\x03\x00\x00\x00\x01\x00\x06\x00\x00\x00\x00\x00\x00")
	exif := binary.BigEndian.AppendUint16([]byte{0xFF, 0xE1}, uint16(len(tiff)+2))
	return bytes.Join([][]byte{b.Bytes()[:2], exif, tiff, b.Bytes()[2:]}, nil)
}
