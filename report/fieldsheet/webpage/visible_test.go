package webpage

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"strings"
	"testing"

	"setline.example/report/fieldsheet"
	"setline.example/schema"
	"setline.example/schema/plaintext"
)

// TestVisible: what a page shows of text that people typed is what every other
// document shows of it, whatever a character is classed as by the engine that
// runs the page.
func TestVisible(t *testing.T) {
	node, err := exec.LookPath("node")
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("node is missing; .ci/run installs it")
		}
		t.Skip("node is missing, so what a page shows was not compared")
	}
	var texts []string
	for r := rune(0); r < 0xe1000; r++ {
		if plaintext.Invisible(r) && (r < 0xd800 || r > 0xdfff) && (r < 0xe100 || r > 0xf800) {
			texts = append(texts, fmt.Sprintf("A%c3 READY", r))
		}
	}
	texts = append(texts, "S-104, elevation A", "Ødegård & Quill «Ž» 1 1/2 in − 3′ ½", "Θάλεια Βρεττού", "a\nb", "a\u2028b\u0085c", "דלת 3")
	in, err := json.Marshal(texts)
	if err != nil {
		t.Fatal(err)
	}
	code, err := web.ReadFile("web/data.js")
	if err != nil {
		t.Fatal(err)
	}
	run := exec.CommandContext(t.Context(), node, "-e", inASCII(string(code), ".js")+`
process.stdout.write(JSON.stringify(JSON.parse(require("fs").readFileSync(0, "utf8")).map(visible)))`)
	run.Stdin = strings.NewReader(string(in))
	out, err := run.Output()
	if err != nil {
		t.Fatal(err)
	}
	var shown []string
	if err := json.Unmarshal(out, &shown); err != nil {
		t.Fatal(err)
	}
	for i, text := range texts {
		if want := plaintext.Visible(text); shown[i] != want {
			t.Errorf("%q: the page shows %q, want %q", text, shown[i], want)
		}
	}
}

// TestTitleIsVisible: what a browser writes above a page is text that can be
// seen, and that saving the page leaves alone.
func TestTitleIsVisible(t *testing.T) {
	text, err := os.ReadFile("../../../examples/metric/job.json")
	if err != nil {
		t.Fatal(err)
	}
	const name = "Kestrel Point College"
	rec, src, err := schema.Read("x", bytes.Replace(text, []byte(name), []byte(`\u202e\u001b[31m\r\nREADY`), 1))
	if err != nil {
		t.Fatal(err)
	}
	s, err := fieldsheet.New(rec, src, fieldsheet.Options{All: true, Version: "test"})
	if err != nil {
		t.Fatal(err)
	}
	var page bytes.Buffer
	if err := Write(&page, s); err != nil {
		t.Fatal(err)
	}
	for _, r := range page.String() {
		if r != '\n' && r != '\t' && plaintext.Invisible(r) {
			t.Fatalf("the page has the character %U", r)
		}
	}
	if !strings.Contains(page.String(), "<title data-setline=\"\">Field sheet: ‹U+202E›") {
		t.Error("the page's title does not show what is in the job's name")
	}
}
