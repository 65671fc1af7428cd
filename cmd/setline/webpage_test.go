package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"encoding/json"
	"flag"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"

	"setline.example/checks"
	"setline.example/report/fieldsheet"
	"setline.example/report/fieldsheet/collect"
	"setline.example/schema"
)

var kills = flag.Int("kills", 1, "how often a browser is killed while a sheet is filled in")

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
func browserNamed(t testing.TB, name string) string {
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
	t       testing.TB
	dir     string
	record  string
	page    string
	entries map[string]any
}

const (
	firstVisit  = "../../examples/annex/sheets/first-visit.md"
	secondVisit = "../../examples/annex/sheets/second-visit.md"
)

func newPageJob(t testing.TB) *pageJob {
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
	j.entries = j.answers(firstVisit)
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

// answers are those of one of the example's filled sheets, by the names of the boxes.
func (j *pageJob) answers(sheet string) map[string]any {
	j.t.Helper()
	rec, src, err := schema.Read("room.json", j.read(j.record))
	if err != nil {
		j.t.Fatal(err)
	}
	asks, err := collect.Asked(rec, src)
	if err != nil {
		j.t.Fatal(err)
	}
	f, err := collect.ReadMarkdown(sheet, j.read(sheet), collect.NewBoxes(asks))
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
	if len(all) < 6 {
		j.t.Fatalf("%s answers %d boxes only", sheet, len(all))
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

// pageQuestion is what the scripts of testdata/clients read.
type pageQuestion map[string]any

// to is what a question does, with more said of it.
func (q pageQuestion) to(does string, more ...string) pageQuestion {
	all := maps.Clone(q)
	all["does"] = does
	for i := 0; i < len(more); i += 2 {
		all[more[i]] = more[i+1]
	}
	return all
}

func (j *pageJob) ask(program string, q pageQuestion, answer any) {
	j.t.Helper()
	q["program"], q["url"], q["folder"], q["profile"] = program, "file://"+j.page, j.t.TempDir(), j.t.TempDir()
	j.askOf("page.cjs", q, answer)
}

// askOf asks one of the scripts of testdata/clients.
func (j *pageJob) askOf(script string, q pageQuestion, answer any) {
	j.t.Helper()
	text, err := json.Marshal(q)
	if err != nil {
		j.t.Fatal(err)
	}
	asked := filepath.Join(j.t.TempDir(), "question.json") // Node reads a pipe only as far as it is filled
	store(j.t, asked, text)
	in, err := os.Open(asked)
	if err != nil {
		j.t.Fatal(err)
	}
	defer in.Close()
	c := exec.CommandContext(j.t.Context(), "node", "../../testdata/clients/"+script)
	var told bytes.Buffer
	c.Stdin, c.Stderr = in, &told
	out, err := c.Output()
	if err == nil {
		err = json.Unmarshal(out, answer)
	}
	if err != nil {
		j.t.Fatalf("%v: %v\n%.3000s", q["does"], err, told.Bytes())
	}
}

// TestPageGivesTheSameVisit: every answer of the example's sheet, filled in on the
// page, saved and collected, gives the record that the same sheet gives in Markdown
// and as PDF, in both browsers; a copy of the copy is the same file, and so is a
// copy without answers the page itself. So do the other sheets that examples fill in,
// and of the examples that fill in none every box comes back.
func TestPageGivesTheSameVisit(t *testing.T) {
	long(t)
	j := newPageJob(t)
	want := j.collected(firstVisit)
	if form := j.collected(j.form()); !bytes.Equal(form, want) {
		t.Errorf("the form gives another record:\n%s", firstDifference(form, want))
	}
	more := j.moreSheets()
	for _, b := range browsers {
		t.Run(b.name, func(t *testing.T) {
			program := browserNamed(t, b.name)
			own := *j
			own.t = t
			var a struct {
				File, Again, Empty        string
				Nowhere, Errors, Requests []string
				More                      []struct {
					Block           string
					Nowhere, Errors []string
				}
			}
			own.ask(program, pageQuestion{"does": "fill", "browser": b.name, "entries": j.entries, "original": b.name == "chrome", "lang": "de", "more": more}, &a)
			if len(a.More) != len(more) {
				t.Fatalf("%d sheets came back, want %d", len(a.More), len(more))
			}
			if len(a.Nowhere) > 0 || len(a.Errors) > 0 {
				t.Errorf("boxes that are nowhere: %q, errors: %q", a.Nowhere, a.Errors)
			}
			if got := own.collected(a.File); !bytes.Equal(got, want) {
				t.Errorf("the page gives another record:\n%s", firstDifference(got, want))
			}
			for i, m := range a.More {
				if len(m.Nowhere) > 0 || len(m.Errors) > 0 {
					t.Errorf("%s: boxes that are nowhere: %q, errors: %q", more[i].URL, m.Nowhere, m.Errors)
				}
				more[i].cameBack(t, &own, m.Block)
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

// emptyAnswers is what the block of answers holds on a page that nobody filled in.
const emptyAnswers = `{"setline_answers":1,"entries":{},"stands":[],"photos":[]}`

// comesBack holds that all that was filled in stands in a block of answers.
func (j *pageJob) comesBack(block string, entries map[string]any) {
	j.t.Helper()
	var got struct{ Entries map[string]any }
	if err := json.Unmarshal([]byte(block), &got); err != nil {
		j.t.Fatal(err)
	}
	for name, value := range entries {
		if got.Entries[name] != value {
			j.t.Errorf("%s holds %v, want %v", name, got.Entries[name], value)
		}
	}
}

// sheetWith is a page with other answers in its block.
func (j *pageJob) sheetWith(page, block string) string {
	j.t.Helper()
	path := filepath.Join(j.t.TempDir(), "filled.html")
	store(j.t, path, bytes.Replace(j.read(page), []byte(emptyAnswers), []byte(block), 1))
	return path
}

// form fills in the sheet as PDF, through another program's interface to forms.
func (j *pageJob) form() string {
	j.t.Helper()
	path := filepath.Join(j.t.TempDir(), "sheet.pdf")
	j.must("sheet", j.record, "-o", path, "--date", "2026-10-05", "--each")
	type box struct {
		Name  string `json:"name"`
		Value any    `json:"value"`
	}
	var texts, ticks []box
	for _, name := range slices.Sorted(maps.Keys(j.entries)) {
		if value := j.entries[name]; value == true {
			ticks = append(ticks, box{name, value})
		} else {
			texts = append(texts, box{name, value})
		}
	}
	data, err := json.Marshal(map[string]any{"forms": []any{map[string]any{"textfield": texts, "checkbox": ticks}}})
	if err != nil {
		j.t.Fatal(err)
	}
	var out bytes.Buffer
	if err := api.FillForm(bytes.NewReader(j.read(path)), bytes.NewReader(data), &out, model.NewDefaultConfiguration()); err != nil {
		j.t.Fatal(err)
	}
	store(j.t, path, out.Bytes())
	return path
}

// moreSheet is one more sheet as a page, and how it is filled in.
type moreSheet struct {
	URL     string         `json:"url"`
	Entries map[string]any `json:"entries"`

	job   *pageJob // whose record it is collected into
	sheet string   // with the same answers, in Markdown; "" where they are no visit
	want  []byte   // the record that comes of that
}

// moreSheets are all others that the examples fill in, each where its job has come
// to, and those of the examples that fill in none, with something in every box.
func (j *pageJob) moreSheets() (all []moreSheet) {
	j.t.Helper()
	dir := j.t.TempDir()
	second := &pageJob{t: j.t, record: filepath.Join(dir, "room.json")}
	store(j.t, second.record, j.read(j.record))
	second.must("collect", second.record, firstVisit)
	all = append(all, second.filledIn(secondVisit, "--all"))
	all = append(all, clinicSheets(j.t)...)
	for _, example := range []string{"metric", "soil"} {
		record := "../../examples/" + example + "/job.json"
		page := filepath.Join(dir, example+".html")
		j.must("sheet", record, "-o", page, "--all")
		all = append(all, moreSheet{URL: "file://" + page, Entries: j.something(record)})
	}
	return all
}

// filledIn is a sheet of the record as it is now, with the answers of one in Markdown.
func (j *pageJob) filledIn(sheet string, flags ...string) moreSheet {
	j.t.Helper()
	dir := j.t.TempDir()
	own := &pageJob{t: j.t, dir: dir, record: filepath.Join(dir, "room.json"), page: filepath.Join(dir, "sheet.html")}
	store(j.t, own.record, j.read(j.record))
	own.must(append([]string{"sheet", own.record, "-o", own.page}, flags...)...)
	return moreSheet{URL: "file://" + own.page, Entries: own.answers(sheet), job: own, sheet: sheet, want: own.collected(sheet)}
}

// clinicSheets are those that README.md's walk-through collects: its commands make
// the record, and each sheet is taken of the record before it is collected.
func clinicSheets(t testing.TB) (all []moreSheet) {
	t.Helper()
	readme, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	j := &pageJob{t: t, record: filepath.Join(t.TempDir(), "clinic.json")}
	for _, line := range shellLines(readme) {
		var args []string
		for _, word := range shellWord.FindAllString(line, -1) {
			word = strings.Trim(word, `"`)
			if word == "clinic.json" {
				word = j.record
			}
			args = append(args, strings.Replace(word, "examples/", "../../examples/", 1))
		}
		if !slices.Contains(args, j.record) || strings.Contains(line, "# exit") {
			continue
		}
		switch args = args[1:]; args[0] {
		case "collect":
			all = append(all, j.filledIn(args[2]))
			j.must(args...)
		case "start", "agree", "add", "withdraw", "plan", "release":
			j.must(args...)
		}
	}
	if len(all) < 4 {
		t.Fatalf("README.md collects %d sheets of the clinic only", len(all))
	}
	return all
}

// shellWord is a word of a command in README.md.
var shellWord = regexp.MustCompile(`"[^"]*"|\S+`)

// cameBack holds that all that was filled in on a sheet stands in its block of answers,
// and that it gives the record that the same answers give in Markdown.
func (m *moreSheet) cameBack(t *testing.T, j *pageJob, block string) {
	t.Helper()
	j.comesBack(block, m.Entries)
	if m.job == nil {
		return
	}
	own := *m.job
	own.t = t
	if got := own.collected(own.sheetWith(own.page, block)); !bytes.Equal(got, m.want) {
		t.Errorf("the page gives another record of %s:\n%s", m.sheet, firstDifference(got, m.want))
	}
}

// something answers every question of a record's sheet.
func (j *pageJob) something(record string) map[string]any {
	j.t.Helper()
	rec, src, err := schema.Read(record, j.read(record))
	if err != nil {
		j.t.Fatal(err)
	}
	s, err := fieldsheet.New(rec, src, fieldsheet.Options{All: true})
	if err != nil {
		j.t.Fatal(err)
	}
	values := map[checks.Kind]string{checks.LengthKind: "1.5", checks.CountKind: "2", checks.DateKind: "2026-10-06", checks.Drawer: "1", checks.Words: `Ž "b" \ <c> & d`}
	all, ticked := map[string]any{}, map[*checks.Blank]bool{}
	for _, f := range s.Fields() {
		switch {
		case f.Tick && !ticked[f.Blank]:
			all[f.Name], ticked[f.Blank] = true, true
		case f.Tick:
		case f.Blank.Kind == checks.Choice:
			all[f.Name] = f.Blank.Choices[0]
		default:
			all[f.Name] = values[f.Blank.Kind]
		}
	}
	return all
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
// killed, in both; of two tabs only one writes; without storage it is said loudly,
// and what was entered can be saved; where storage is cleared in the middle, all is
// kept anew; what is old goes when somebody says so twice, and nothing else; and what
// is entered in the moment in which the page is left is there, too.
func TestPageLosesNothing(t *testing.T) {
	long(t)
	j := newPageJob(t)
	for _, b := range browsers {
		t.Run("killed "+b.name, func(t *testing.T) {
			program := browserNamed(t, b.name)
			own := *j
			own.t = t
			var a struct {
				Shown []struct{ Kept, Entered, Had int }
				Lost  []any
			}
			own.ask(program, pageQuestion{"does": "kill", "browser": b.name, "kills": *kills, "where": "S-112, elevation A", "to": "A2"}, &a)
			t.Logf("%+v", a.Shown)
			if len(a.Lost) > 0 || len(a.Shown) != *kills || a.Shown[*kills-1].Had == 0 {
				t.Errorf("%+v", a)
			}
		})
	}
	for _, b := range browsers {
		t.Run(b.name, func(t *testing.T) {
			program := browserNamed(t, b.name)
			own := *j
			own.t = t
			own.storage(program, b.name)
		})
	}
}

// storage holds what the page does where storage is held by another tab, blocked,
// cleared, and full of what is old.
func (j *pageJob) storage(program, browser string) {
	t := j.t
	var a [5]struct {
		Said, Before, After, File, Offered, Asked string
		Found                                     []string
		Locked                                    bool
		State                                     struct{ State, Text string }
		Left                                      map[string]any
		Names, Errors                             []string
	}
	j.ask(program, pageQuestion{"browser": browser, "steps": []pageQuestion{{"does": "twice"}, {"does": "blocked", "entries": j.entries}, {"does": "cleared"}, {"does": "old"}, {"does": "left"}}}, &a)
	if tabs := a[0]; !tabs.Locked || !strings.Contains(tabs.Said, "open in another tab") || tabs.After != "" {
		t.Errorf("two tabs: %+v", tabs)
	}
	blocked, cleared, old := a[1], a[2], a[3]
	if !strings.Contains(blocked.Said, "keeps nothing") || !strings.Contains(blocked.State.Text, "NOT KEPT") {
		t.Errorf("no storage: %+v", blocked)
	}
	if !bytes.Equal(j.collected(blocked.File), j.collected(firstVisit)) {
		t.Error("what was saved without storage gives another record")
	}
	want := map[string]any{"people/0/name": "Before", "date": "2026-10-06", "people/0/firm": "After"}
	if !maps.Equal(cleared.Left, want) || len(cleared.Errors) > 0 {
		t.Errorf("after storage was cleared it holds %v, want %v; errors: %q", cleared.Left, want, cleared.Errors)
	}
	if old.Offered != "Delete 2 old ones" || !strings.Contains(old.Asked, "over 30 days ago") || !slices.Equal(old.Names, []string{"a/3", "a/4"}) || len(old.Errors) > 0 {
		t.Errorf("old drafts: %+v", old)
	}
	left := a[4]
	if want := []string{"", "Leaving 0", "Leaving 1", "Leaving 2"}; !slices.Equal(left.Found, want) {
		t.Errorf("left right after an entry it holds %q, want %q", left.Found, want)
	}
	if other := "not of today"; strings.Contains(left.Before, other) || !strings.Contains(left.After, other) {
		t.Errorf("before midnight it says %q, and after it %q", left.Before, left.After)
	}
}

// doubtSaid is what the page did about a value that is likely a slip.
type doubtSaid struct {
	First, Mend, Back, Value string
	Rules, Stands            []string
	Mended, Next             bool
}

// holds says that it asked before anything else; led back to the box, to mend it,
// and to what was passed over; and took that it stands.
func (d *doubtSaid) holds(t *testing.T, size, box, slip string) {
	t.Helper()
	if d.First != "mend" || d.Mend != box || !d.Mended || d.Back != box || d.Value != slip || !d.Next || !slices.Equal(d.Stands, []string{box}) {
		t.Errorf("%s: %+v", size, d)
	}
	if len(d.Rules) != 1 || !strings.HasPrefix(d.Rules[0], "Is that right?") {
		t.Errorf("%s: beside the question it says %q", size, d.Rules)
	}
}

// keptPictures are the views of which pictures are kept, by size and name.
var keptPictures = []string{"phone-elevation", "phone-pad", "tablet-pad"}

const picturesShelf = "../../testdata/pages/sheet"

// likeKept holds that a picture of the page shows what the kept one does, each looked
// at from so far away that letters are grey: one is old where more than a tenth of
// its squares are lighter or darker than they were.
func likeKept(t *testing.T, got, kept string) {
	t.Helper()
	a, b := fromAfar(t, got), fromAfar(t, kept)
	other := 0
	for at, grey := range a {
		if was, ok := b[at]; !ok || max(grey-was, was-grey) > 25 {
			other++
		}
	}
	if len(a) != len(b) || other > len(a)/10 {
		t.Errorf("%d of %d squares of %s are not as they were; look at the page, and take the pictures anew: go test ./cmd/setline -run TestPageForEveryone -update-page-pictures", other, len(a), kept)
	}
}

// fromAfar is how light a picture is, from 0 to 255, in squares of 20 pixels.
func fromAfar(t *testing.T, file string) map[image.Point]int {
	t.Helper()
	const side = 20
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	m, err := png.Decode(f)
	if err != nil {
		t.Fatal(err)
	}
	sums := map[image.Point]int{}
	r := m.Bounds()
	for y := range r.Dy() / side * side {
		for x := range r.Dx() / side * side {
			sums[image.Pt(x/side, y/side)] += int(color.GrayModel.Convert(m.At(r.Min.X+x, r.Min.Y+y)).(color.Gray).Y)
		}
	}
	for at := range sums {
		sums[at] /= side * side
	}
	return sums
}

// TestPageForEveryone: on every view, on a telephone upright and on its side, on a
// tablet, and magnified, nothing that can be touched is smaller than 44 px or
// covered (WCAG 2.2, 2.5.5), nothing is wider than the screen, and the box that is
// filled in stays in sight of the pad; axe-core finds nothing serious; keys alone
// do, and answer what is asked about a value that is likely a slip, as a finger does.
func TestPageForEveryone(t *testing.T) {
	program := browserNamed(t, "chrome")
	j := newPageJob(t)
	box := checks.PlaceName("rooms", "S-112", "joints", "A1+A2", "gap")
	const slip = "12"
	look := pageQuestion{"does": "look", "where": "S-112, elevation A", "filler": "A0", "joint": "A1+A2", "to": "A2", "slip": slip, "axe": true}
	shelf := t.TempDir()
	if *updatePagePictures {
		shelf = picturesShelf
	}
	look["shelf"], look["pictures"] = shelf, keptPictures
	var a [3]struct {
		Axe, Small, Wide []string
		Views            int
		Entries          map[string]any
		Tablet, Phone    doubtSaid
	}
	var refused map[string]struct {
		Said      string
		Cut, Wide int
	}
	var here struct{ Places, Typed, Errors []string }
	at := pageQuestion{"where": "S-112, elevation A", "to": "A1+A2", "box": box}
	j.ask(program, pageQuestion{"steps": []pageQuestion{look, {"does": "keyboard", "to": "A2"}, at.to("doubt", "slip", slip, "value", "1/32"), at.to("refused", "value", "1,5"),
		{"does": "here", "where": "S-112, elevation A", "to": "A2", "places": 8, "pasted": []string{"9½", `34 1/2"`, "9-1/2", "−1/4", "９ in", `2' 10"`, "241.3 mm", ""}}}}, &[]any{&a[0], &a[1], &a[2], &refused, &here})
	for _, place := range here.Places {
		if of, marked, _ := strings.Cut(place, ": "); of != marked {
			t.Errorf("where %s is filled in the drawing shows %s", of, marked)
		}
	}
	if len(here.Places) != 10 || len(here.Errors) > 0 {
		t.Errorf("places: %q, errors: %q", here.Places, here.Errors)
	}
	// Then five eighths were tapped, of an inch of which the whole number stays.
	if want := []string{"0 0", "91", "32 39", "9 5/8", "34 5/8", "9 5/8", "-5/8", "9 5/8", `2' 10"`, "241.3 mm", "5/8"}; !slices.Equal(here.Typed, want) {
		t.Errorf("typed beside the pad, it shows and goes on to %q, want %q", here.Typed, want)
	}
	for size, r := range refused {
		if !strings.Contains(r.Said, "a comma in the number") || !strings.Contains(r.Said, "write decimals with a point") || r.Cut > 0 || r.Wide > 0 {
			t.Errorf("%s: of what is no value it says %q, of which %d px are cut off; a long one is %d px too wide", size, r.Said, r.Cut, r.Wide)
		}
	}
	if len(refused) != 3 {
		t.Errorf("what is no value was entered at %d sizes, want 3", len(refused))
	}
	for _, wrong := range [][]string{a[0].Axe, a[0].Small, a[0].Wide} {
		for _, one := range wrong {
			t.Error(one)
		}
	}
	for _, name := range keptPictures {
		name = "page-" + name + ".png"
		likeKept(t, filepath.Join(shelf, name), filepath.Join(picturesShelf, name))
	}
	if a[0].Views < 40 {
		t.Errorf("%d views were looked at only", a[0].Views)
	}
	if typed := a[1].Entries; len(typed) < 2 || typed["people/0/name"] != "Keys Only" {
		t.Errorf("typed by keys alone: %v", typed)
	}
	a[2].Tablet.holds(t, "by keys", box, slip)
	a[2].Phone.holds(t, "by touch", box, slip)
}

// TestPageInLargeLetters: who set letters twice as large in the browser gets them, on a
// telephone, and nothing is too small to touch, covered, cut off or too wide for it.
func TestPageInLargeLetters(t *testing.T) {
	program := browserNamed(t, "chrome")
	var a struct{ Small, Wide []string }
	newPageJob(t).ask(program, pageQuestion{"does": "look", "letters": 32, "sizes": []string{"phone"}, "where": "S-112, elevation A", "filler": "A0", "joint": "A1+A2", "to": "A2", "slip": "12"}, &a)
	for _, wrong := range slices.Concat(a.Small, a.Wide) {
		t.Error(wrong)
	}
}

// TestPageBeforeItsProgram: a page whose program has not started says of a room in
// which nothing is filled in what the rules say of its record; what is entered then
// is kept, and said to be not judged yet. Where the program cannot start at all, the
// page says that, and no verdict.
func TestPageBeforeItsProgram(t *testing.T) {
	j := newPageJob(t)
	type said struct {
		Before, Entered, After string
		Kept                   int
	}
	var a struct{ Waits, Failed said }
	j.ask(browserNamed(t, "chrome"), pageQuestion{"does": "unstarted", "where": "S-112, elevation A", "to": "A2"}, &a)
	if want := j.outcomes("S-112", "A"); !strings.HasPrefix(a.Waits.Before, want) || !strings.HasPrefix(a.Waits.After, "The rules are being read") {
		t.Errorf("while it starts the page says %q, and %q after an entry, not %q", a.Waits.Before, a.Waits.After, want)
	}
	if !strings.Contains(a.Waits.Entered, "not judged yet") {
		t.Errorf("of what was entered the page says %q", a.Waits.Entered)
	}
	for _, said := range []string{a.Failed.Before, a.Failed.After} {
		if !strings.HasPrefix(said, "The rules cannot judge here (of this test)") {
			t.Errorf("where the program fails the page says %q", said)
		}
	}
	if a.Waits.Kept != 1 || a.Failed.Kept != 1 {
		t.Errorf("kept: %d and %d answers, not 1", a.Waits.Kept, a.Failed.Kept)
	}
}

// outcomes counts what the rules say of an elevation and of its room, as a page does:
// what was received is of the whole job.
func (j *pageJob) outcomes(room, elevation string) string {
	j.t.Helper()
	rec, src, err := schema.Read("room.json", j.read(j.record))
	if err != nil {
		j.t.Fatal(err)
	}
	found, err := checks.Run(rec, src)
	if err != nil {
		j.t.Fatal(err)
	}
	of := map[checks.Outcome]int{}
	for _, r := range found.Results {
		if r.Rule.ID != "parts-received" && r.Subject.Room == room && (r.Subject.Elevation == "" || r.Subject.Elevation == elevation) {
			of[r.Outcome]++
		}
	}
	return fmt.Sprintf("%d hold, %d do not, %d doubtful, %d not observed", of[checks.Pass], of[checks.Fail], of[checks.Undecided], of[checks.NotObserved])
}

// longNames is a small room whose names are as long as German ones are.
const longNames = `room,use,elevation,left end,right end,work height,top thickness,tag,part,kind,description,width,scribe,gauge,front
Instrumentenaufbereitungsraum 2.117b,Aufbereitung,Fensterwand,wall,exposed,35 1/2 in,1 in,Passleiste-links-0146,F3W,filler,"Passleiste an der Wand, anzureißen",3 in,1 in,18,
Instrumentenaufbereitungsraum 2.117b,,Fensterwand,,,,,Unterschrank-0147,BD24,cabinet,"Schubladenunterschrank, abschließbar, mit Gefahrstoffeinsatz",24 in,,,1 drawer 6 in / 1 drawer / 1 drawer
Instrumentenaufbereitungsraum 2.117b,,Fensterwand,,,,,Spülenunterschrank-0148,S36,cabinet,Spülenunterschrank,36 in,,,1 panel 6 in / 2 doors
`

// newLongNames is the job of that room, and its sheet.
func newLongNames(t *testing.T) *pageJob {
	t.Helper()
	dir := t.TempDir()
	j := &pageJob{t: t, dir: dir, record: filepath.Join(dir, "room.json"), page: filepath.Join(dir, "sheet.html")}
	units, csv := filepath.Join(dir, "units.csv"), "../../examples/annex/csv/"
	store(t, units, []byte(longNames))
	j.must("start", "-o", j.record, "--name", "Zentralsterilisation", "--installer", "Fennick & Dole", "--contractor", "Tarn Valley Builders",
		"--height", "34 in", "--depth", "22 in", "--gauge", "18", "--front-rail-depth", "7/8 in", "--leveler-least", "1/2 in", "--leveler-greatest", "2 in", "--threads", "16",
		"--units", units, "--instruments", csv+"instruments.csv", "--screws", csv+"screws.csv")
	j.must("sheet", j.record, "-o", j.page)
	return j
}

// TestPageByTouch: a room is filled in by touch alone, from the first box to the
// saved copy, which "collect" takes: "next" leads from number to number with hardly a
// tap in between, a value is typed over and taken away, a tick taken back, and for
// the next day the sheet is emptied. Keys alone fill it in too, and whatever they
// come by has a name. Names as long as German ones leave everything large enough to
// touch.
func TestPageByTouch(t *testing.T) {
	program := browserNamed(t, "chrome")
	j := newLongNames(t)
	where := "Instrumentenaufbereitungsraum 2.117b, elevation Fensterwand"
	var a [3]struct {
		Unnamed                         []string
		Done                            bool
		Small, Wide, Places, Errors     []string
		Entries                         map[string]any
		Numbers, PadTaps, BoxTaps, Left int
		File, Block, Over, Away, Asked  string
		Untick                          bool
	}
	j.ask(program, pageQuestion{"steps": []pageQuestion{
		{"does": "touch", "top": "9 33/64", "floor": "44 33/64", "opening": "30", "small": "1/64"},
		{"does": "look", "sizes": []string{"phone"}, "where": where, "filler": "Passleiste-links-0146", "joint": "Unterschrank-0147+Spülenunterschrank-0148", "to": "Unterschrank-0147", "slip": "12"},
		{"does": "keys", "top": "9 33/64", "floor": "44 33/64", "opening": "30", "small": "1/64"},
	}}, &a)
	touched, look, keys := a[0], a[1], a[2]
	for _, wrong := range slices.Concat(look.Small, look.Wide, touched.Errors, keys.Errors) {
		t.Error(wrong)
	}
	j.comesBack(keys.Block, keys.Entries)
	if !keys.Done || len(keys.Unnamed) > 0 || len(keys.Entries) < touched.Numbers {
		t.Errorf("by keys: to the end %t, %d answers, without a name: %q", keys.Done, len(keys.Entries), keys.Unnamed)
	}
	j.comesBack(touched.Block, touched.Entries)
	t.Logf("%d numbers by %d taps on the pad and as many on next; %d boxes had to be tapped; %d places", touched.Numbers, touched.PadTaps, touched.BoxTaps, len(touched.Places))
	if touched.Numbers < 15 || touched.BoxTaps > len(touched.Places) || touched.PadTaps > 3*touched.Numbers {
		t.Error("these are too many taps, or too few numbers")
	}
	if touched.Over != "7" || touched.Away != "" || !touched.Untick {
		t.Errorf("typed over it is %q, taken away %q, a tick taken back: %t", touched.Over, touched.Away, touched.Untick)
	}
	if !strings.Contains(touched.Asked, "The saved copy stays") || touched.Left != 0 {
		t.Errorf("emptied it holds %d answers, and asked %q before", touched.Left, touched.Asked)
	}
	j.must("collect", j.record, touched.File)
}

// TestPagePhotograph: a photograph is turned upright, made small, saved with the
// page, and comes beside the record as the picture that was embedded. One that is
// taken away leaves the device; one that has no room there is told, and what is
// entered is kept again once it is taken away. Printed, the page is the sheet with
// all that was answered.
func TestPagePhotograph(t *testing.T) {
	program := browserNamed(t, "chrome")
	j := newPageJob(t)
	picture := filepath.Join(t.TempDir(), "camera.jpg")
	if err := os.WriteFile(picture, onItsSide(t), 0o600); err != nil {
		t.Fatal(err)
	}
	var a struct {
		File, Full                     string
		Printed, Errors, Before, After []string
		Forged                         []string
		Again                          struct{ State, Alarm string }
	}
	j.ask(program, pageQuestion{"does": "photo", "entries": j.entries, "picture": picture, "other": filepath.Join(picturesShelf, "page-phone-pad.png"), "where": "S-112, elevation A", "to": "A2"}, &a)
	if len(a.Before) != 1 || len(a.After) != 0 {
		t.Errorf("the device holds the photographs %q, and %q after they were taken away", a.Before, a.After)
	}
	if !strings.Contains(a.Full, "The device is full") || a.Again.State != "kept" || a.Again.Alarm != "" {
		t.Errorf("on a full device it says %q, and with room again it is %+v", a.Full, a.Again)
	}
	if !slices.Equal(a.Forged, []string{`id="setline-answers`}) {
		t.Errorf("with a forged picture in its store the page holds the blocks %q", a.Forged)
	}
	for _, printed := range a.Printed {
		j.printed(printed)
	}
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

// printed holds that a printed page begins with what to take care of, holds every
// question and all that was answered, within its sheets of paper.
func (j *pageJob) printed(file string) {
	j.t.Helper()
	if _, err := exec.LookPath("pdftotext"); err != nil {
		if os.Getenv("CI") == "true" {
			j.t.Fatal("pdftotext is missing; see .ci/run")
		}
		j.t.Skip("pdftotext is missing, so what is printed was not read")
	}
	out, err := exec.Command("pdftotext", "-layout", file, "-").Output()
	if err != nil {
		j.t.Fatal(err)
	}
	text := strings.Join(strings.Fields(string(out)), " ")
	first, _, _ := strings.Cut(text, "Date of the visit")
	for _, want := range []string{"Cautions", "Do not look into the laser", "Local codes prevail", "This is a workmanship record"} {
		if !strings.Contains(first, want) {
			j.t.Errorf("%s does not say %q before its first box", file, want)
		}
	}
	ticks := 0
	for name, value := range j.entries {
		if value == true {
			ticks++
		} else if words := strings.Join(strings.Fields(value.(string)), " "); !strings.Contains(text, words) && len(words) < 20 {
			j.t.Errorf("%s lacks %q, the answer in %s", file, words, name)
		}
	}
	if n := strings.Count(text, "×"); n != ticks {
		j.t.Errorf("%s shows %d ticks, want %d", file, n, ticks)
	}
	if !strings.Contains(text, "scratch on the side <b>") {
		j.t.Errorf("%s lacks the photograph's caption", file)
	}
	places, err := exec.Command("pdftotext", "-bbox", file, "-").Output()
	if err != nil {
		j.t.Fatal(err)
	}
	const leastMargin = 20 // points
	var width float64
	for line := range strings.Lines(string(places)) {
		if m := pageSize.FindStringSubmatch(line); m != nil {
			width, _ = strconv.ParseFloat(m[1], 64)
		} else if m := wordRight.FindStringSubmatch(line); m != nil {
			if right, _ := strconv.ParseFloat(m[1], 64); right > width-leastMargin {
				j.t.Errorf("%s: %s ends beyond its margin", file, strings.TrimSpace(line))
			}
		}
	}
}

var (
	pageSize  = regexp.MustCompile(`<page width="([0-9.]+)"`)
	wordRight = regexp.MustCompile(`<word [^>]*xMax="([0-9.]+)"`)
)

// TestPageOffline: a sheet from a server opens without it, with what was entered,
// in both browsers; where it was made anew meanwhile, what was entered before is
// offered, taken up, and deleted only when somebody says so twice.
func TestPageOffline(t *testing.T) {
	j := newPageJob(t)
	updated := filepath.Join(t.TempDir(), "updated") + "/"
	j.must("sheet", j.record, "-o", updated, "--date", "2026-10-06", "--each")
	for _, b := range browsers {
		t.Run(b.name, func(t *testing.T) {
			program := browserNamed(t, b.name)
			own := *j
			own.t = t
			served := filepath.Join(t.TempDir(), "served") + "/"
			own.must("sheet", j.record, "-o", served)
			type state struct {
				State string
				Count int
			}
			var a struct {
				Offered, Asked string
				Before         int
				State, After   state
				Errors         []string
			}
			own.ask(program, pageQuestion{"does": "offline", "browser": b.name, "served": served, "updated": updated, "entries": map[string]any{"date": "2026-10-06", "people/0/name": "Ingrid Sørlie"}}, &a)
			if !strings.Contains(a.Offered, "2 answers, kept") || !strings.Contains(a.Offered, "never saved") || a.Before != 0 {
				t.Errorf("offered %q, with %d answers there", a.Offered, a.Before)
			}
			if kept := (state{"kept", 2}); a.State != kept || a.After != kept || len(a.Errors) > 0 {
				t.Errorf("%+v", a)
			}
			if !strings.Contains(a.Asked, "There is no other copy") {
				t.Errorf("asked %q before it deletes", a.Asked)
			}
		})
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
