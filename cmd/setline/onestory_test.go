package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"setline.example/checks"
	"setline.example/checks/compare"
	"setline.example/schema"
	"setline.example/schema/chance"
	"setline.example/schema/chance/jobs"
)

// The states of a fault.
const (
	faultOpen     = "open"
	faultPutRight = "put right"
	faultConceded = "conceded"
	faultNever    = "never was"
	faultGone     = "planned no more, or otherwise"
)

// aFault is what is told of one fault.
type aFault struct {
	room, item, rule, state string
	outcome                 checks.Outcome // now, of one that is open
}

// storyOf is the story of a record's faults by their numbers, as values.
func storyOf(t *testing.T, rec *schema.Record, src *schema.Source) map[int]aFault {
	t.Helper()
	faults, err := checks.History(rec, src)
	if err != nil {
		t.Fatal(err)
	}
	found, err := checks.Run(rec, src)
	if err != nil {
		t.Fatal(err)
	}
	now := map[[2]string]checks.Outcome{}
	for _, r := range found.Results {
		now[[2]string{r.Rule.Name, r.Subject.String()}] = r.Outcome
	}
	story := map[int]aFault{}
	for _, f := range faults {
		a := aFault{room: f.Subject.Room, item: f.Subject.Item, rule: f.Rule.Name, state: faultOpen, outcome: now[[2]string{f.Rule.Name, f.Subject.String()}]}
		switch {
		case f.TakenBack:
			a.state = faultNever
		case f.Replanned:
			a.state = faultGone
		case f.PutRight:
			a.state = faultPutRight
		case a.outcome == checks.Conceded:
			a.state = faultConceded
		}
		story[f.Number] = a
	}
	return story
}

// TestOneStory: whatever was entered into a job, and taken back, corrected, packed,
// conceded, planned otherwise or sent later, every command and document tells the
// same of each fault: its number, what became of it, where it is, and which rule.
func TestOneStory(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	text, err := os.ReadFile("../../examples/metric/job.json")
	if err != nil {
		t.Fatal(err)
	}
	whole, _, err := schema.Read("job.json", text)
	if err != nil {
		t.Fatal(err)
	}
	told := map[string]int{}
	// On until every state was told of some fault, which chance alone decides.
	for n := 0; n < 2 || n < 12 && len(told) < 5; n++ {
		holdStory(t, rng, whole, told)
	}
	if len(told) < 5 {
		t.Errorf("found faults told as %v, expected some in each of five states", told)
	}
}

// holdStory holds what is told of one random job, and of it and an earlier copy.
func holdStory(t *testing.T, rng *rand.Rand, whole *schema.Record, told map[string]int) {
	t.Helper()
	states := jobs.Entered(t, rng, whole, jobs.Of{Entries: 14, Replans: 3, Short: true, Also: agreed(t, rng)})
	dir := t.TempDir()
	early, late := states[rng.IntN(len(states))], states[len(states)-1]
	s := story{t: t, late: filepath.Join(dir, "late.json"), early: filepath.Join(dir, "early.json")}
	s.now, s.then = s.write(s.late, late), s.write(s.early, early)
	for _, f := range s.now {
		told[f.state]++
	}
	s.status()
	s.punch()
	s.compare()
	s.report(filepath.Join(dir, "report.md"))
	s.sheet(filepath.Join(dir, "sheet.md"))
	if t.Failed() {
		kept := filepath.Join(os.TempDir(), "onestory")
		_ = os.MkdirAll(kept, 0o755)
		for _, name := range []string{"late.json", "early.json", "report.md", "sheet.md"} {
			data, _ := os.ReadFile(filepath.Join(dir, name))
			_ = os.WriteFile(filepath.Join(kept, name), data, 0o644)
		}
		t.FailNow()
	}
}

// agreed concedes what is open, now and then. What was conceded of what the plan
// has no more is history, as the commands make it.
func agreed(t *testing.T, rng *rand.Rand) func(*schema.Record) {
	seen, entries := 0, 0
	return func(r *schema.Record) {
		text, err := json.Marshal(r)
		if err != nil {
			t.Fatal(err)
		}
		e := edit{path: "job.json", rec: &schema.Record{}, src: &schema.Source{}, text: text}
		n := len(r.Measured.Visits) + len(r.Arrived.Receipts)
		if n == seen {
			if err := e.retire(); err != nil {
				t.Fatal(err)
			}
		}
		seen = n
		entries++
		again, src, err := schema.Read(e.path, e.text)
		if err != nil {
			t.Fatal(err)
		}
		*r = *again
		found, err := checks.Run(again, src)
		if err != nil {
			t.Fatal(err)
		}
		var open []checks.Result
		for _, one := range found.Results {
			if one.Outcome == checks.Fail && one.Rule.NoConcession == "" {
				open = append(open, one)
			}
		}
		if len(open) == 0 || entries%3 > 0 { // the last among them
			return
		}
		one := open[rng.IntN(len(open))]
		day := schema.Date("2026-10-01")
		for _, v := range r.Measured.Visits {
			day = max(day, v.Date)
		}
		for _, c := range r.Arrived.Receipts {
			day = max(day, c.Date)
		}
		r.Agreed.Concessions = slices.DeleteFunc(r.Agreed.Concessions, func(c schema.Concession) bool { return c.Rule == one.Rule.Name && c.Subject == one.Subject.String() })
		r.Agreed.Concessions = append(r.Agreed.Concessions, schema.Concession{
			Rule: one.Rule.Name, Subject: one.Subject.String(), Reason: "not in view", By: schema.Party{Name: "A. Contractor", Role: "contractor"}, Date: day,
		})
	}
}

