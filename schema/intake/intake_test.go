package intake_test

import (
	"encoding/csv"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"

	"setline.example/schema"
	"setline.example/schema/intake"
	"setline.example/schema/length"
	"setline.example/schema/table"
)

const folder = "../../examples/annex/csv"

// read reads the text of a table, which must be one.
func read(t testing.TB, name, text string, columns []table.Column) *table.Table {
	t.Helper()
	got, err := table.Read(name, []byte(text), columns)
	if err != nil {
		t.Fatal(err)
	}
	return got
}

func example(t testing.TB, name string, columns []table.Column) *table.Table {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(folder, name))
	if err != nil {
		t.Fatal(err)
	}
	return read(t, name, string(text), columns)
}

func begin(t testing.TB) intake.Base {
	t.Helper()
	rec, text, err := intake.Begin(intake.Job{
		Project: schema.Project{Name: "Annex"}, Height: "34 in", Depth: "22 in",
		LevelerLeast: "1/2 in", LevelerGreatest: "2 in", Threads: 16, Gauge: 18,
	})
	if err != nil {
		t.Fatal(err)
	}
	return intake.Base{Name: "job.json", Text: text, Record: rec}
}

var visit = intake.Visit{Date: "2026-10-05", People: []schema.Party{{Name: "Marek Łuczak", Role: "installer"}},
	Instruments: []intake.Instrument{{Name: "line laser", Checked: "2026-10-01"}}}

func examples(t testing.TB) intake.Input {
	return intake.Input{
		Units: example(t, "units.csv", intake.UnitColumns()), PackingList: example(t, "packing-list.csv", intake.PackingColumns()),
		Floor: example(t, "floor.csv", intake.FloorColumns()), Instruments: example(t, "instruments.csv", intake.InstrumentColumns()),
		Screws: example(t, "screws.csv", intake.ScrewColumns()), Visit: visit,
	}
}

// bring brings in all of it and gives the base for more.
func bring(t testing.TB, base intake.Base, in intake.Input) (intake.Base, *intake.Outcome) {
	t.Helper()
	out, err := intake.Bring(base, in, false)
	if err != nil {
		t.Fatal(err)
	}
	rec, _, err := schema.Read("job.json", out.Text)
	if err != nil {
		t.Fatal(err)
	}
	return intake.Base{Name: "job.json", Text: out.Text, Record: rec}, out
}

