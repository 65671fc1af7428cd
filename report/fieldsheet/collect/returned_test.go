package collect

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"setline.example/report/fieldsheet"
	"setline.example/report/fieldsheet/filledpdf"
	"setline.example/schema"
)

// few is filled in on the sheets that come back in other ways than they should.
var few = map[string]fieldsheet.Entry{
	"date": {Text: "2026-10-01"}, "people/0/name": {Text: "Marek Łuczak"}, "people/0/role=installer": {On: true},
	"rooms/S-104/elevations/A/mark": {Text: "9 1/2"},
}

// TestOwnersPasswordAlone: a sheet that opens without a password is read, however
// it is encrypted; one that does not says that it asks for one.
func TestOwnersPasswordAlone(t *testing.T) {
	long(t)
	j := newJob(t, "annex", oneElevation)
	name := j.save("filled.pdf", j.filled(j.pdf(), few))
	for _, how := range [][]string{
		{"40", "--"}, {"128", "--use-aes=n", "--"}, {"128", "--use-aes=y", "--"}, {"256", "--force-R5", "--"}, {"256", "--"},
	} {
		out := j.save("out.pdf", nil)
		packed := map[bool]string{true: "generate", false: "disable"}[len(how) == 2]
		tool(t, "qpdf", append(append([]string{"--allow-weak-crypto", "--object-streams=" + packed, "--encrypt", "", "owner"}, how...), name, out)...)
		result, rec := j.add(Options{}, j.read("out.pdf", readFile(t, out)))
		if len(result.Added) != 1 || rec.Measured.Visits[0].People[0].Name != "Marek Łuczak" {
			t.Errorf("%v: %+v", how, result.Added)
		}
	}
	out := j.save("out.pdf", nil)
	tool(t, "qpdf", "--encrypt", "user", "owner", "256", "--", name, out)
	refusedAs(t, readFile(t, out), "asks for a password")
	tool(t, "qpdf", "--allow-weak-crypto", "--object-streams=disable", "--encrypt", "", "owner", "128", "--use-aes=n", "--", name, out)
	refusedAs(t, directly(t, readFile(t, out)), "encrypted in a way that is not read")
}

// directly puts what encrypts a file into its trailer.
func directly(t *testing.T, data []byte) []byte {
	t.Helper()
	text := string(data)
	_, ref, ok := strings.Cut(text, "/Encrypt ")
	number, _, found := strings.Cut(ref, " ")
	_, object, there := strings.Cut(text, "\n"+number+" 0 obj\n")
	if !ok || !found || !there {
		t.Fatal("nothing encrypts the file")
	}
	dict, _, _ := strings.Cut(object, "\nendobj")
	return []byte(strings.Replace(text, "/Encrypt "+number+" 0 R", "/Encrypt "+dict, 1))
}

func refusedAs(t *testing.T, data []byte, want string) {
	t.Helper()
	_, err := filledpdf.Read("x.pdf", data)
	var problems schema.Problems
	if !errors.As(err, &problems) || !strings.Contains(problems[0].Found, want) || !strings.Contains(problems[0].Mend, "type it into sheet.md") {
		t.Errorf("%+v, want %q", err, want)
	}
}

// TestWithoutItsForm: a sheet that was flattened, printed or scanned says so, and
// what to send instead.
func TestWithoutItsForm(t *testing.T) {
	long(t)
	j := newJob(t, "annex", oneElevation)
	sheet := j.pdf()
	name := j.save("filled.pdf", j.filled(sheet, few))
	out := j.save("out.pdf", nil)
	tool(t, "pdftk", sheet, "fill_form", j.save("x.fdf", fdf(few)), "output", out, "flatten")
	refusedAs(t, readFile(t, out), "whose form was flattened")
	tool(t, "qpdf", "--flatten-annotations=all", name, out)
	refusedAs(t, readFile(t, out), "whose form was flattened")
	tool(t, "pdftocairo", "-pdf", name, out)
	refusedAs(t, readFile(t, out), "as printing a sheet to a file leaves it")

	dir := t.TempDir()
	tool(t, "pdftoppm", "-r", "40", "-png", "-f", "1", "-l", "1", "-singlefile", name, filepath.Join(dir, "page"))
	page := filepath.Join(dir, "page.txt")
	if err := os.WriteFile(page, []byte("%%MediaBox 0 0 595 842\n%%Image Page "+filepath.Join(dir, "page.png")+"\nq 595 0 0 842 0 0 cm /Page Do Q\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	tool(t, "mutool", "create", "-o", out, page)
	refusedAs(t, readFile(t, out), "pages that are pictures")
}

// TestPagesMissing: pages that do not come back are told, with how many boxes, and
// what is on the others is taken; without the first nobody knows of which job.
func TestPagesMissing(t *testing.T) {
	long(t)
	j := newJob(t, "annex", oneElevation)
	name := j.save("filled.pdf", j.filled(j.pdf(), few))
	whole := j.read("filled.pdf", readFile(t, name))
	if whole.Missing != "" {
		t.Errorf("of a whole sheet: %s", whole.Missing)
	}
	out := j.save("out.pdf", nil)
	tool(t, "qpdf", name, "--pages", ".", "1-2", "--", out)
	part := j.read("out.pdf", readFile(t, out))
	if !strings.HasPrefix(part.Missing, "pages 3 to ") || !strings.HasSuffix(part.Missing, " boxes not returned") {
		t.Errorf("%q", part.Missing)
	}
	if result, _ := j.add(Options{}, part); len(result.Added) != 1 || len(result.Missing) != 1 {
		t.Errorf("%+v", result)
	}
	tool(t, "qpdf", "--empty", "--pages", name, "2-3", "--", out)
	problems := j.refused(Options{}, j.read("out.pdf", readFile(t, out)))
	if len(problems) != 1 || !strings.HasPrefix(problems[0].Found, "page 1 is missing") {
		t.Errorf("%+v", problems)
	}
}

// TestUnsureTick: a tick whose value and appearance disagree is asked about.
func TestUnsureTick(t *testing.T) {
	j := newJob(t, "annex", oneElevation)
	f := j.byHand("x.pdf", with(few, map[string]fieldsheet.Entry{"people/0/role=installer": {On: true, Unsure: true, Page: 1}}))
	problems := j.refused(Options{}, f)
	if len(problems) != 1 || problems[0].Box != "people/0/role=installer" || !strings.Contains(problems[0].Found, "none on the page") {
		t.Errorf("%+v", problems)
	}
	if r, _ := j.add(Options{AsRead: []string{"x.pdf:people/0/role=installer"}}, f); len(r.Added) != 1 {
		t.Errorf("%+v", r)
	}
	for object, unsure := range map[string]bool{
		"<</T (a) /FT /Btn /V /Yes /AS /Off>>": true, "<</T (a) /FT /Btn /V /Off /AS /Yes>>": true,
		"<</T (a) /FT /Btn /V /Yes /AS /Yes>>": false, "<</T (a) /FT /Btn /V /Off /AS /Off>>": false, "<</T (a) /FT /Btn /AS /Yes>>": false,
	} {
		read, err := filledpdf.Read("x.pdf", formPDF("4 0 R", object))
		if err != nil || read.Entries["a"].Unsure != unsure {
			t.Errorf("%s: %+v, %v", object, read, err)
		}
	}
}