// story is what is told of a record, and what is so.
type story struct {
	t           *testing.T
	early, late string // files
	then, now   map[int]aFault
}

func (s *story) write(path string, rec *schema.Record) map[int]aFault {
	text, err := json.Marshal(rec)
	if err != nil {
		s.t.Fatal(err)
	}
	if err := os.WriteFile(path, text, 0o644); err != nil {
		s.t.Fatal(err)
	}
	again, src, err := schema.Read(path, text)
	if err != nil {
		s.t.Fatal(err)
	}
	return storyOf(s.t, again, src)
}

// says runs a command, and gives what it writes.
func (s *story) says(args ...string) []byte {
	s.t.Helper()
	var out, errs bytes.Buffer
	if code := run(args, strings.NewReader(""), &out, &errs); code > exitNotReady {
		s.t.Fatalf("setline %v: exit code %d: %s", args, code, errs.String())
	}
	return out.Bytes()
}

// hold compares what is told with what is so.
func (s *story) hold(who string, got, want map[int]aFault) {
	s.t.Helper()
	all := maps.Clone(want)
	maps.Copy(all, got)
	for _, n := range slices.Sorted(maps.Keys(all)) {
		if got[n] != want[n] {
			s.t.Errorf("%s: of fault %d found %+v, expected %+v", who, n, got[n], want[n])
		}
	}
}

// in gives the faults in some states, with only what a teller tells.
func in(all map[int]aFault, as func(aFault) aFault, states ...string) map[int]aFault {
	some := map[int]aFault{}
	for n, f := range all {
		if slices.Contains(states, f.state) {
			some[n] = as(f)
		}
	}
	return some
}

func asTold(f aFault) aFault { f.outcome = ""; return f }

// status counts what is open.
func (s *story) status() {
	var told status
	if err := json.Unmarshal(s.says("status", s.late, "--format", "json"), &told); err != nil {
		s.t.Fatal(err)
	}
	want := 0
	for _, f := range s.now {
		if f.state == faultOpen && f.outcome == checks.Fail {
			want++
		}
	}
	if told.Total.Faults != want {
		s.t.Errorf("status: found %d open faults, expected %d", told.Total.Faults, want)
	}
}

// punch has every open fault, and no other.
func (s *story) punch() {
	rows, err := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(s.says("punch", s.late), []byte("\uFEFF")))).ReadAll()
	if err != nil {
		s.t.Fatal(err)
	}
	got := map[int]aFault{}
	for _, row := range rows[1:] {
		if row[0] == "" {
			if row[4] == "fail" {
				s.t.Errorf("punch: found a fault without a number: %q", row)
			}
			continue
		}
		n, _ := strconv.Atoi(row[0])
		got[n] = aFault{room: row[1], item: strings.TrimPrefix(row[2], "'"), rule: row[3], state: faultOpen, outcome: checks.Outcome(row[4])}
	}
	s.hold("punch", got, in(s.now, func(f aFault) aFault { return f }, faultOpen))
}

// compare tells what was opened and closed between two copies.
func (s *story) compare() {
	var told compare.Comparison
	if err := json.Unmarshal(s.says("compare", s.early, s.late, "--format", "json"), &told); err != nil {
		s.t.Fatal(err)
	}
	note := func(f compare.FaultNote, state string) aFault {
		switch {
		case f.Withdrawn, f.Corrected:
			state = faultNever
		case f.Replanned:
			state = faultGone
		case f.Conceded:
			state = faultConceded
		}
		return aFault{room: f.Room, item: f.Item, rule: f.Rule, state: state}
	}
	got := map[int]aFault{}
	for _, f := range told.Opened {
		got[f.Number] = note(f, faultOpen)
	}
	for _, f := range told.Closed {
		got[f.Number] = note(f, faultPutRight)
	}
	for _, f := range told.Passing {
		got[f.Number] = note(f, faultPutRight)
	}
	want := map[int]aFault{}
	for n, f := range s.now {
		was, known := s.then[n]
		empty := f.state == faultNever || f.state == faultGone
		if was.state != f.state && (!empty || known && was.state != faultNever && was.state != faultGone) {
			want[n] = asTold(f)
		}
	}
	s.hold("compare", got, want)
}

