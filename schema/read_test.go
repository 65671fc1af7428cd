package schema_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"os"
	"strconv"
	"strings"
	"testing"

	"setline.example/schema"
)

// small is a record with nothing wrong, whose lines the cases below change.
const small = `{
  "setline": 1,
  "planned": {
    "project": {"name": "Small"},
    "usual": {"height": "34 in", "depth": "22 in", "leveler": {"least": "1/2 in", "greatest": "2 in"}},
    "cabinets": {"B24": {"width": "24 in", "front": [{"drawers": 2}]}},
    "fillers": {"F3": {"width": "3 in"}},
    "rooms": [{"name": "R1", "elevations": [{"name": "A", "units": [
      {"tag": "A0", "part": "F3"},
      {"tag": "A1", "part": "B24"},
      {"tag": "A2", "part": "B24"},
      {"tag": "A3", "part": "B24", "space_before": "30 in"}
    ]}]}]
  },
  "arrived": {
    "packing_lists": {"P1": {"lines": {"1": {"part": "B24", "quantity": 3}}}},
    "receipts": [{"packing_list": "P1", "date": "2026-09-01", "by": "C", "lines": {"1": {"good": 3}}}]
  },
  "measured": {"visits": [{
    "date": "2026-09-10",
    "people": [{"name": "I"}],
    "rooms": {"R1": {
      "elevations": {"A": {"floor": {"front": [["0 in", "44 in"], ["12 in", "44 1/16 in"]]}}},
      "cabinets": {"A1": {"drawers": {"1": "1", "2": "2"}}},
      "joints": {"A1+A2": {"front_offset": "1/64 in"}},
      "fillers": {"A0": {"comes_off": true}}
    }}
  }]},
  "agreed": {"open_items": [{"room": "R1", "what": "sweep"}]}
}
`

func TestSmallIsGood(t *testing.T) {
	rec, src, err := schema.Read("small.json", []byte(small))
	if err != nil {
		t.Fatal(err)
	}
	if rec.Planned.Rooms[0].Elevations[0].Units[3].SpaceBefore == nil || string(src.Data) != small {
		t.Error("the record is not what was read")
	}
}

