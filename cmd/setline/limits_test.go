package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"setline.example/schema"
)

// TestLimits: a record beyond a limit of README.md is refused with exit code
// 2 and a message that names the limit, is short, and holds nothing that acts
// on a terminal.
func TestLimits(t *testing.T) {
	long(t)
	good, err := os.ReadFile("../../examples/metric/job.json")
	if err != nil {
		t.Fatal(err)
	}
	with := func(old, new string) string {
		if !strings.Contains(string(good), old) {
			t.Fatalf("the example has no %s to change", old)
		}
		return strings.Replace(string(good), old, new, 1)
	}
	many := func(n int, item func(i int) string) string {
		items := make([]string, n)
		for i := range items {
			items[i] = item(i)
		}
		return strings.Join(items, ",\n")
	}
	room := func(name, elevations string) string {
		return `{"name": "` + name + `", "elevations": [` + elevations + `]}`
	}
	elevation := func(name, units string) string { return `{"name": "` + name + `", "units": [` + units + `]}` }
	unit := func(i int) string { return fmt.Sprintf(`{"tag": "T%d", "part": "F"}`, i) }
	planned := func(rooms string) string {
		return `{"setline": 1, "planned": {"project": {"name": "Large"}, "fillers": {"F": {"width": "3 in"}}, "rooms": [` + rooms + `]}}`
	}
	digits := strings.Repeat("1", 10_000)
	const width = `"width": "600 mm"`

	for _, tc := range []struct{ name, text, says string }{
		{"lists nested", `{"setline": 1, "planned": ` + strings.Repeat("[", 100_000) + strings.Repeat("]", 100_000) + `}`, "nested more than 64 deep"},
		{"objects nested", `{"setline": 1, "planned": ` + strings.Repeat(`{"a":`, 100_000) + "1" + strings.Repeat("}", 100_000) + `}`, "nested more than 64 deep"},
		{"nested and cut off", `{"setline": 1, "planned": ` + strings.Repeat("[", 1_000_000), "nested more than 64 deep"},
		{"rooms", planned(many(2001, func(i int) string { return room(fmt.Sprint("R", i), elevation("A", unit(0))) })), "expected a number of items of at most 2000 (Rooms"},
		{"elevations", planned(room("R", many(501, func(i int) string { return elevation(fmt.Sprint("E", i), unit(i)) }))), "expected a number of items of at most 500 (Elevations"},
		{"units", planned(room("R", elevation("A", many(20001, unit)))), "expected a number of items of at most 20000 (Units"},
		{"visits", with(`"visits": [`, `"visits": [`+many(1000, func(int) string { return `{"date": "2026-01-01", "people": [{"name": "I"}], "rooms": {}}` })+","), "expected a number of items of at most 1000 (Visits"},
		{"text", with(`"name": "`, `"name": "`+strings.Repeat("x", 1_000_000)), "expected a length in characters of at most 200"},
		{"number", with(width, `"width": `+digits), "found a number of 10000 characters (11111111111111111111…), expected numbers of at most 40 characters"},
		{"number in text", with(width, `"width": "`+digits+` mm"`), "longer than any length is written"},
		{"number as version", with(`"setline": 1`, `"setline": `+digits), "found a number of 10000 characters"},
		{"exponent", with(width, `"width": 1e999999999`), "found the bare number 1e999999999"},
		{"length", with(width, `"width": "99999999999999 mm"`), "expected a length with its unit"},
		{"invalid UTF-8", with(`"setline": 1`, "\"setline\": 1, \"\xff\": 1"), "invalid UTF-8"},
		{"half a surrogate", with(`"name": "`, `"name": "\ud800`), "expected a job record in JSON"},
		{"zero byte", with(`"setline": 1`, "\"setline\": 1,\x00"), "invalid character"},
		{"zero byte in text", with(`"name": "`, "\"name\": \"\x00"), "expected a job record in JSON"},
		{"fraction", with(`"setline": 1`, `"setline": 1.`+strings.Repeat("0", 1_000_000)), "found a number of 1000002 characters"},
		{"UTF-16", "\xff\xfe" + strings.Join(strings.Split(string(good), ""), "\x00") + "\x00", "found text in UTF-16 with a byte-order mark, expected a job record in JSON"},
		{"UTF-16, high byte first, without a mark", "\x00" + strings.Join(strings.Split(string(good), ""), "\x00"), "found text in UTF-16, expected a job record in JSON"},
		{"byte-order mark", "\xef\xbb\xbf" + string(good), "found a byte-order mark before the text, expected a job record in JSON"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "job.json")
			if err := os.WriteFile(path, []byte(tc.text), 0o644); err != nil {
				t.Fatal(err)
			}
			// Named, and found in its folder.
			for _, arg := range []string{path, filepath.Dir(path)} {
				var out, said bytes.Buffer
				if code := run([]string{"check", arg}, strings.NewReader(""), &out, &said); code != exitInput {
					t.Errorf("exit code %d, want %d", code, exitInput)
				}
				if !strings.Contains(said.String(), tc.says) {
					t.Errorf("%.1000s\nwant %q in it", said.String(), tc.says)
				}
				if said.Len() > 4000 || strings.ContainsAny(said.String(), "\x00\x1b") {
					t.Errorf("%d bytes of message: %.200q", said.Len(), said.String())
				}
			}
		})
	}
}

// TestAtTheLimits: what is just within the limits is read and judged.
func TestAtTheLimits(t *testing.T) {
	long(t)
	var rooms strings.Builder
	for i := range 2000 {
		if i > 0 {
			rooms.WriteString(",")
		}
		fmt.Fprintf(&rooms, `{"name": "R%d", "elevations": [{"name": "A", "units": [{"tag": "T", "part": "F"}]}]}`, i)
	}
	text := `{"setline": 1, "planned": {"project": {"name": "Large"}, "fillers": {"F": {"width": "3 in"}}, "rooms": [` + rooms.String() + `]}}`
	var out, said bytes.Buffer
	if code := run([]string{"check", "--only", "not-ready", "-"}, strings.NewReader(text), &out, &said); code != exitNotReady {
		t.Errorf("exit code %d, want %d: %.500s", code, exitNotReady, said.String())
	}
	if want := "2000 rooms not ready"; !strings.Contains(out.String(), want) {
		t.Errorf("%.200s\nwant %q in it", out.String(), want)
	}
	// A file as large as may be, filled up with the white space that JSON allows.
	path := filepath.Join(t.TempDir(), "job.json")
	if err := os.WriteFile(path, append([]byte(text), bytes.Repeat([]byte{' '}, schema.MaxBytes-len(text))...), 0o644); err != nil {
		t.Fatal(err)
	}
	data, err := readFile(path, recordFile)
	if err != nil || len(data) != schema.MaxBytes {
		t.Errorf("%d bytes read, error %v", len(data), err)
	}
	if err := os.Truncate(path, schema.MaxBytes+1); err != nil {
		t.Fatal(err)
	}
	if _, err := readFile(path, recordFile); err == nil {
		t.Error("one byte more than the limit is read")
	}
}
