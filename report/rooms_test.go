package report

import (
	"encoding/json"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/report/drawing"
	"setline.example/schema"
	"setline.example/schema/chance"
	"setline.example/schema/length"
)

// randomRecords are random rooms in which all kinds of things are wrong, were not
// looked at, or are conceded, as files in a folder.
func randomRecords(t *testing.T, n int) (paths []string) {
	t.Helper()
	seed := chance.Seed(t)
	dir := t.TempDir()
	made := exec.Command("go", "run", "../checks/internal/rooms/generate", "-n", strconv.Itoa(n), "-rooms", "0", "-visits", "2",
		"-seed", strconv.FormatUint(seed, 10), "-o", dir)
	if out, err := made.CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	rng := chance.Source(t)
	paths, err := filepath.Glob(filepath.Join(dir, "*", "*.json"))
	if err != nil || len(paths) != n {
		t.Fatalf("%d records, %v", len(paths), err)
	}
	for _, path := range paths {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		var rec schema.Record
		if err := json.Unmarshal(data, &rec); err != nil {
			t.Fatal(err)
		}
		disturb(rng, &rec)
		if data, err = json.Marshal(&rec); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return paths
}

// disturb puts faults into a record, and leaves out some of what was observed.
func disturb(rng *rand.Rand, rec *schema.Record) {
	if rng.IntN(3) == 0 {
		rec.Planned.DecisionRule = checks.Guarded
	}
	if rng.IntN(3) == 0 && len(rec.Planned.Rooms) > 1 {
		for i := range rec.Measured.Visits { // nobody went there
			delete(rec.Measured.Visits[i].Rooms, rec.Planned.Rooms[0].Name)
		}
	}
	no := false
	off := func(most length.Length) length.Length { return length.Length(rng.Int64N(int64(2*most)+1)) - most }
	for i := range rec.Measured.Visits {
		v := &rec.Measured.Visits[i]
		for _, name := range slices.Sorted(maps.Keys(v.Rooms)) {
			room := v.Rooms[name]
			for _, tag := range slices.Sorted(maps.Keys(room.Cabinets)) {
				c := room.Cabinets[tag]
				switch rng.IntN(8) {
				case 0:
					c.Bearing = schema.CornerAnswers{}
				case 1:
					c.Bearing = schema.CornerAnswers{FL: &no, FR: &no, BL: &no, BR: &no}
				case 2:
					c.Tops = schema.CornerLengths{}
				case 3:
					if c.Tops.FR != nil {
						*c.Tops.FR += off(length.Inch / 4)
					}
				}
				room.Cabinets[tag] = c
			}
			for _, key := range slices.Sorted(maps.Keys(room.Joints)) {
				j := room.Joints[key]
				if j.FrontOffset != nil {
					*j.FrontOffset = off(length.Inch / 10)
				}
				if rng.IntN(6) == 0 {
					j.Gap = nil
				}
				room.Joints[key] = j
				if i == 0 && rng.IntN(6) == 0 {
					rec.Agreed.Concessions = append(rec.Agreed.Concessions, schema.Concession{
						Rule: "fronts flush", Subject: name + "/" + key, Reason: "not in view", Date: "2027-01-01",
						By: schema.Party{Name: "P. Ermit", Role: "contractor"},
					})
				}
			}
			v.Rooms[name] = room
		}
	}
}

// madeOf makes the reports of random records and of the examples.
func madeOf(t *testing.T, n int, each func(t *testing.T, found *checks.Findings, faults []checks.Fault, r *Report)) {
	t.Helper()
	for i, path := range append(randomRecords(t, n), annex, "../examples/metric/job.json") {
		t.Run(strconv.Itoa(i), func(t *testing.T) {
			found, faults, data := findings(t, path)
			r, err := New(found, faults, data, options(nil))
			if err != nil {
				t.Fatal(err)
			}
			each(t, found, faults, r)
		})
	}
}

// roomPages are the pages of rooms in Markdown, by the name of the room.
func roomPages(found *checks.Findings, r *Report) map[string]string {
	pages := map[string]string{}
	for _, p := range r.parts {
		for _, v := range found.Rooms {
			if head := "## " + Text(v.Room.Name).String(); strings.HasPrefix(string(p), head+"\n") || strings.HasPrefix(string(p), head+", ") {
				pages[v.Room.Name] = string(p)
			}
		}
	}
	return pages
}

// cellsOf are the cells of a row of a table.
func cellsOf(row string) []string {
	cells := strings.Split(strings.Trim(row, "|"), " | ")
	for i, c := range cells {
		cells[i] = strings.Trim(strings.TrimSpace(c), "*")
	}
	return cells
}

func unmarked(s string) string { return strings.TrimPrefix(strings.ReplaceAll(s, `\`, ""), "≈ ") }

// TestRoomPages: the page of a room says the verdict that its results have, and of
// each rule the worst of what was measured; each fault has its number on exactly
// one drawing of one page or in its list. A room that nobody visited has no page
// and one line. Whatever the pages leave out, the annex has.
func TestRoomPages(t *testing.T) {
	long(t)
	faultsSeen, worstSeen, unvisited, inAnnex := 0, 0, 0, 0
	madeOf(t, 14, func(t *testing.T, found *checks.Findings, faults []checks.Fault, r *Report) {
		pages := roomPages(found, r)
		for _, v := range found.Rooms {
			visited := slices.ContainsFunc(found.Record.Measured.Visits, func(s schema.Visit) bool {
				_, ok := s.Rooms[v.Room.Name]
				return ok && s.Withdrawn == nil
			})
			page, has := pages[v.Room.Name]
			if has != visited {
				t.Errorf("%s: visited %v, has a page %v", v.Room.Name, visited, has)
			}
			if !visited {
				unvisited++
				if n := strings.Count(string(r.parts[1]), "Nobody has visited "+v.Room.Name+": "); n != 1 {
					t.Errorf("%s, which nobody visited, has %d lines on the punch list", v.Room.Name, n)
				}
				continue
			}
			sameVerdict(t, v.Room.Name, page, v.Results)
			worstSeen += sameWorst(t, page, v.Results, found.Record.Planned.LengthsIn)
		}
		faultsSeen += numbersOnce(t, found, faults, r, pages)
		inAnnex += everyResult(t, found, r)
	})
	if faultsSeen < 40 || worstSeen < 150 || unvisited < 1 || inAnnex < 1000 {
		t.Errorf("only %d faults, %d worst values, %d rooms without visit and %d results were seen", faultsSeen, worstSeen, unvisited, inAnnex)
	}
}

func sameVerdict(t *testing.T, room, page string, results []checks.Result) {
	t.Helper()
	want := "> **READY** "
	if len(results) == 0 {
		want = "> **NOT READY** "
	}
	for _, r := range results {
		switch r.Outcome {
		case "fail", "not observed", "undecided":
			want = "> **NOT READY** "
		}
	}
	if !strings.Contains(page, "\n"+want) || strings.Count(page, "READY") != 1 {
		t.Errorf("the page of %s does not say %q once:\n%.300s", room, want, page)
	}
}

// sameWorst looks for the worst of each rule by going through all pairs.
func sameWorst(t *testing.T, page string, results []checks.Result, sys length.System) (n int) {
	t.Helper()
	rank := map[checks.Outcome]int{"fail": 6, "not observed": 5, "undecided": 4, "conceded": 3, "notice": 2, "pass": 1}
	printed := map[string][]string{}
	_, table, _ := strings.Cut(page, "| Rule | Worst value |")
	for line := range strings.Lines(table) {
		if cells := cellsOf(strings.TrimSpace(line)); strings.HasPrefix(line, "| ") && len(cells) == 6 {
			printed[cells[0]] = cells
		}
	}
	byRule := map[string][]checks.Result{}
	for _, r := range results {
		if r.Value.Unit != checks.NoUnit && (r.Limit.Unit == checks.Length || r.Limit.Unit == checks.Days) {
			byRule[r.Rule.Name] = append(byRule[r.Rule.Name], r)
		}
	}
	for name, all := range byRule {
		n++
		title := say.Writer{}.Words(all[0].Rule.Title())
		cells := printed[title]
		if cells == nil {
			t.Errorf("the page has no worst value of %s", title)
			continue
		}
		worst := slices.IndexFunc(all, func(a checks.Result) bool {
			return !slices.ContainsFunc(all, func(b checks.Result) bool {
				left, right := b.Limit.N-b.Value.N, a.Limit.N-a.Value.N
				switch {
				case rank[a.Outcome] != rank[b.Outcome]:
					return rank[b.Outcome] > rank[a.Outcome]
				case left != right:
					return left < right
				}
				return b.Value.N > a.Value.N
			})
		})
		w := all[worst]
		value, _, _ := strings.Cut(cells[1], " ± ")
		if unmarked(value) != unmarked(w.Value.In(sys)) || unmarked(cells[2]) != unmarked(w.Limit.In(sys)) || cells[3] != Text(w.Subject.Item).String() || cells[4] != string(w.Outcome) {
			t.Errorf("%s: the page says %q, and the worst is %s of %s at %s, %s", name, cells, w.Value.In(sys), w.Limit.In(sys), w.Subject.Item, w.Outcome)
		}
		if w.Known != strings.Contains(cells[1], " ± ") {
			t.Errorf("%s: %q, uncertainty known %v", name, cells[1], w.Known)
		}
	}
	return n
}

var numberInList = regexp.MustCompile(`(?m)^- No\. (\d+), `)

// numbersOnce holds the numbers on drawings and in lists against the faults that
// are on the punch list.
func numbersOnce(t *testing.T, found *checks.Findings, faults []checks.Fault, r *Report, pages map[string]string) int {
	t.Helper()
	count := map[string]int{}
	for name := range r.pictures {
		if strings.HasPrefix(name, "places-") {
			for _, s := range wholeDrawing(t, r.pictures[name]).Shapes {
				if s.Kind == drawing.Circle {
					count[s.Text]++
				}
			}
		}
	}
	for _, page := range pages {
		for _, m := range numberInList.FindAllStringSubmatch(page, -1) {
			count[m[1]]++
		}
	}
	open := 0
	for _, f := range faults {
		if f.PutRight || f.TakenBack {
			continue
		}
		at := slices.IndexFunc(found.Results, func(r checks.Result) bool {
			return r.Rule == f.Rule && r.Subject.String() == f.Subject.String()
		})
		if at < 0 || found.Results[at].Outcome.Holds() || pages[found.Results[at].Subject.Room] == "" {
			continue
		}
		open++
		if n := count[strconv.Itoa(f.Number)]; n != 1 {
			t.Errorf("No. %d (%s at %s) stands %d times on the pages of rooms", f.Number, f.Rule.Name, f.Subject, n)
		}
	}
	total := 0
	for _, n := range count {
		total += n
	}
	if total != open {
		t.Errorf("%d numbers on the pages of rooms, and %d faults", total, open)
	}
	return open
}

// alikeForm finds what is said of several places in the row of a rule.
var alikeForm = regexp.MustCompile(`(?:^\| \*\*[^*]+\*\* |; )(?:\*\*)?(pass|fail|undecided|not observed|not applicable|conceded|notice)(?:\*\*)? at (.*?)(?: \(visit \d+\))?: `)

// everyResult holds the annex to this: every result of the record is in its words,
// rule, subject, outcome, value and limit.
func everyResult(t *testing.T, found *checks.Findings, r *Report) (n int) {
	t.Helper()
	sys := found.Record.Planned.LengthsIn
	sections := strings.Split(string(r.parts[r.annex]), "\n### ")
	for i, v := range found.Rooms {
		said := map[string]bool{}
		rule := ""
		for line := range strings.Lines(sections[i+1]) {
			line = strings.TrimSpace(strings.ReplaceAll(line, `\`, ""))
			cells := cellsOf(line)
			switch {
			case strings.HasPrefix(line, "| **") && strings.HasSuffix(line, "| |"): // spans the table
				rule, _, _ = strings.Cut(strings.TrimPrefix(line, "| **"), "**")
				for _, m := range alikeForm.FindAllStringSubmatch(line, -1) {
					for place := range strings.SplitSeq(m[2], ", ") {
						said[fmt.Sprint(rule, place, m[1])] = true
					}
				}
				said[rule] = true
				for _, number := range regexp.MustCompile(`(?:; |limit )(-?\d[^,;|]*)`).FindAllStringSubmatch(line, -1) {
					said[rule+" number "+strings.TrimSpace(number[1])] = true
				}
			case len(cells) == 7:
				for one := range strings.SplitSeq(cells[5], "; **") {
					places, what, _ := strings.Cut(one, ":** ")
					for place := range strings.SplitSeq(strings.TrimPrefix(places, "**"), ", ") {
						value, u, _ := strings.Cut(cells[1], " ± ")
						said[fmt.Sprint(rule, place, cells[0])] = true
						said[fmt.Sprint(rule, place, cells[0], unmarked(value), unmarked(cells[2]))] = true
						said[fmt.Sprint(rule, place, " numbers ", u, unmarked(cells[3]), cells[4], cells[6])] = true
						said[fmt.Sprint(rule, place, " found ", what)] = true
					}
				}
			}
		}
		for _, res := range v.Results {
			n++
			title := say.Writer{}.Words(res.Rule.Title())
			place := say.Writer{}.Text(res.Subject.ItemWords())
			key := fmt.Sprint(title, place, string(res.Outcome))
			value, limit := unmarked(res.Value.In(sys)), unmarked(res.Limit.In(sys))
			if !said[key] {
				t.Errorf("the annex does not say %s at %s: %s", title, place, res.Outcome)
			}
			if res.Value.Unit == checks.NoUnit || res.Limit.Unit == checks.Count || res.Limit.Unit == checks.NoUnit {
				continue
			}
			row := said[key+value+limit]
			if row && res.Value.Unit == checks.Length {
				inRow(t, found, said, title+place, &res)
			}
			line := said[title+" number "+value] && said[title+" number "+limit]
			if !row && !line {
				t.Errorf("the annex does not say %s at %s: %s of %s", title, place, value, limit)
			}
		}
	}
	return n
}

// inRow holds a row to the other numbers of one of its results: uncertainty,
// margin, probability and visit, and to what was found at that place.
func inRow(t *testing.T, found *checks.Findings, said map[string]bool, at string, res *checks.Result) {
	t.Helper()
	b := newViewer(found, nil)
	u, within, visit := "", none, none
	if res.Known {
		u, within = b.decimal(res.Uncertainty), percent(res.Conformity)
	}
	if res.Visit >= 0 {
		visit = strconv.Itoa(b.number[res.Visit])
	}
	if !said[fmt.Sprint(at, " numbers ", u, unmarked(res.Margin.In(b.sys)), within, visit)] {
		t.Errorf("the annex does not say %s: ± %s, margin %s, within %s, visit %s", at, u, res.Margin.In(b.sys), within, visit)
	}
	if key := at + " found "; !slices.ContainsFunc(slices.Collect(maps.Keys(said)), func(s string) bool { return strings.HasPrefix(s, key) }) {
		t.Errorf("the annex does not say what was found of %s", at)
	}
}

// TestRoundingNeverMisleads: where ≈ is left out, the numbers as they are printed
// compare as the exact ones do.
func TestRoundingNeverMisleads(t *testing.T) {
	rng := chance.Source(t)
	marked := 0
	for range 20000 {
		value, limit := length.Length(rng.Int64N(int64(length.Inch/8))), length.Length(rng.Int64N(int64(length.Inch/8)))
		if rng.IntN(3) == 0 {
			limit = value + length.Length(rng.Int64N(400_000)-200_000)
		}
		r := &checks.Result{Value: checks.LengthOf(value), Limit: checks.LengthOf(limit), Margin: checks.LengthOf(limit - value)}
		for _, sys := range []length.System{length.InchSystem, length.Metric} {
			if roundingMatters(r, sys) {
				marked++
				continue
			}
			v, err1 := length.Parse(value.Near(sys))
			l, err2 := length.Parse(limit.Near(sys))
			m, err3 := length.Parse((limit - value).Near(sys))
			if err1 != nil || err2 != nil || err3 != nil {
				t.Fatal(err1, err2, err3)
			}
			if (v < l) != (value < limit) || (v == l) != (value == limit) || (m == 0) != (limit == value) {
				t.Fatalf("%d of %d nm is written %s of %s, margin %s", value, limit, value.Near(sys), limit.Near(sys), (limit - value).Near(sys))
			}
		}
	}
	if marked == 0 {
		t.Error("none is ever marked")
	}
}
