package pdf

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"unicode/utf16"

	"setline.example/report/pdf/object"
)

// needTool returns when the outside program is there. Without it the test is
// skipped, but fails where CI=true: a check nobody ran is not a check passed.
func needTool(t testing.TB, name string) {
	t.Helper()
	if _, err := exec.LookPath(name); err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatalf("the program %s is missing; install it", name)
		}
		t.Skipf("the program %s is missing, so this was not checked", name)
	}
}

// write returns the PDF of d.
func write(t testing.TB, d Document) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, d); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// save writes a PDF into a file and returns its name.
func save(t testing.TB, b []byte) string {
	t.Helper()
	name := filepath.Join(t.TempDir(), "x.pdf")
	if err := os.WriteFile(name, b, 0o600); err != nil {
		t.Fatal(err)
	}
	return name
}

// tool runs an outside program and returns what it prints.
func tool(t testing.TB, name string, args ...string) string {
	t.Helper()
	needTool(t, name)
	out, err := exec.CommandContext(t.Context(), name, args...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s %s: %v\n%s", name, strings.Join(args, " "), err, out)
	}
	return string(out)
}

// pageTexts returns what pdftotext reads on each page.
func pageTexts(t testing.TB, b []byte) []string {
	t.Helper()
	pages := strings.Split(tool(t, "pdftotext", "-layout", save(t, b), "-"), "\f")
	return pages[:len(pages)-1]
}

// checkSound has qpdf read the file to the end.
func checkSound(t testing.TB, b []byte) {
	t.Helper()
	out := tool(t, "qpdf", "--check", save(t, b))
	if !strings.Contains(out, "No syntax or stream encoding errors found") || strings.Contains(out, "WARNING") {
		t.Errorf("qpdf --check: %s", out)
	}
}

// squeeze drops white space, which layout may change.
func squeeze(s string) string { return strings.Join(strings.Fields(s), "") }

var (
	shown   = regexp.MustCompile(`(?s)BT /F\d [0-9.]+ Tf (-?[0-9.]+) (-?[0-9.]+) Td \((.*?)\) Tj ET`)
	escaped = regexp.MustCompile(`(?s)\\(.)`)
)

// stretch is text that a page's content shows at one place.
type stretch struct {
	x, y string
	text string
}

// drawn reads the text back out of the content streams, page by page, without
// any outside program.
func drawn(t testing.TB, b []byte) [][]stretch {
	t.Helper()
	f, err := object.Read(b)
	if err != nil {
		t.Fatal(err)
	}
	var pages [][]stretch
	for _, n := range f.Revisions[0].Numbers() {
		o, _ := f.Revisions[0].Object(n)
		if !o.Get("Type").IsName("Page") {
			continue
		}
		packed, _ := f.Find(o.Get("Contents").Int, 0)
		content, err := object.Unpack(b[packed.From:packed.To], 1<<30)
		if err != nil {
			t.Fatal(err)
		}
		var page []stretch
		for _, s := range shown.FindAllSubmatch(content, -1) {
			raw := escaped.ReplaceAllFunc(s[3], func(e []byte) []byte {
				if e[1] == 'r' {
					return []byte("\r")
				}
				return e[1:]
			})
			var u []uint16
			for i := 0; i+1 < len(raw); i += 2 {
				u = append(u, uint16(raw[i])<<8|uint16(raw[i+1]))
			}
			page = append(page, stretch{string(s[1]), string(s[2]), string(utf16.Decode(u))})
		}
		pages = append(pages, page)
	}
	return pages
}

// drawnText returns all the text of all pages, without white space.
func drawnText(t testing.TB, b []byte) string {
	t.Helper()
	var s strings.Builder
	for _, page := range drawn(t, b) {
		for _, x := range page {
			s.WriteString(x.text)
		}
	}
	return squeeze(s.String())
}