var numbersOnly = regexp.MustCompile(`\d+`)

// report has every fault of the record in one place, by its number.
func (s *story) report(path string) {
	s.says("report", s.late, "-o", path, "--date", "2026-12-01")
	text, err := os.ReadFile(path)
	if err != nil {
		s.t.Fatal(err)
	}
	got := map[int]aFault{}
	tell := func(n string, f aFault) {
		k, err := strconv.Atoi(n)
		if _, twice := got[k]; err != nil || twice {
			s.t.Errorf("report: found fault %q twice, or no number", n)
		}
		got[k] = f
	}
	head, room := "", ""
	for line := range strings.Lines(string(text)) {
		line = strings.TrimSpace(line)
		cells := cellsOf(line)
		switch {
		case strings.HasPrefix(line, "## "):
			head = line[3:]
		case strings.HasPrefix(line, "### "):
			room = plainCell(line[4:])
		case strings.HasPrefix(line, "Numbers that stay empty"), strings.HasPrefix(line, "Numbers of"):
			state := faultNever
			if strings.HasPrefix(line, "Numbers of") {
				state = faultGone
			}
			numbers, _, _ := strings.Cut(line[strings.Index(line, ":"):], ". ")
			for _, n := range numbersOnly.FindAllString(numbers, -1) {
				tell(n, aFault{state: state})
			}
		case len(cells) < 4 || !numbersOnly.MatchString(cells[0]) || strings.Contains(cells[0], "-"):
		case head == "Punch list":
			outcome, said, _ := strings.Cut(cells[2], ": ")
			rule, _, _ := strings.Cut(said, ". ")
			tell(cells[0], aFault{room: room, item: cells[1], rule: rule, state: faultOpen, outcome: checks.Outcome(outcome)})
		case head == "Found and put right":
			of, item, _ := strings.Cut(cells[1], "/")
			tell(cells[0], aFault{room: of, item: item, rule: cells[2], state: faultPutRight})
		case head == "Concessions" && cells[len(cells)-1] == "in force":
			of, item, _ := strings.Cut(cells[1], "/")
			tell(cells[0], aFault{room: of, item: item, rule: cells[2], state: faultConceded})
		}
	}
	want := in(s.now, func(f aFault) aFault { return aFault{state: f.state} }, faultNever, faultGone)
	maps.Copy(want, in(s.now, asTold, faultPutRight, faultConceded))
	maps.Copy(want, in(s.now, func(f aFault) aFault { return f }, faultOpen))
	s.hold("report", got, want)
}

// cellsOf are the cells of a row of a table in Markdown, without emphasis.
func cellsOf(line string) []string {
	if !strings.HasPrefix(line, "| ") {
		return nil
	}
	var cells []string
	for _, c := range strings.Split(strings.Trim(line, "|"), " | ") {
		cells = append(cells, plainCell(c))
	}
	return cells
}

var escaped = regexp.MustCompile(`\\([[:punct:]])`)

func plainCell(s string) string {
	return escaped.ReplaceAllString(strings.ReplaceAll(strings.TrimSpace(s), "**", ""), "$1")
}

var lookAgain = regexp.MustCompile(`^\*\*Look again \(No\. (\d+), (?:(run [^,]+), )?([^)]+)\): ([a-z ]+), `)

// sheet asks again for what is open, and for nothing that is not.
func (s *story) sheet(path string) {
	s.says("sheet", s.late, "-o", path, "--date", "2026-12-01")
	text, err := os.ReadFile(path)
	if err != nil {
		s.t.Fatal(err)
	}
	got := map[int]aFault{}
	room, item := "", ""
	for line := range strings.Lines(string(text)) {
		line = strings.TrimSpace(line)
		if of, ok := strings.CutPrefix(line, "### "); ok {
			of, _, _ = strings.Cut(plainCell(of), ": ")
			room, item, _ = strings.Cut(of, "/")
		}
		if m := lookAgain.FindStringSubmatch(line); m != nil {
			n, _ := strconv.Atoi(m[1])
			got[n] = aFault{room: room, item: orWord(m[2], item), rule: m[3], state: faultOpen, outcome: checks.Outcome(m[4])}
		} else if strings.HasPrefix(line, "**Look again") && !strings.Contains(line, "undecided") {
			s.t.Errorf("sheet: found no number in %q", line)
		}
	}
	for n, f := range got {
		if f != s.now[n] {
			s.t.Errorf("sheet: of fault %d found %+v, expected %+v", n, f, s.now[n])
		}
	}
	for n, f := range s.now {
		// Parts are counted on a sheet of their own.
		if f.state == faultOpen && f.rule != "parts received" && got[n].rule == "" {
			s.t.Errorf("sheet: found nothing asked of fault %d, %+v", n, f)
		}
	}
}