// rowsOf reads a table of the examples with encoding/csv, by heading.
func rowsOf(t *testing.T, name string) (rows []map[string]string) {
	t.Helper()
	f, err := os.Open(filepath.Join(folder, name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, cells := range all[1:] {
		row := map[string]string{}
		for i, c := range cells {
			row[all[0][i]] = c
		}
		rows = append(rows, row)
	}
	return rows
}

// TestExamplesSayTheSame reads the example tables with the standard library
// too, and looks for every row in the record that was made.
func TestExamplesSayTheSame(t *testing.T) {
	base, out := bring(t, begin(t), examples(t))
	rec := base.Record
	want := []string{"3 instruments", "2 screws", "5 parts", "1 room", "1 elevation", "6 units", "1 packing list", "1 receipt (5 lines counted)", "12 floor readings"}
	if !reflect.DeepEqual(out.Added, want) {
		t.Errorf("added %q, want %q", out.Added, want)
	}
	for i, row := range rowsOf(t, "units.csv") {
		if u := rec.Planned.Rooms[0].Elevations[0].Units[i]; u.Tag != row["tag"] || u.Part != row["part"] {
			t.Errorf("unit %d is %+v, want %v", i, u, row)
		}
		width := rec.Planned.Cabinets[row["part"]].Width + rec.Planned.Fillers[row["part"]].Width
		if w, err := length.Parse(row["width"]); row["width"] != "" && (err != nil || w != width) {
			t.Errorf("part %s is %v wide, want %s", row["part"], width, row["width"])
		}
	}
	for _, row := range rowsOf(t, "packing-list.csv") {
		line := rec.Arrived.PackingLists[row["packing list"]].Lines[row["line"]]
		good := rec.Arrived.Receipts[0].Lines[row["line"]].Good
		if line.Part != row["part"] || strconv.Itoa(line.Quantity) != row["quantity"] || line.Room != row["room"] || strconv.Itoa(good) != row["good"] {
			t.Errorf("%+v and %d, want %v", line, good, row)
		}
	}
	floor := rec.Measured.Visits[0].Rooms["S-112"].Elevations["A"].Floor
	readings := map[string]string{}
	for line, all := range map[string][]schema.FloorReading{"front": floor.Front, "back": floor.Back} {
		for _, r := range all {
			readings[line+" "+r.At().String()] = r.Down().String()
		}
	}
	rows := rowsOf(t, "floor.csv")
	for _, row := range rows {
		if got := readings[row["line"]+" "+row["at"]]; got != row["reading"] {
			t.Errorf("reading %q, want %v", got, row)
		}
	}
	if len(readings) != len(rows) {
		t.Errorf("%d readings, want %d", len(readings), len(rows))
	}
	if front := rec.Planned.Cabinets["B30"].Front; len(front) != 2 || front[0].Drawers != 2 || *front[0].Height != 6*length.Inch || front[1].Doors != 2 {
		t.Errorf("front of B30: %+v", front)
	}
	if rec.Planned.Cabinets["B30"].Gauge != 0 || rec.Planned.Fillers["F3W"].Gauge != 18 || *rec.Planned.Fillers["F3W"].Scribe != length.Inch {
		t.Errorf("catalog: %+v %+v", rec.Planned.Cabinets["B30"], rec.Planned.Fillers["F3W"])
	}
}

// TestTwiceIsOnce: what is there already is not added again, and the text
// stays as it was.
func TestTwiceIsOnce(t *testing.T) {
	base, _ := bring(t, begin(t), examples(t))
	again, out := bring(t, base, examples(t))
	if len(out.Added) > 0 || string(again.Text) != string(base.Text) {
		t.Errorf("added %q a second time", out.Added)
	}
}

// TestOneByOneIsTogether: tables brought in one after the other, in halves
// too, give the record that they give together.
func TestOneByOneIsTogether(t *testing.T) {
	together, _ := bring(t, begin(t), examples(t))
	all := examples(t)
	first, rest := *all.Units, *all.Units
	first.Rows, rest.Rows = first.Rows[:2], rest.Rows[2:]
	base := begin(t)
	for _, in := range []intake.Input{{Instruments: all.Instruments, Units: &first}, {Screws: all.Screws}, {Units: &rest}, {PackingList: all.PackingList}, {Floor: all.Floor, Visit: visit}} {
		base, _ = bring(t, base, in)
	}
	if !reflect.DeepEqual(base.Record, together.Record) {
		t.Errorf("one by one\n%s\ntogether\n%s", base.Text, together.Text)
	}
}

const unitsHead = "room,elevation,tag,part,kind,width,space before,front,height,left end,work height,use\n"

// problems are tables with something wrong, and what must be said of it.
var problems = []struct {
	name, text string
	want       []string // with ": mend: " before a part of the mend, where it matters
	kept       int      // units left by skipping bad rows; -1 where nothing is
}{
	{"bare number", "R,A,A1,F3,filler,3,,,,,,\nR,A,A2,F4,filler,4 in,,,,,,\n", []string{`u.csv:2:6: width: found "3" (no unit), expected a length with its unit: mend: write 3 in or 3 mm`}, 1},
	{"decimal comma", "R,A,A1,F3,filler,\"12,5 mm\",,,,,,\nR,A,A2,F4,filler,4 in,,,,,,\n", []string{`u.csv:2:6: width: found "12,5 mm" (a comma in the number), expected a length with its unit: mend: write 12.5 mm`}, 1},
	{"empty cells", "R,,A1,F3,filler,3 in,,,,,,\nR,A,,F4,filler,4 in,,,,,,\nR,A,A3,F5,filler,5 in,,,,,,\n", []string{"u.csv:2:2: elevation: found an empty cell", "u.csv:3:3: tag: found an empty cell"}, 1},
	{"short row", "R,A,A1,F3,filler\nR,A,A2,F4,filler,4 in,,,,,,\n", []string{"u.csv:2: found a row of 5 cells, nothing for width, space before"}, 1},
	{"same part, other width", "R,A,A1,F3,filler,3 in,,,,,,\nR,A,A2,F3,filler,4 in,,,,,,\n", []string{`u.csv:3:6: width: found "4 in" for part "F3", expected "3 in", as line 2 says of it`}, 1},
	{"same part, same width in other words", "R,A,A1,F3,filler,3 in,,,,,,\nR,A,A2,F3,,76.2 mm,,,,,,\n", nil, 2},
	{"part without a width", "R,A,A1,F3,filler,,,,,,,\nR,A,A2,F3,filler,,,,,,,\nR,A,A3,F4,filler,4 in,,,,,,\n", []string{`u.csv:2:6: width: found no width for part "F3" (2 rows, the last on line 3)`}, 1},
	{"part without a kind", "R,A,A1,F3,,3 in,,,,,,\nR,A,A2,F4,filler,4 in,,,,,,\n", []string{`u.csv:2:4: part: found part "F3", of which nothing tells whether it is a cabinet or a filler`}, 1},
	{"kind inferred", "R,A,A1,B3,,30 in,,drawer / 2 doors,,,,\n", nil, 1},
	{"unknown kind", "R,A,A1,F3,filer,3 in,,,,,,\nR,A,A2,F4,FILLER,4 in,,,,,,\n", []string{`u.csv:2:5: kind: found "filer", expected one of cabinet, filler: mend: write "filler"`}, 1},
	{"filler with a front", "R,A,A1,F3,filler,3 in,,2 doors,,,,\nR,A,A2,F4,filler,4 in,,,,,,\n", []string{`u.csv:2:8: front: found "2 doors" for a filler, expected nothing, since only a cabinet has it`}, 1},
	{"front that is none", "R,A,A1,B3,cabinet,30 in,,three drawers,,,,\nR,A,A2,F4,filler,4 in,,,,,,\n", []string{`u.csv:2:8: front: found "three drawers" as a row of the front`}, 1},
	{"front with a height that is none", "R,A,A1,B3,cabinet,30 in,,drawer 6 / door,,,,\nR,A,A2,F4,filler,4 in,,,,,,\n", []string{`u.csv:2:8: front: found "6" behind "drawer"`}, 1},
	{"tag that is none", "R,A,A/1,F3,filler,3 in,,,,,,\nR,A,A2,F3,filler,3 in,,,,,,\n", []string{`u.csv:2:3: tag: found "A/1"`}, 1},
	{"tag twice", "R,A,A1,F3,filler,3 in,,,,,,\nR,B,A1,F3,filler,3 in,,,,,,\n", []string{`u.csv:3:3: tag: found a second unit "A1" in room "R"`}, 1},
	{"room with a slash", "R/1,A,A1,F3,filler,3 in,,,,,,\nR,A,A2,F3,filler,3 in,,,,,,\n", []string{`u.csv:2:1: room: found "R/1"`}, 1},
	{"negative space", "R,A,A1,F3,filler,3 in,,,,,,\nR,A,A2,F3,filler,3 in,-1 in,,,,,\n", []string{`u.csv:3:7: space before: found -1 in, expected a space above zero`}, 1},
	{"no width at all", "R,A,A1,F3,filler,0 in,,,,,,\nR,A,A2,F4,filler,4 in,,,,,,\n", []string{`u.csv:2:6: width: found 0 in, expected a width above zero`}, 1},
	{"unknown end", "R,A,A1,F3,filler,3 in,,,,wal,,\nR,A,A2,F4,filler,4 in,,,,,,\n", []string{`u.csv:2:10: left end: found "wal", expected one of wall, exposed, abutting: mend: write "wall"`}, 1},
	{"two work heights", "R,A,A1,F3,filler,3 in,,,,,36 in,\nR,A,A2,F3,filler,3 in,,,,,34 in,\nR,B,B1,F3,filler,3 in,,,,,34 in,\n", []string{`u.csv:3:11: work height: found "34 in" for elevation "A" of room "R", expected "36 in", as line 2 says of it`}, 2},
	{"use too long", "R,A,A1,F3,filler,3 in,,,,,," + strings.Repeat("x", 121) + "\nS,A,A1,F3,filler,3 in,,,,,,\n", []string{"u.csv:2:12: use: found"}, 1},
	{"several on one row", "R,A,,F3,filer,3,,,,,,\n", []string{"u.csv:2:3: tag", "u.csv:2:5: kind", "u.csv:2:6: width"}, -1},
}

func TestProblems(t *testing.T) {
	for _, tc := range problems {
		t.Run(tc.name, func(t *testing.T) {
			in := intake.Input{Units: read(t, "u.csv", unitsHead+tc.text, intake.UnitColumns())}
			out, err := intake.Bring(begin(t), in, false)
			hold(t, out, err, tc.want)
			out, err = intake.Bring(begin(t), in, true)
			if tc.kept < 0 {
				if err == nil {
					t.Error("a record without units was made")
				}
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			rec, _, err := schema.Read("job.json", out.Text)
			if err != nil {
				t.Fatal(err)
			}
			units := 0
			for _, r := range rec.Planned.Rooms {
				for _, e := range r.Elevations {
					units += len(e.Units)
				}
			}
			if rows := strings.Count(tc.text, "\n"); units != tc.kept || out.Rows != rows-tc.kept || len(out.Skipped) < len(tc.want) {
				t.Errorf("%d units and %d rows skipped of %d, want %d units: %v", units, out.Rows, rows, tc.kept, out.Skipped)
			}
		})
	}
}

// hold compares the error of a Bring with the problems it must be.
func hold(t *testing.T, out *intake.Outcome, err error, want []string) {
	t.Helper()
	var got schema.Problems
	if !errors.As(err, &got) && err != nil {
		t.Fatal(err)
	}
	if (err != nil) == (out != nil) {
		t.Errorf("outcome %v with error %v", out, err)
	}
	if len(got) != len(want) {
		t.Fatalf("%d problems, want %d:\n%v", len(got), len(want), got)
	}
	for i, w := range want {
		w, mend, _ := strings.Cut(w, ": mend: ")
		if !strings.Contains(got[i].Error(), w) || !strings.Contains(got[i].Mend, mend) {
			t.Errorf("%s\n    mend: %s\nwant %s\n    mend: %s", got[i].Error(), got[i].Mend, w, mend)
		}
	}
}

// TestAgainstTheRecord: what contradicts the record is a problem of its row,
// and what the record does not say yet is added.
func TestAgainstTheRecord(t *testing.T) {
	base, _ := bring(t, begin(t), examples(t))
	const packingHead = "packing list,order,date,line,part,quantity,room,elevation,good,damaged,counted by,counted on,remark\n"
	for _, tc := range []struct {
		name  string
		in    intake.Input
		want  []string
		added string
	}{
		{"unit elsewhere", intake.Input{Units: read(t, "u.csv", unitsHead+"S-112,B,A1,BD24,,,,,,,,\n", intake.UnitColumns())},
			[]string{`u.csv:2:2: elevation: found unit "A1" in elevation "B", expected elevation "A", where the record has it`}, ""},
		{"unit of another part", intake.Input{Units: read(t, "u.csv", unitsHead+"S-112,A,A1,B30,,,,,,,,\n", intake.UnitColumns())},
			[]string{`u.csv:2:4: part: found unit "A1" as part "B30", expected part "BD24"`}, ""},
		{"unit with another space", intake.Input{Units: read(t, "u.csv", unitsHead+"S-112,A,A1,BD24,,,2 in,,,,,\n", intake.UnitColumns())},
			[]string{`u.csv:2:7: space before: found unit "A1" with space "2 in" before it, expected none`}, ""},
		{"part of another width, front and height", intake.Input{Units: read(t, "u.csv", unitsHead+"S-112,B,A9,B30,,31 in,,drawer / door,33 in,,,\n", intake.UnitColumns())},
			[]string{`u.csv:2:6: width: found "31 in" for part "B30", expected "30 in", as the record has it`,
				`u.csv:2:8: front: found "drawer / door" for part "B30", expected "2 drawers 6 in / 2 doors", as the record has it`,
				`u.csv:2:9: height: found "33 in" for part "B30", expected "34 in", as the record has it`}, ""},
		{"part of another kind", intake.Input{Units: read(t, "u.csv", unitsHead+"S-112,B,A9,B30,filler,,,,,,,\n", intake.UnitColumns())},
			[]string{`u.csv:2:5: kind: found part "B30" as a filler, expected a cabinet, as the record has it`}, ""},
		{"room with another use", intake.Input{Units: read(t, "u.csv", unitsHead+"S-112,B,A9,B30,,,,,,,,Store\n", intake.UnitColumns())},
			[]string{`u.csv:2:12: use: found "Store" for room "S-112", expected "Soil laboratory", as the record has it`}, ""},
		{"units at the end, and a new elevation and room", intake.Input{Units: read(t, "u.csv", unitsHead+"S-112,A,A6,B30,,,1 in,,,,,\nS-112,B,B1,F2E,,,,,,wall,,\nS-113,A,A1,F2E,,,,,,,,\n", intake.UnitColumns())}, nil, "1 room, 2 elevations, 3 units"},
		{"a clear opening that the record lacks", intake.Input{Units: read(t, "u.csv", "room,elevation,tag,part,opening\nS-112,A,A1,BD24,120 in\n", intake.UnitColumns())}, nil, "1 fact that the record lacked"},
		{"packing list with another quantity", intake.Input{PackingList: read(t, "p.csv", packingHead+"PL-2291,48377,2026-09-28,1,F3W,2,S-112,A,,,,,\n", intake.PackingColumns())},
			[]string{`p.csv:2:4: line: found line "1" of packing list "PL-2291" with quantity 2, expected 1, as the record has it`}, ""},
		{"a second count with its own rows only", intake.Input{PackingList: read(t, "p.csv", "packing list,line,good,counted by,counted on\nPL-2291,2,1,Al,2026-10-20\n", intake.PackingColumns())}, nil, "1 receipt (1 line counted)"},
		{"a backorder of the same order, with lines from 1", intake.Input{PackingList: read(t, "p.csv", packingHead+"PL-2291-B,48377,2026-10-19,1,F2E,1,S-112,A,1,,Al,2026-10-20,\n", intake.PackingColumns())}, nil, "1 packing list, 1 receipt (1 line counted)"},
		{"a second count of a line that the list has not", intake.Input{PackingList: read(t, "p.csv", "packing list,line,part,quantity,good,counted by,counted on\nPL-2291,9,F2E,1,1,Al,2026-10-20\nPL-2291,8,,,1,Al,2026-10-20\n", intake.PackingColumns())},
			[]string{`p.csv:2:2: line: found line "9" of packing list "PL-2291", expected a line that the record has under that number`,
				`p.csv:3:3: part: found an empty cell`, `p.csv:3:4: quantity: found an empty cell`}, ""},
		{"packing list of another order", intake.Input{PackingList: read(t, "p.csv", strings.ReplaceAll(exampleText(t, "packing-list.csv"), "48377", "48378"), intake.PackingColumns())},
			[]string{`p.csv:2:2: order: found packing list "PL-2291" with order "48378" (5 rows, the last on line 6), expected "48377", as the record has it`}, ""},
		{"another count of the same day", intake.Input{PackingList: read(t, "p.csv", strings.Replace(exampleText(t, "packing-list.csv"), "2,S-112,A,2,", "2,S-112,A,1,", 1), intake.PackingColumns())},
			[]string{`p.csv:3:9: good: found another count of line "2" by Rosa Ibáñez on 2026-10-02, expected 2 good and 0 damaged`}, ""},
		{"a count on another day", intake.Input{PackingList: read(t, "p.csv", strings.ReplaceAll(exampleText(t, "packing-list.csv"), "2026-10-02", "2026-10-03"), intake.PackingColumns())}, nil, "1 receipt (5 lines counted)"},
		{"a packing list without a count", intake.Input{PackingList: read(t, "p.csv", packingHead+"PL-1,,,1,F3W,2,,,,,,,\n", intake.PackingColumns())}, nil, "1 packing list"},
		{"rows of a packing list that say too little", intake.Input{PackingList: read(t, "p.csv", packingHead+"PL-1,,,1,F3W,two,,,,,,,\nPL-1,,,2,F3W,2,,,1,,,,\nPL-1,,,3,F3W,2,,,,1,,,\nPL-1,,9/8/2026,4,F3W,0,,,,,,,\nPL-1,,,5,F3W,1,,,,,,,\nPL-1,,,5,F3W,1,,,,,,,\n", intake.PackingColumns())},
			[]string{`p.csv:2:6: quantity: found "two", expected a whole number`, `p.csv:3:11: counted by: found a count without counted by`, "p.csv:3:12: counted on: found a count without counted on",
				`p.csv:4:10: damaged: found "1" without a count of what came whole`, `p.csv:5:3: date: found "9/8/2026", expected a calendar date`,
				`p.csv:7:4: line: found line "5" of packing list "PL-1" a second time, expected each line once; the first is on line 6 of the file`}, ""},
		{"quantity of none", intake.Input{PackingList: read(t, "p.csv", packingHead+"PL-1,,,1,F3W,0,,,,,,,\n", intake.PackingColumns())}, []string{`p.csv:2:6: quantity: found 0, expected at least 1`}, ""},
		{"floor of an unknown room and elevation", intake.Input{Visit: visit, Floor: read(t, "f.csv", "room,elevation,line,at,reading\nS-111,A,front,0 in,44 in\nS-112,C,front,0 in,44 in\n", intake.FloorColumns())},
			[]string{`f.csv:2:1: room: found room "S-111", which is not planned, expected a planned room: S-112: mend: write "S-112"`, `f.csv:3:2: elevation: found elevation "C", which is not planned`}, ""},
		{"floor read twice at one place", intake.Input{Visit: visit, Floor: read(t, "f.csv", "room,elevation,line,at,reading\nS-112,A,front,12 in,44 in\nS-112,A,front,0 in,44 in\nS-112,A,Front,1 ft,44 in\n", intake.FloorColumns())},
			[]string{`f.csv:4:4: at: found 12 in, expected`}, ""},
		{"floor from two reference lines", intake.Input{Visit: visit, Floor: read(t, "f.csv", "room,elevation,line,at,reading,reference line\nS-112,A,front,0 in,44 in,L1\nS-112,A,front,24 in,44 in,\nS-112,A,front,12 in,44 in,L2\n", intake.FloorColumns())},
			[]string{`f.csv:4:6: reference line: found "L2" for elevation "A" of room "S-112", expected "L1", as line 2 says of it: mend: correct one of the two rows`}, ""},
		{"floor from a named reference line", intake.Input{Visit: intake.Visit{Date: "2026-10-06", People: visit.People}, Floor: read(t, "f.csv", "room,elevation,line,at,reading,reference line\nS-112,A,front,0 in,44 in,\nS-112,A,front,24 in,44 in,L1\n", intake.FloorColumns())}, nil, "2 floor readings"},
		{"floor with a laser that is not planned", intake.Input{Visit: intake.Visit{Date: "2026-10-06", People: visit.People, Instruments: []intake.Instrument{{Name: "lazer"}}}, Floor: example(t, "floor.csv", intake.FloorColumns())},
			[]string{`job.json: /measured/visits/1/instruments/lazer: found instrument "lazer", which is not planned`}, ""},
		{"floor of another day", intake.Input{Visit: intake.Visit{Date: "2026-10-06", People: visit.People}, Floor: example(t, "floor.csv", intake.FloorColumns())}, nil, "12 floor readings"},
		{"instrument with other facts", intake.Input{Instruments: read(t, "i.csv", "name,kind,reads\nsteel rule,rule,offsets\ntape,rool,\n", intake.InstrumentColumns())},
			[]string{`i.csv:2:1: name: found instrument "steel rule" with other facts than the record has`, `i.csv:3:2: kind: found "rool", expected one of laser, level, rule`}, ""},
		{"accuracy without a distance", intake.Input{Instruments: read(t, "i.csv", "name,kind,accuracy\nlaser 2,laser,1 mm\n", intake.InstrumentColumns())}, []string{`i.csv:2:1: name: found one of accuracy and over without the other`}, ""},
		{"screw twice, and of no size", intake.Input{Screws: read(t, "s.csv", "name,size,length\nlong,8,32 mm\na,#9,1 in\na,#8,1 in\n", intake.ScrewColumns())},
			[]string{`s.csv:2:1: name: found screw "long" with other facts than the record has`, `s.csv:3:2: size: found "#9"`, `s.csv:4:1: name: found screw "a" a second time`}, ""},
	} {
		t.Run(tc.name, func(t *testing.T) {
			out, err := intake.Bring(base, tc.in, false)
			hold(t, out, err, tc.want)
			if err == nil {
				if got := strings.Join(out.Added, ", "); got != tc.added {
					t.Errorf("added %q, want %q", got, tc.added)
				}
				if string(out.Text) == string(base.Text) {
					t.Error("nothing was added")
				}
			}
		})
	}
}

// TestNoFalseAlarm: what refers to a row that has a problem is not wrong for that.
func TestNoFalseAlarm(t *testing.T) {
	in := intake.Input{
		Units: read(t, "u.csv", unitsHead+"Q,A,A1,F3,filler,3,,,,,,\nR,A,A2,F4,filler,4 in,,,,,,\n", intake.UnitColumns()),
		Floor: read(t, "f.csv", "room,elevation,line,at,reading\nQ,A,front,0 in,44 in\nS,A,back,0,44 in\n", intake.FloorColumns()),
		Visit: intake.Visit{Date: visit.Date, People: visit.People},
	}
	out, err := intake.Bring(begin(t), in, false)
	hold(t, out, err, []string{`u.csv:2:6: width: found "3" (no unit)`, `f.csv:3:4: at: found "0" (no unit)`})
}

func exampleText(t *testing.T, name string) string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(folder, name))
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// thousand is a table of units of 1,000 rows: 25 rooms, 2 elevations each, 20
// units each, of 6 parts.
func thousand(ends string) string {
	var b strings.Builder
	b.WriteString(unitsHead)
	for i := range 1000 {
		part := i % 6
		fmt.Fprintf(&b, "R%d,%c,%c%d,P%d,cabinet,%d in,,drawer / 2 doors,,,,\n", i/40, 'A'+i/20%2, 'A'+i/20%2, i%20, part, 18+part)
	}
	return strings.ReplaceAll(b.String(), "\n", ends)
}

func TestThousandRows(t *testing.T) {
	for _, ends := range []string{"\n", "\r\n", "\r"} {
		in := intake.Input{Units: read(t, "u.csv", thousand(ends), intake.UnitColumns())}
		base, out := bring(t, begin(t), in)
		if got, want := strings.Join(out.Added, ", "), "6 parts, 25 rooms, 50 elevations, 1000 units"; got != want {
			t.Errorf("added %s, want %s", got, want)
		}
		i := 0
		for _, room := range base.Record.Planned.Rooms {
			for _, e := range room.Elevations {
				for _, u := range e.Units {
					if u.Part != fmt.Sprintf("P%d", i%6) || room.Name != fmt.Sprintf("R%d", i/40) || u.Tag != fmt.Sprintf("%s%d", e.Name, i%20) {
						t.Fatalf("row %d became %+v of %s %s", i, u, room.Name, e.Name)
					}
					i++
				}
			}
		}
		if again, out := bring(t, base, in); len(out.Added) > 0 || len(again.Text) != len(base.Text) {
			t.Errorf("added %q a second time", out.Added)
		}
	}
}

// TestThousandBadRows: what is wrong alike in a column is told once.
func TestThousandBadRows(t *testing.T) {
	in := intake.Input{Units: read(t, "u.csv", strings.ReplaceAll(thousand("\n"), " in,,", ",,"), intake.UnitColumns())}
	_, err := intake.Bring(begin(t), in, false)
	hold(t, nil, err, []string{"u.csv:2:6: width: found \"18\" (no unit) (and 999 more of this column alike, the last on line 1001), expected a length"})
}

// TestMarkOfASurvey: the set-height mark stands in a row of the floor's table. It is
// made when the readings have said where, so that the same table with it adds it to
// their visit; once more was entered since, that takes a correction.
func TestMarkOfASurvey(t *testing.T) {
	const head = "room,elevation,line,at,reading\n"
	const floor = head + "S-112,A,front,0 in,44 in\nS-112,A,back,0 in,44 1/16 in\n"
	const marked = floor + "S-112,A,mark,,9 3/8 in\n"
	on := func(date, text string) intake.Input {
		return intake.Input{Visit: intake.Visit{Date: date, People: visit.People}, Floor: read(t, "f.csv", text, intake.FloorColumns())}
	}
	planned := examples(t)
	planned.Floor = nil
	start, _ := bring(t, begin(t), planned)
	base, _ := bring(t, start, on("2026-10-06", floor))
	at, out := bring(t, base, on("2026-10-06", strings.Replace(marked, "mark,,", "mark,40 in,", 1)))
	seen := at.Record.Measured.Visits[0].Rooms["S-112"].Elevations["A"]
	if !slices.Equal(out.Added, []string{"1 set-height mark"}) || len(at.Record.Measured.Visits) != 1 || seen.Mark.String() != "9 3/8 in" || seen.MarkAt.String() != "40 in" {
		t.Errorf("added %q: %+v", out.Added, seen)
	}
	if _, out := bring(t, at, on("2026-10-06", marked)); len(out.Added) > 0 {
		t.Errorf("added %q a second time", out.Added)
	}
	whole, out := bring(t, start, on("2026-10-06", marked))
	if !slices.Equal(out.Added, []string{"2 floor readings", "1 set-height mark"}) || whole.Record.Measured.Visits[0].Rooms["S-112"].Elevations["A"].MarkAt != nil {
		t.Errorf("added %q", out.Added)
	}
	alone, out := bring(t, start, on("2026-10-06", head+"S-112,A,mark,,9 3/8 in\n"))
	if !slices.Equal(out.Added, []string{"1 set-height mark"}) || alone.Record.Measured.Visits[0].Rooms["S-112"].Elevations["A"].Mark == nil {
		t.Errorf("a mark alone: %q", out.Added)
	}
	later, _ := bring(t, base, on("2026-10-07", floor))
	for _, tc := range []struct {
		name string
		base intake.Base
		text string
		want []string
	}{
		{"another mark", at, strings.Replace(marked, "3/8", "1/2", 1), []string{`f.csv:4:5: reading: found another mark for elevation "A" of room "S-112", expected 9 3/8 in, as the visit of 2026-10-06 has it`}},
		{"more was entered since", later, marked, []string{`f.csv:4:5: reading: found a mark for the visit of 2026-10-06, and more was entered since`}},
		{"two marks", base, marked + "S-112,A,mark,,9 3/8 in\n", []string{`f.csv:5:3: line: found a second mark for elevation "A" of room "S-112"`}},
		{"a line that is none", base, strings.Replace(marked, "mark", "marks", 1), []string{`f.csv:4:3: line: found "marks", expected one of front, back, mark`}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			out, err := intake.Bring(tc.base, on("2026-10-06", tc.text), false)
			hold(t, out, err, tc.want)
		})
	}
}

// TestWhatSpreadsheetsDo: units in headings, dates made of fractions, and dates
// whose order another date of the column proves.
func TestWhatSpreadsheetsDo(t *testing.T) {
	base, _ := bring(t, begin(t), examples(t))
	floor := func(text string) intake.Input {
		return intake.Input{Visit: intake.Visit{Date: "2026-10-20", People: visit.People}, Floor: read(t, "f.csv", text, intake.FloorColumns())}
	}
	for _, tc := range []struct {
		name, cells string
		want        string
	}{
		{"a unit in the heading", "at (in),reading [in]|0,44 1/16|12,44.125", ""},
		{"a cell with its own unit goes before it", "at (mm),Reading (inches)|0,44 1/16|1 ft,1.125 m", ""},
		{"a unit over words", "at (in),reading (in),line (in)|0,44,front", `the unknown heading "line (in)"`},
		{"4-Mar", "at (in),reading (in)|0,4-Mar", `"4-Mar", a date that a spreadsheet made, likely of the fraction 3/4`},
		{"Mar-4", "at (in),reading|0,Mar-4", `likely of the fraction 3/4`},
		{"01/02/2026", "at (in),reading|0,01/02/2026", `"01/02/2026", a date that a spreadsheet made, likely of the fraction 1/2`},
		{"2026-01-02 00:00:00", "at (in),reading|0,2026-01-02 00:00:00", `likely of the fraction 1/2`},
	} {
		t.Run(tc.name, func(t *testing.T) {
			rows := strings.Split(tc.cells, "|")
			text := "room,elevation,line," + rows[0] + "\n"
			for _, r := range rows[1:] {
				text += "S-112,A,front," + r + "\n"
			}
			if strings.Contains(tc.cells, "line (in)") {
				text = strings.ReplaceAll(strings.Replace(text, "line,", "", 1), "front,", "")
				_, err := table.Read("f.csv", []byte(text), intake.FloorColumns())
				if err == nil || !strings.Contains(err.Error(), tc.want) {
					t.Fatalf("%v", err)
				}
				return
			}
			out, err := intake.Bring(base, floor(text), false)
			if tc.want == "" {
				hold(t, out, err, nil)
				return
			}
			hold(t, out, err, []string{tc.want})
		})
	}
	const head = "packing list,line,part,quantity,good,counted by,counted on\n"
	for dates, want := range map[string]string{
		"9/4/2026|9/28/2026":   "2026-09-04",
		"4.9.2026|28.9.2026":   "2026-09-04",
		"9/4/2026|9/5/2026":    "",
		"9/28/2026|28/09/2026": "",
	} {
		text := head
		for i, day := range strings.Split(dates, "|") {
			text += fmt.Sprintf("PL-9,%d,F2E,1,1,Al,%s\n", i+1, day)
		}
		out, err := intake.Bring(base, intake.Input{PackingList: read(t, "p.csv", text, intake.PackingColumns())}, false)
		if (err == nil) != (want != "") || err == nil && !strings.Contains(string(out.Text), want) {
			t.Errorf("%s: %v, want %q", dates, err, want)
		}
	}
}

// TestChecksFromATable: instruments of a visit with a two-peg test.
func TestChecksFromATable(t *testing.T) {
	base, _ := bring(t, begin(t), examples(t))
	in := func(rows string) intake.Input {
		return intake.Input{Visit: intake.Visit{Date: "2026-10-20", People: visit.People}, Floor: example(t, "floor.csv", intake.FloorColumns()),
			Checks: read(t, "c.csv", "instrument,checked,dropped,midway a (m),midway b (m),unequal a (m),unequal b (m),distance a (m),distance b (m)\n"+rows, intake.CheckColumns())}
	}
	out, err := intake.Bring(base, in("line laser,2026-10-01,no,2.0,3.0,1.50,2.75,120,20\n"), false)
	hold(t, out, err, nil)
	if want := `"midway": ["2.0 m", "3.0 m"]`; !strings.Contains(string(out.Text), want) || !strings.Contains(string(out.Text), `"dropped": false`) {
		t.Errorf("no %s in\n%s", want, out.Text)
	}
	out, err = intake.Bring(base, in("line laser,,,2.0,,1.50,2.75,120,20\nlazer,,,,,,,,\n"), false)
	hold(t, out, err, []string{"c.csv:2:5: midway b (m): found part of a two-peg test", "lazer"})
	out, err = intake.Bring(base, in("lazer,,,,,,,,\n"), false)
	hold(t, out, err, []string{`c.csv:2:1: instrument: found instrument "lazer", which is not planned`})
}

func BenchmarkThousandRows(b *testing.B) {
	text := thousand("\n")
	for b.Loop() {
		bring(b, begin(b), intake.Input{Units: read(b, "u.csv", text, intake.UnitColumns())})
	}
}

// FuzzBring: whatever a table holds, what is brought in is a record, what is
// not is said, and a second time adds nothing.
func FuzzBring(f *testing.F) {
	for _, tc := range problems {
		f.Add(0, unitsHead+tc.text)
	}
	f.Add(0, "room,elevation,tag,part\nR,,A1,F3\n")
	for i, name := range []string{"units.csv", "packing-list.csv", "floor.csv", "instruments.csv", "screws.csv"} {
		text, err := os.ReadFile(filepath.Join(folder, name))
		if err != nil {
			f.Fatal(err)
		}
		f.Add(i, string(text))
	}
	full, _ := bring(f, begin(f), examples(f))
	f.Fuzz(func(t *testing.T, kind int, text string) {
		base, in := full, intake.Input{Visit: visit}
		to, columns := &in.Units, intake.UnitColumns()
		switch kind {
		case 0:
			base = begin(t)
		case 1:
			to, columns = &in.PackingList, intake.PackingColumns()
		case 2:
			to, columns = &in.Floor, intake.FloorColumns()
		case 3:
			to, columns = &in.Instruments, intake.InstrumentColumns()
		case 4:
			to, columns = &in.Screws, intake.ScrewColumns()
		}
		got, err := table.Read("t.csv", []byte(text), columns)
		if err != nil {
			return
		}
		*to = got
		out, err := intake.Bring(base, in, true)
		var all schema.Problems
		if err != nil {
			if !errors.As(err, &all) {
				t.Fatal(err)
			}
			return
		}
		if len(out.Skipped) > 0 != (out.Rows > 0) {
			t.Errorf("%d rows skipped for %d reasons", out.Rows, len(out.Skipped))
		}
		rec, _, err := schema.Read("job.json", out.Text)
		if err != nil {
			t.Fatalf("what was brought in is no record: %v\n%s", err, out.Text)
		}
		again, err := intake.Bring(intake.Base{Name: "job.json", Text: out.Text, Record: rec}, in, true)
		if err != nil || len(again.Added) > 0 && again.Rows == 0 {
			t.Errorf("a second time: %v %v", again, err)
		}
	})
}
