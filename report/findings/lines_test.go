package findings_test

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"setline.example/report/findings"
	"setline.example/schema"
)

// gnu is the form of the GNU Coding Standards, "Formatting Error Messages":
// "sourcefile:lineno:column: message", or without a place "sourcefile: message".
var gnu = regexp.MustCompile(`^(\S.*?):(?:([1-9][0-9]*):([1-9][0-9]*):)? (fail|not observed|undecided|conceded|notice|pass|not applicable|cannot be used)(?: \(known\))?: \S.* \[[a-z-]*\]$`)

func TestLines(t *testing.T) {
	for _, all := range []bool{false, true} {
		s := findings.Selection{All: all}
		files := sample(t, s, "lines")
		want := 0
		for _, f := range files {
			want += len(f.Problems)
			for _, room := range f.Rooms {
				for _, r := range room.Results {
					if all || r.Outcome != "conceded" {
						want++
					}
				}
			}
		}
		out := string(write(t, "lines", findings.Run{Shown: s.Shown()}, files))
		rows := strings.Split(strings.TrimSuffix(out, "\n"), "\n")
		if len(rows) != want {
			t.Errorf("%d lines, want %d", len(rows), want)
		}
		for _, row := range rows {
			if !gnu.MatchString(row) {
				t.Errorf("not in the form that editors read: %q", row)
			}
		}
	}
}

// TestNothingActsOnTheTerminal: no format writes a character that a terminal
// acts on, whatever a record holds.
func TestNothingActsOnTheTerminal(t *testing.T) {
	long(t)
	s := findings.Selection{All: true}
	for _, name := range findings.FormatNames() {
		out := string(write(t, name, findings.Run{Shown: s.Shown(), Many: true}, sample(t, s, name)))
		if strings.ContainsAny(out, "\x1b\x00\a\b") {
			t.Errorf("%s has a control character", name)
		}
	}
}

// TestLongLists: lists that a format wants at its end grow beyond memory and
// come out whole and in order.
func TestLongLists(t *testing.T) {
	long(t)
	t.Setenv("TMPDIR", t.TempDir())
	files := make([]*findings.File, 20_000)
	for i := range files {
		files[i] = findings.Broken("folder/"+strings.Repeat("x", i%60)+".json", schema.Problems{{Found: "nothing", Line: i + 1, Column: 1}})
	}
	l, _ := sarifOf(t, findings.Selection{}, files)
	run := l.Runs[0]
	if len(run.Artifacts) != len(files) || len(run.Invocations[0].ToolExecutionNotifications) != len(files) {
		t.Fatalf("%d artifacts and %d notifications, want %d", len(run.Artifacts), len(run.Invocations[0].ToolExecutionNotifications), len(files))
	}
	for i, a := range run.Artifacts {
		if a.Location.URI != files[i].Path {
			t.Fatalf("artifact %d is %q, want %q", i, a.Location.URI, files[i].Path)
		}
	}
	left, err := filepath.Glob(filepath.Join(os.Getenv("TMPDIR"), "*"))
	if err != nil || len(left) > 0 {
		t.Errorf("left behind: %v, %v", left, err)
	}
}
