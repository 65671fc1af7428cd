package collect

import (
	"bytes"
	"os"
	"strings"
	"testing"

	"setline.example/checks/say"
	"setline.example/report/fieldsheet"
)

func readFile(t *testing.T, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// markdown fills the sheet's Markdown line by line.
func (j *job) markdown(answers map[string]fieldsheet.Entry) string {
	j.t.Helper()
	var b bytes.Buffer
	if err := j.sheet().Markdown(&b); err != nil {
		j.t.Fatal(err)
	}
	fields := j.sheet().Fields()
	lines := strings.Split(b.String(), "\n")
	next, begun := 0, false
	for i, line := range lines {
		begun = begun || line == "## "+say.Writer{Language: j.language}.Words("Visit")
		isTick := strings.HasPrefix(line, "  - [ ] ")
		if !begun || !isTick && !strings.HasPrefix(line, "- ") || !isTick && strings.HasSuffix(line, ":") {
			continue
		}
		if next == len(fields) {
			j.t.Fatalf("line %d is of no field: %s", i+1, line)
		}
		f := fields[next]
		next++
		e, ok := answers[f.Name]
		switch {
		case isTick != f.Tick:
			j.t.Fatalf("line %d is not of %s: %s", i+1, f.Name, line)
		case ok && f.Tick && e.On:
			lines[i] = strings.Replace(line, "[ ]", "[x]", 1)
		case ok:
			label := line[:strings.LastIndex(line, ": ")]
			lines[i] = label + ": " + e.Text
		}
	}
	if next != len(fields) {
		j.t.Fatalf("%d of %d fields are in the Markdown", next, len(fields))
	}
	return strings.Join(lines, "\n")
}