// problems lists one change to a good record each, and the one problem it
// must make: its place, its pointer, and words of what was found, expected and
// how to mend it.
var problems = []struct {
	name                  string
	old, new              string
	line                  int
	pointer               string
	found, expected, mend string
}{
	{"empty object", small, `{}`, 1, "", "no format version", `"setline": 1`, "first in the record"},
	{"not an object", small, `[1]`, 1, "", "a list", `"setline": 1`, "one JSON object"},
	{"unknown version", `"setline": 1`, `"setline": 2`, 2, "/setline", "format version 2", "format version this program knows", "a Setline that knows"},
	{"version as text", `"setline": 1`, `"setline": "1"`, 2, "/setline", `format version "1"`, "1", ""},
	{"a report", small, "%PDF-1.7\n", 0, "", "a PDF", "RFC 8259", "setline verify FILE --extract"},
	{"a workbook", small, "PK\x03\x04\x14\x00", 0, "", "a workbook", "RFC 8259", "setline start"},
	{"a page", small, "\n<!DOCTYPE html>", 0, "", "a page", "RFC 8259", "setline collect"},
	{"a sheet", small, "# Field sheet\n", 0, "", "Markdown", "RFC 8259", "setline collect"},
	{"broken JSON", `"setline": 1,`, `"setline": 1`, 3, "", "broken JSON", "RFC 8259", "editor"},
	{"cut off", "\"agreed\": {\"open_items\": [{\"room\": \"R1\", \"what\": \"sweep\"}]}\n}\n", "", 29, "", "", "RFC 8259", ""},
	{"a second value", "sweep\"}]}\n}\n", "sweep\"}]}\n}\n{}", 0, "", "more text after the end", "", ""},
	{"duplicate name", `"project": {"name": "Small"}`, `"project": {"name": "Small", "name": "Big"}`, 4, "/planned/project/name", `"name" a second time`, "each name once", "rename"},
	{"invalid UTF-8", `"name": "Small"`, "\"name\": \"\xff\"", 4, "", "broken JSON", "", ""},

	{"withdrawn before it was", `"people": [{"name": "I"}],`, `"people": [{"name": "I"}], "withdrawn": {"by": {"name": "I"}, "date": "2026-09-09", "reason": "another room"},`, 21, "/measured/visits/0/withdrawn/date", "2026-09-09", "on or after the visit, 2026-09-10", "correct one"},
	{"withdrawn for no reason", `"people": [{"name": "I"}],`, `"people": [{"name": "I"}], "withdrawn": {"by": {"name": "I"}, "date": "2026-09-11"},`, 21, "/measured/visits/0/withdrawn", `no "reason"`, "Why", `add "reason"`},
	{"corrected to the same", `"people": [{"name": "I"}],`, `"people": [{"name": "I"}], "corrections": [{"at": "/rooms/R1/joints/A1+A2/front_offset", "was": "1/64 in", "by": {"name": "I"}, "date": "2026-09-11", "reason": "slip"}],`, 21, "/measured/visits/0/corrections/0/was", `"1/64 in", which stands there now`, "before it was corrected", "correct the value"},
	{"corrected nothing", `"people": [{"name": "I"}],`, `"people": [{"name": "I"}], "corrections": [{"at": "/rooms/R1/joints/A1+A2/gap", "by": {"name": "I"}, "date": "2026-09-11", "reason": "slip"}],`, 21, "/measured/visits/0/corrections/0/at", "where nothing stands", "a value that was corrected", `"was"`},
	{"corrected elsewhere", `"people": [{"name": "I"}],`, `"people": [{"name": "I"}], "corrections": [{"at": "/entered", "was": 1, "by": {"name": "I"}, "date": "2026-09-11", "reason": "slip"}],`, 21, "/measured/visits/0/corrections/0/at", "/entered", "something that was observed", "JSON Pointer"},
	{"a correction that is no JSON", `"people": [{"name": "I"}],`, `"people": [{"name": "I"}], "corrections": [{"at": "/date", "was": {"a": 1, "a": 2}, "by": {"name": "I"}, "date": "2026-09-11", "reason": "slip"}],`, 21, "/measured/visits/0/corrections/0/was/a", `"a" a second time`, "", ""},
	{"entered twice", `"date": "2026-09-10",`, `"date": "2026-09-10", "entered": 1, "corrections": [{"at": "/purpose", "was": "x", "by": {"name": "I"}, "date": "2026-09-11", "reason": "slip", "entered": 1}],`, 20, "/measured/visits/0/corrections/0/entered", "place 1, which /measured/visits/0 has", "a place of its own", "next free number"},
	{"all are not", `"elevations": {"A": {`, `"elevations": {"A": {"all": [{"of": "bearing", "answer": false}], `, 23, "/measured/visits/0/rooms/R1/elevations/A/all/0/answer", "false", "true", "by itself"},
	{"all of it twice", `"elevations": {"A": {`, `"elevations": {"A": {"all": [{"of": "bearing", "answer": true}, {"of": "bearing", "answer": true}], `, 23, "/measured/visits/0/rooms/R1/elevations/A/all/1/of", `"bearing" a second time`, "", "exceptions"},
	{"all but a stranger", `"elevations": {"A": {`, `"elevations": {"A": {"all": [{"of": "bearing", "answer": true, "except": ["A3", "A2+A1"]}], `, 23, "/measured/visits/0/rooms/R1/elevations/A/all/0/except/1", `"A2+A1", which is no unit or joint of elevation A`, "A0, A0+A1", "A1+A2"},
	{"all of what", `"elevations": {"A": {`, `"elevations": {"A": {"all": [{"of": "tops", "answer": true}], `, 23, "/measured/visits/0/rooms/R1/elevations/A/all/0/of", "tops", "labels", ""},

	{"missing field", `"project": {"name": "Small"},`, "", 3, "/planned", `no "project"`, "The job and the firms on it", `add "project"`},
	{"unknown field", `"by": "C"`, `"by": "C", "bye": "D"`, 17, "/arrived/receipts/0/bye", `unknown field "bye"`, "one of by, date", `write "by"`},
	{"bare number", `"width": "24 in"`, `"width": 24`, 6, "/planned/cabinets/B24/width", "bare number 24", "a length: a string with a number and its unit", `"24 in" or "24 mm"`},
	{"length without unit", `"width": "24 in"`, `"width": "24"`, 6, "/planned/cabinets/B24/width", `"24" (`, "a length with its unit", "24 in"},
	{"length with a decimal comma", `"width": "24 in"`, `"width": "24,5 in"`, 6, "/planned/cabinets/B24/width", `"24,5 in" (`, "a length", "24.5 in"},
	{"length with a zero denominator", `"1/64 in"`, `"1/0 in"`, 25, "/measured/visits/0/rooms/R1/joints/A1+A2/front_offset", `"1/0 in" (`, "a length", ""},
	{"word not on the list", `{"drawers": 2}`, `{"drawers": 2, "height": "6 in"}]}, "X": {"width": "1 in", "front": [{"panels": 0}`, 6, "/planned/cabinets/X/front/0/panels", "0", "at least 1", ""},
	{"role unknown", `{"name": "I"}`, `{"name": "I", "role": "inspecter"}`, 21, "/measured/visits/0/people/0/role", `"inspecter"`, `"installer", "inspector"`, `write "inspector"`},
	{"date that is none", `"date": "2026-09-10"`, `"date": "2026-02-30"`, 20, "/measured/visits/0/date", `"2026-02-30"`, "a calendar date", "2026-09-14"},
	{"date the other way", `"date": "2026-09-10"`, `"date": "10/9/2026"`, 20, "/measured/visits/0/date", `"10/9/2026"`, "YYYY-MM-DD", ""},
	{"tag with a slash", `"tag": "A3"`, `"tag": "A/3"`, 12, "/planned/rooms/0/elevations/0/units/3/tag", `"A/3"`, "letters, digits", ""},
	{"no rooms", `"rooms": [{"name": "R1", "elevations": [{"name": "A", "units": [
      {"tag": "A0", "part": "F3"},
      {"tag": "A1", "part": "B24"},
      {"tag": "A2", "part": "B24"},
      {"tag": "A3", "part": "B24", "space_before": "30 in"}
    ]}]}]`, `"rooms": []`, 8, "/planned/rooms", "a list of 0", "something here, not nothing", ""},

	{"second tag", `"tag": "A3"`, `"tag": "A1"`, 12, "/planned/rooms/0/elevations/0/units/3/tag", `a second unit "A1"`, "each tag once", ""},
	{"part not in the catalog", `"part": "F3"`, `"part": "F4"`, 9, "/planned/rooms/0/elevations/0/units/0/part", `part "F4"`, "B24, F3", `write "F3"`},
	{"cabinet without levelers", `, "leveler": {"least": "1/2 in", "greatest": "2 in"}`, "", 6, "/planned/cabinets/B24", `without "leveler"`, "planned/usual", ""},
	{"more reserve than travel", `"greatest": "2 in"`, `"greatest": "2 in", "reserve": "2 in"`, 5, "/planned/usual/leveler/reserve", "2 in", "no more than the leveler's whole travel, 1 1/2 in", ""},
	{"a reserve below zero", `"greatest": "2 in"`, `"greatest": "2 in", "reserve": "-1/8 in"`, 5, "/planned/usual/leveler/reserve", "-1/8 in", "a reserve of zero or more", ""},
	{"a bolt of two pitches", `"greatest": "2 in"`, `"greatest": "2 in", "threads_per_inch": 16, "pitch": "1.5 mm"`, 5, "/planned/usual/leveler/pitch", "pitch and threads per inch of one bolt", "one of the two", ""},
	{"least above greatest", `"greatest": "2 in"`, `"greatest": "1/4 in"`, 5, "/planned/usual/leveler/greatest", "1/4 in", "no less than the least extension, 1/2 in", ""},
	{"width of nothing", `"width": "3 in"`, `"width": "0 in"`, 7, "/planned/fillers/F3/width", "0 in", "above zero", ""},
	{"row of two kinds", `{"drawers": 2}`, `{"drawers": 2, "doors": 1}`, 6, "/planned/cabinets/B24/front/0", "2 kinds of front", "one kind", ""},
	{"a top from nowhere", `{"name": "A", "units": [`, `{"name": "A", "tops": [{"from": "A7", "to": "A2"}], "units": [`, 8, "/planned/rooms/0/elevations/0/tops/0/from", `"A7", which is neither a unit of the elevation nor a length`, "A0, A1, A2, A3, or a distance", `write "A0" if`},
	{"a top to nowhere", `{"name": "A", "units": [`, `{"name": "A", "tops": [{"from": "A1", "to": "far"}], "units": [`, 8, "/planned/rooms/0/elevations/0/tops/0/to", `"far", which is neither`, "from the left end", "with its unit"},
	{"a top of no length", `{"name": "A", "units": [`, `{"name": "A", "tops": [{"from": "A2", "to": "27 in"}], "units": [`, 8, "/planned/rooms/0/elevations/0/tops/0/to", "a top that ends at 27 in and begins at 27 in", "to the right", ""},
	{"a top within another", `{"name": "A", "units": [`, `{"name": "A", "tops": [{"from": "-1 in", "to": "A1"}, {"from": "26 in", "to": "A3"}], "units": [`, 8, "/planned/rooms/0/elevations/0/tops/1/from", "begins at 26 in, within the one before it, which ends at 27 in", "from left to right", ""},
	{"a top that stands back", `{"name": "A", "units": [`, `{"name": "A", "tops": [{"from": "A1", "to": "A2", "overhang": "-1 in"}], "units": [`, 8, "/planned/rooms/0/elevations/0/tops/0/overhang", "-1 in", "a distance of zero or more", ""},
	{"a release of a stranger", `"elevations": {"A": {`, `"elevations": {"A": {"closing": {"released_runs": ["A1", "A1+A2"]}, `, 23, "/measured/visits/0/rooms/R1/elevations/A/closing/released_runs/1", `"A1+A2", which is no unit of elevation A`, "A0, A1, A2, A3", ""},
	{"receipt of an unknown list", `"packing_list": "P1"`, `"packing_list": "P2"`, 17, "/arrived/receipts/0/packing_list", `packing list "P2"`, "P1", `write "P1"`},
	{"receipt of an unknown line", `"lines": {"1": {"good": 3}}`, `"lines": {"7": {"good": 3}}`, 17, "/arrived/receipts/0/lines/7", `line "7"`, "a planned line: 1", ""},
	{"unknown room", `"rooms": {"R1": {`, `"rooms": {"R2": {`, 22, "/measured/visits/0/rooms/R2", `room "R2"`, "R1", `write "R1"`},
	{"unknown elevation", `"elevations": {"A": {"floor"`, `"elevations": {"B": {"floor"`, 23, "/measured/visits/0/rooms/R1/elevations/B", `elevation "B"`, "A", ""},
	{"unit not planned", `"cabinets": {"A1": {"drawers"`, `"cabinets": {"A7": {"drawers"`, 24, "/measured/visits/0/rooms/R1/cabinets/A7", `unit "A7"`, "A0, A1, A2, A3", ""},
	{"filler among cabinets", `"cabinets": {"A1": {"drawers": {"1": "1", "2": "2"}}}`, `"cabinets": {"A0": {}}`, 24, "/measured/visits/0/rooms/R1/cabinets/A0", `filler "A0" among the cabinets`, "cabinets here", "fillers"},
	{"cabinet among fillers", `"fillers": {"A0"`, `"fillers": {"A2"`, 26, "/measured/visits/0/rooms/R1/fillers/A2", `cabinet "A2" among the fillers`, "fillers here", "cabinets"},
	{"joint of strangers", `"A1+A2"`, `"A0+A2"`, 25, "/measured/visits/0/rooms/R1/joints/A0+A2", "not neighbours", "side by side", ""},
	{"joint across a space", `"A1+A2"`, `"A2+A3"`, 25, "/measured/visits/0/rooms/R1/joints/A2+A3", "not neighbours", "no space between", ""},
	{"joint the wrong way round", `"A1+A2"`, `"A2+A1"`, 25, "/measured/visits/0/rooms/R1/joints/A2+A1", `joint "A2+A1"`, "A1+A2", "turn it round"},
	{"joint of nothing", `"A1+A2"`, `"A1A2"`, 25, "/measured/visits/0/rooms/R1/joints/A1A2", `joint "A1A2"`, "A0+A1, A1+A2", `write "A1+A2"`},
	{"slot that is not there", `{"1": "1", "2": "2"}`, `{"1": "1", "3": "2"}`, 24, "/measured/visits/0/rooms/R1/cabinets/A1/drawers/3", `drawer slot "3"`, "1, 2", ""},
	{"drawer that is not there", `{"1": "1", "2": "2"}`, `{"1": "1", "2": "A2/5"}`, 24, "/measured/visits/0/rooms/R1/cabinets/A1/drawers/2", `drawer "A2/5"`, "home slot", `"TAG/2"`},
	{"one drawer in two slots", `{"1": "1", "2": "2"}`, `{"1": "1", "2": "1"}`, 24, "/measured/visits/0/rooms/R1/cabinets/A1/drawers/2", "drawer A1/1 here and in A1/1", "each drawer in one place", ""},
	{"floor readings out of order", `["12 in", "44 1/16 in"]`, `["0 in", "44 1/16 in"]`, 23, "/measured/visits/0/rooms/R1/elevations/A/floor/front/1/0", "0 in", "beyond the one before", ""},
	{"open item of an unknown room", `{"room": "R1", "what"`, `{"room": "R9", "what"`, 29, "/agreed/open_items/0/room", `room "R9"`, "R1", ""},
}

