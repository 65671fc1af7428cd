package findings_test

import (
	"encoding/json"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"setline.example/checks"
	"setline.example/report/findings"
	"setline.example/schema"
)

// TestTextFillsATerminal: no line of what was found is longer than the terminal,
// if a word is not, and every word stands there in its order.
func TestTextFillsATerminal(t *testing.T) {
	s := findings.Selection{All: true}
	files := []*findings.File{judge(t, s, annex, read(t, annex), "text")}
	whole := string(write(t, "text", findings.Run{Shown: s.Shown()}, files))
	for _, width := range []int{20, 60, 80, 200} {
		filled := string(write(t, "text", findings.Run{Shown: s.Shown(), Width: width}, files))
		if strings.Join(strings.Fields(filled), " ") != strings.Join(strings.Fields(whole), " ") {
			t.Fatalf("other words at %d columns", width)
		}
		for line := range strings.Lines(filled) {
			text, found := strings.CutPrefix(strings.TrimRight(line, "\n"), "        ")
			if found && strings.Contains(text, " ") && utf8.RuneCountInString(text) > width-8 {
				t.Errorf("%d columns at a width of %d: %s", utf8.RuneCountInString(text)+8, width, text)
			}
		}
	}
	if !strings.Contains(whole, "        to do: ") {
		t.Error("nothing is to do")
	}
}

// TestTextGrowsWithWhatIsWrong: however much nobody looked at, text takes some lines
// for a place, says how much it is, and loses nothing that fails; --all lists each,
// and JSON has each anyway.
func TestTextGrowsWithWhatIsWrong(t *testing.T) {
	rec, _, err := schema.Read(annex, read(t, annex))
	if err != nil {
		t.Fatal(err)
	}
	lines := func(s findings.Selection, file *findings.File) string {
		return string(write(t, "text", findings.Run{Shown: s.Shown()}, []*findings.File{file}))
	}
	data := func() []byte {
		data, err := json.Marshal(rec)
		if err != nil {
			t.Fatal(err)
		}
		return data
	}
	var some, every findings.Selection
	every.All = true
	some.Rules, every.Rules = nil, nil
	for len(rec.Measured.Visits) > 0 {
		rec.Measured.Visits = rec.Measured.Visits[:len(rec.Measured.Visits)-1]
		rec.Agreed.Concessions = nil
		file := judge(t, some, annex, data(), "text")
		text := lines(some, file)
		fails, unseen, places := 0, 0, 0
		for _, room := range file.Rooms {
			fails += room.Counts[checks.Fail] + room.Counts[checks.Notice] + room.Counts[checks.Undecided]
			unseen += room.Counts[checks.NotObserved]
			places += 3 // two elevations, and the room as a whole
		}
		if n, most := strings.Count(text, "\n"), 10+3*fails+places*33; n > most {
			t.Errorf("%d visits: found %d lines, expected at most %d", len(rec.Measured.Visits), n, most)
		}
		if got := strings.Count(text, "\n    fail "); got != counted(file, checks.Fail) {
			t.Errorf("found %d that fail, expected %d", got, counted(file, checks.Fail))
		}
		told := strings.Count(text, "\n    not observed ")
		for _, m := range regexp.MustCompile(`(\d+) things that nobody looked at`).FindAllStringSubmatch(text, -1) {
			n, _ := strconv.Atoi(m[1])
			told += n - 1
		}
		for _, m := range waitFor.FindAllStringSubmatch(text, -1) {
			n, _ := strconv.Atoi(m[1])
			told += n - 1
		}
		if told != unseen {
			t.Errorf("found %d things told that nobody looked at, expected %d", told, unseen)
		}
		whole := judge(t, every, annex, data(), "text")
		if got := strings.Count(lines(every, whole), "\n    not observed "); got != unseen {
			t.Errorf("--all: found %d that nobody looked at, expected %d", got, unseen)
		}
	}
	if n := strings.Count(lines(some, judge(t, some, annex, data(), "text")), "\n"); n > 30 {
		t.Errorf("found %d lines of a job that nobody visited", n)
	}
}

var waitFor = regexp.MustCompile(`(\d+) results wait for it: `)

// TestOneReadingIsAskedForOnce: what several results wait for is told once, with all
// of them, and what they wait for answers them all: with it nothing is not observed.
// The other formats have each result.
func TestOneReadingIsAskedForOnce(t *testing.T) {
	unread := func(room string, take func(*schema.RoomSeen)) []byte {
		rec, _, err := schema.Read(annex, read(t, annex))
		if err != nil {
			t.Fatal(err)
		}
		for _, v := range rec.Measured.Visits {
			if seen, ok := v.Rooms[room]; ok {
				take(&seen)
			}
		}
		data, err := json.Marshal(rec)
		if err != nil {
			t.Fatal(err)
		}
		return data
	}
	const room = "S-104"
	tops := func(r *schema.RoomSeen, take func(*schema.CornerLengths)) {
		if c, ok := r.Cabinets["A3"]; ok {
			take(&c.Tops)
			r.Cabinets["A3"] = c
		}
	}
	joint := func(r *schema.RoomSeen, take func(*schema.JointSeen)) {
		if j, ok := r.Joints["A2+A3"]; ok {
			take(&j)
			r.Joints["A2+A3"] = j
		}
	}
	for _, c := range []struct {
		name, entry string
		results     int
		take        func(*schema.RoomSeen)
	}{
		{"a top", "S-104/A3  Top, front-left", 6, func(r *schema.RoomSeen) {
			tops(r, func(c *schema.CornerLengths) { c.FL = nil })
		}},
		{"two tops", "S-104/A3  Top, front-left; Top, back-right", 6, func(r *schema.RoomSeen) {
			tops(r, func(c *schema.CornerLengths) { c.FL, c.BR = nil, nil })
		}},
		{"screws of a joint", "S-104/A2+A3  Fastened at the front; Fastened at the upper rear", 2, func(r *schema.RoomSeen) {
			joint(r, func(j *schema.JointSeen) { j.Fastened = schema.FastenedSeen{} })
		}},
		{"a gap", "S-104/A2+A3  joint gap", 1, func(r *schema.RoomSeen) {
			joint(r, func(j *schema.JointSeen) { j.Gap, j.GapLength = nil, nil })
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := findings.Selection{Room: room}
			data := unread(room, c.take)
			file := judge(t, s, annex, data, "text")
			if n := file.Rooms[0].Counts[checks.NotObserved]; n != c.results {
				t.Fatalf("found %d results not observed, expected %d", n, c.results)
			}
			text := string(write(t, "text", findings.Run{Shown: s.Shown()}, []*findings.File{file}))
			if n := strings.Count(text, "\n    not observed "); n != 1 || !strings.Contains(text, c.entry+"\n") {
				t.Errorf("found %d entries, expected one of %s:\n%s", n, c.entry, text)
			}
			if m := waitFor.FindStringSubmatch(text); c.results > 1 && (m == nil || m[1] != strconv.Itoa(c.results)) {
				t.Errorf("found no word of %d that wait:\n%s", c.results, text)
			}
			for _, format := range []string{"lines", "json", "sarif", "junit"} {
				file := judge(t, s, annex, data, format)
				n := 0
				for _, r := range file.Rooms[0].Results {
					if r.Outcome == checks.NotObserved {
						n++
					}
				}
				if n != c.results {
					t.Errorf("%s: found %d results, expected %d", format, n, c.results)
				}
			}
		})
	}
}

func counted(f *findings.File, o checks.Outcome) (n int) {
	for _, room := range f.Rooms {
		n += room.Counts[o]
	}
	return n
}