func TestProblems(t *testing.T) {
	for _, tc := range problems {
		t.Run(tc.name, func(t *testing.T) {
			if !strings.Contains(small, tc.old) {
				t.Fatalf("the small record has no %s to change", tc.old)
			}
			_, _, err := schema.Read("small.json", []byte(strings.Replace(small, tc.old, tc.new, 1)))
			var all schema.Problems
			if !errors.As(err, &all) {
				t.Fatalf("found no problem, error %v", err)
			}
			if len(all) != 1 {
				t.Errorf("%d problems, want 1:\n%v", len(all), all)
			}
			p := all[0]
			if tc.line > 0 && p.Line != tc.line {
				t.Errorf("line %d, want %d", p.Line, tc.line)
			}
			if tc.pointer != "" && p.Pointer != tc.pointer {
				t.Errorf("pointer %q, want %q", p.Pointer, tc.pointer)
			}
			for _, part := range []struct{ name, got, want string }{
				{"found", p.Found, tc.found}, {"expected", p.Expected, tc.expected}, {"mend", p.Mend, tc.mend},
			} {
				if !strings.Contains(part.got, part.want) {
					t.Errorf("%s: %q, want %q in it", part.name, part.got, part.want)
				}
			}
		})
	}
}

// TestAllProblemsAtOnce: problems of names, of the schema and of meaning come
// together, in the order of the file.
func TestAllProblemsAtOnce(t *testing.T) {
	bad := strings.NewReplacer(
		`"part": "F3"`, `"part": "F4"`, // meaning, line 9
		`"front_offset": "1/64 in"`, `"front_offset": 0.1`, // schema, line 25
		`"by": "C"`, `"by": "C", "by": "D"`, // duplicate name, line 17
		`"what": "sweep"`, `"what": "sweep", "wen": "now"`, // unknown field, line 29
		`"quantity": 3`, `"quantity": 3.0`, // no problem: a whole number
	).Replace(small)
	_, _, err := schema.Read("bad.json", []byte(bad))
	var all schema.Problems
	if !errors.As(err, &all) {
		t.Fatal(err)
	}
	var lines []int
	for _, p := range all {
		lines = append(lines, p.Line)
	}
	if len(all) != 4 || lines[0] != 9 || lines[1] != 17 || lines[2] != 25 || lines[3] != 29 {
		t.Errorf("problems on lines %v, want 9, 17, 25, 29:\n%v", lines, all)
	}
}

// TestNoFalseAlarm: where a broken value leaves it open what was meant, no
// problem is made up that mending the first would remove.
func TestNoFalseAlarm(t *testing.T) {
	for name, edit := range map[string][2]string{
		"tag of a unit that was seen": {`"tag": "A1"`, `"tag": 1`},
		"accuracy that is a number":   {`"project": {"name": "Small"},`, `"project": {"name": "Small"}, "instruments": {"l": {"kind": "laser", "accuracy": 1, "over": "50 ft"}},`},
	} {
		_, _, err := schema.Read("bad.json", []byte(strings.Replace(small, edit[0], edit[1], 1)))
		var all schema.Problems
		if !errors.As(err, &all) || len(all) != 1 {
			t.Errorf("%s: %v, want one problem", name, err)
		}
	}
}

func TestTooDeep(t *testing.T) {
	deep := `{"setline": 1, "planned": ` + strings.Repeat("[", 100_000) + strings.Repeat("]", 100_000) + `}`
	_, _, err := schema.Read("deep.json", []byte(deep))
	if err == nil || !strings.Contains(err.Error(), "nested more than 64 deep") {
		t.Errorf("%.200v", err)
	}
}

func TestTooLarge(t *testing.T) {
	_, _, err := schema.ReadFrom("large.json", bytes.NewReader(make([]byte, schema.MaxBytes+1)))
	if err == nil || !strings.Contains(err.Error(), "more than 64 MiB") {
		t.Errorf("%.200v", err)
	}
}

func TestPointerRoundTrip(t *testing.T) {
	if got, want := schema.Pointer("/a", "b/c~d", 3, ""), "/a/b~1c~0d/3/"; got != want {
		t.Errorf("%q, want %q (RFC 6901, section 3)", got, want)
	}
}

// TestRFC6901 takes the pointers of RFC 6901, section 5, to their places.
func TestRFC6901(t *testing.T) {
	doc := `{"foo": ["bar", "baz"],
"": 0,
"a/b": 1,
"c%d": 2,
"e^f": 3,
"g|h": 4,
"i\\j": 5,
"k\"l": 6,
" ": 7,
"m~n": 8}`
	src := schema.NewSource("rfc", []byte(doc))
	for line, pointer := range map[int]string{2: "/", 3: "/a~1b", 4: "/c%d", 5: "/e^f", 6: "/g|h", 7: `/i\j`, 8: `/k"l`, 9: "/ ", 10: "/m~0n"} {
		if got, _ := src.Place(pointer); got != line {
			t.Errorf("%q is on line %d, want %d", pointer, got, line)
		}
	}
	if line, column := src.Place("/foo/1"); line != 1 || column != 17 {
		t.Errorf("/foo/1 at %d:%d, want 1:17", line, column)
	}
}

// TestPlacesByCounting compares places in a long text with counting from its beginning.
func TestPlacesByCounting(t *testing.T) {
	for name, unit := range map[string]string{"many lines": `"é", "x",` + "\n", "one line": `"é", "😀", `, "line ends": "\n\n\n\n1,\r\n"} {
		doc := "[" + strings.Repeat(unit, 3000) + "0]"
		src := schema.NewSource("long", []byte(doc))
		var list []any
		if err := json.Unmarshal([]byte(doc), &list); err != nil {
			t.Fatal(err)
		}
		at := 1
		for i := range list {
			for strings.IndexByte(" ,\r\n", doc[at]) >= 0 {
				at++
			}
			before := doc[:at]
			wantLine := strings.Count(before, "\n") + 1
			wantColumn := len([]rune(before[strings.LastIndexByte(before, '\n')+1:])) + 1
			if line, column := src.Place("/" + strconv.Itoa(i)); line != wantLine || column != wantColumn {
				t.Fatalf("%s: item %d at %d:%d, want %d:%d", name, i, line, column, wantLine, wantColumn)
			}
			at += strings.IndexAny(doc[at:], ",]")
		}
	}
}

func TestExamplesAreGood(t *testing.T) {
	for _, path := range []string{"../examples/annex/job.json", "../examples/metric/job.json"} {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if _, _, err := schema.Read(path, data); err != nil {
			t.Error(err)
		}
	}
}

func FuzzRead(f *testing.F) {
	f.Add([]byte(small))
	for _, tc := range problems {
		f.Add([]byte(strings.Replace(small, tc.old, tc.new, 1)))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		rec, src, err := schema.Read("fuzz.json", data)
		var all schema.Problems
		switch {
		case err == nil && rec == nil, err != nil && rec != nil:
			t.Fatalf("record %v with error %v", rec, err)
		case err != nil && !errors.As(err, &all):
			t.Fatalf("an error that is no problem: %v", err)
		}
		for _, p := range all {
			if p.Found == "" || p.Expected == "" {
				t.Errorf("a problem that does not say what was found or expected: %+v", p)
			}
		}
		if !bytes.Equal(src.Data, data) {
			t.Error("the source is not what was read")
		}
	})
}
