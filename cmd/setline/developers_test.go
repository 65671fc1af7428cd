package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"maps"
	"os"
	"os/exec"
	"path"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"setline.example/schema/plaintext"
)

// module is what all import paths of this repository begin with.
const module = "setline.example/"

// goFile is what is read of one Go file.
type goFile struct {
	name    string // path from the top, with slashes
	folder  string
	test    bool
	imports []string
	doc     *ast.CommentGroup // of the package
}

// goFiles gives all Go files of the repository.
func goFiles(t *testing.T) []goFile {
	t.Helper()
	top := os.DirFS("../..")
	var files []goFile
	err := fs.WalkDir(top, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || path.Ext(name) != ".go" {
			return err
		}
		text, err := fs.ReadFile(top, name)
		if err != nil {
			return err
		}
		parsed, err := parser.ParseFile(token.NewFileSet(), name, text, parser.ImportsOnly|parser.ParseComments)
		if err != nil {
			return err
		}
		f := goFile{name: name, folder: path.Dir(name), test: strings.HasSuffix(name, "_test.go"), doc: parsed.Doc}
		for _, i := range parsed.Imports {
			f.imports = append(f.imports, strings.Trim(i.Path.Value, `"`))
		}
		files = append(files, f)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if len(files) < 100 {
		t.Fatalf("%d Go files found; was the right folder searched?", len(files))
	}
	return files
}

// below reports whether a folder is one of those, or lies below one.
func below(folder string, those ...string) bool {
	return slices.ContainsFunc(those, func(top string) bool { return folder == top || strings.HasPrefix(folder, top+"/") })
}

// backward reports whether code in the one folder may not import the other: a
// later stage imports an earlier one, never the reverse, and what knows nothing
// of cabinets stays so.
func backward(from, to string) bool {
	switch {
	case from == "schema/plaintext":
		return true
	case to == "schema/plaintext":
		return false // for all who say something
	case from == "report/pdf", from == "report/pdf/structure":
		return to != "report/pdf/object" && to != "report/pdf/pixels"
	case below(from, "report/pdf", "schema/length", "schema/amend", "templates"):
		return true
	case below(from, "report/sign"):
		return !below(to, "report/pdf")
	case below(from, "report/drawing"):
		return to != "report/pdf" && to != "checks/say" && to != "schema/length"
	case below(from, "schema"):
		return !below(to, "schema")
	case below(from, "checks"):
		return to == "checks/compare" || !below(to, "schema", "checks")
	case from == "report/markup":
		return to != "checks/say"
	case from == "report/fieldsheet": // writers and readers of pages come after it
		return below(to, "cmd", "report/pdf") || below(to, "report") && to != "report/markup"
	case from == "report":
		return below(to, "cmd", "report/sign", "report/findings", "report/fieldsheet")
	}
	return below(to, "cmd")
}

// TestImportsGoOneWay: bytes -> schema -> checks -> report -> signature.
func TestImportsGoOneWay(t *testing.T) {
	seen := 0
	for _, f := range goFiles(t) {
		for _, i := range f.imports {
			to, ours := strings.CutPrefix(i, module)
			if !ours || f.test {
				continue
			}
			seen++
			if backward(f.folder, to) {
				t.Errorf("%s imports %s, which comes later or is none of its business", f.name, i)
			}
		}
	}
	if seen < 100 {
		t.Errorf("only %d imports of our own seen; were the files parsed?", seen)
	}
}

// TestMachineFormatsLinkNoPages: what check writes for machines, and what a sheet
// asks and what is made of its answers, go without the writer of PDFs, its fonts,
// the parser of Markdown and the reader of PDFs, which are more than half of a
// program in a browser.
func TestMachineFormatsLinkNoPages(t *testing.T) {
	list := func(folder string) []string {
		out, err := exec.Command("go", "list", "-deps", "./"+folder).Output()
		if err != nil {
			t.Fatal(err)
		}
		return strings.Fields(string(out))
	}
	pages := func(i string) bool {
		return below(i, module+"report", "github.com/go-pdf", "github.com/go-fonts", "github.com/yuin/goldmark", "golang.org/x/image", "github.com/pdfcpu") &&
			!slices.Contains([]string{module + "report/findings", module + "report/markup", module + "report/fieldsheet", module + "report/fieldsheet/collect"}, i)
	}
	if !slices.ContainsFunc(list("../../report"), pages) {
		t.Fatal("the report links no pages either; was the right thing searched?")
	}
	for _, folder := range []string{"report/findings", "report/fieldsheet", "report/fieldsheet/collect"} {
		for _, i := range list("../../" + folder) {
			if pages(i) {
				t.Errorf("%s needs %s", folder, i)
			}
		}
	}
}

// TestPackagesOpenWithTheirManual: every package has one comment that says what
// it is for.
func TestPackagesOpenWithTheirManual(t *testing.T) {
	manuals := map[string]int{}
	for _, f := range goFiles(t) {
		if f.test {
			continue
		}
		manuals[f.folder] += 0
		if f.doc == nil {
			continue
		}
		manuals[f.folder]++
		if text := f.doc.Text(); !strings.HasPrefix(text, "Package "+path.Base(f.folder)+" ") && !strings.HasPrefix(text, "Command "+path.Base(f.folder)+" ") {
			t.Errorf("%s: the comment of the package does not begin with its name", f.name)
		}
	}
	for folder, n := range manuals {
		if n != 1 {
			t.Errorf("%s has %s over its package clauses, expected 1", folder, plaintext.Count(n, "comment"))
		}
	}
}

var (
	inCode   = regexp.MustCompile("`([^`]+)`")
	direct   = regexp.MustCompile(`(?m)^\t(\S+) v\S+$`) // without "// indirect"
	tableRow = regexp.MustCompile(`(?m)^\| (.+?) \|(.+)\|$`)
)

// What a row says of a module that is not in the program.
const (
	testsOnly    = "Tests only"
	notInProgram = "not in the program"
)

// inProgram gives the folders whose packages the program is made of.
func inProgram(files []goFile) map[string]bool {
	imports := map[string][]string{}
	for _, f := range files {
		for _, i := range f.imports {
			if to, ours := strings.CutPrefix(i, module); ours && !f.test {
				imports[f.folder] = append(imports[f.folder], to)
			}
		}
	}
	reached := map[string]bool{}
	for next := []string{"cmd/setline"}; len(next) > 0; next = next[1:] {
		if folder := next[0]; !reached[folder] {
			reached[folder] = true
			next = append(next, imports[folder]...)
		}
	}
	return reached
}

// section gives the part of DEVELOPERS.md under a heading.
func section(t *testing.T, heading string) string {
	t.Helper()
	data, err := os.ReadFile("../../DEVELOPERS.md")
	if err != nil {
		t.Fatal(err)
	}
	_, rest, ok := strings.Cut(string(data), "\n## "+heading+"\n")
	if !ok {
		t.Fatalf("DEVELOPERS.md has no section %q", heading)
	}
	part, _, _ := strings.Cut(rest, "\n## ")
	return part
}

// mostInMap is how many characters the map has for a package: a line or two.
const mostInMap = 210

// TestMapNamesEveryFolder: the map shows every folder with Go code, a line for
// each, and none that is not there.
func TestMapNamesEveryFolder(t *testing.T) {
	folders := map[string]bool{}
	for _, f := range goFiles(t) {
		if !f.test {
			folders[f.folder] = true
		}
	}
	shown := map[string]bool{}
	for _, row := range tableRow.FindAllStringSubmatch(section(t, "Map"), -1) {
		name := inCode.FindStringSubmatch(row[1])
		if name == nil {
			continue // the heading, and the line under it
		}
		folder := strings.TrimSuffix(name[1], "/")
		shown[folder] = true
		if n := utf8.RuneCountInString(row[2]); folders[folder] && n > mostInMap {
			t.Errorf("the map says %d characters of %s, expected at most %d; what is more belongs over the package", n, folder, mostInMap)
		}
		if _, err := os.Stat("../../" + folder); err != nil {
			t.Errorf("the map shows %s: %v", folder, err)
		}
		// Folders within may be named in the row of theirs.
		for _, in := range inCode.FindAllStringSubmatch(row[2], -1) {
			if inner, ok := strings.CutSuffix(in[1], "/"); ok {
				shown[path.Join(folder, inner)] = true
			}
		}
	}
	for _, folder := range slices.Sorted(maps.Keys(folders)) {
		if !shown[folder] {
			t.Errorf("the map of DEVELOPERS.md does not show %s", folder)
		}
	}
}

// TestDependenciesAreAccountedFor: every module that go.mod requires directly
// has its row, every row its module, and what is said to be for tests is.
func TestDependenciesAreAccountedFor(t *testing.T) {
	mod, err := os.ReadFile("../../go.mod")
	if err != nil {
		t.Fatal(err)
	}
	var required []string
	for _, m := range direct.FindAllSubmatch(mod, -1) {
		required = append(required, string(m[1]))
	}
	slices.Sort(required)
	var shown, forTests, elsewhere []string
	for _, row := range tableRow.FindAllStringSubmatch(section(t, "Dependencies, and why each"), -1) {
		names := strings.Split(row[1], ", ")
		for i, name := range names {
			names[i], _, _ = strings.Cut(name, " (")
		}
		if !strings.Contains(names[0], "/") {
			continue // the heading, and the line under it
		}
		shown = append(shown, names...)
		if strings.Contains(row[2], testsOnly) {
			forTests = append(forTests, names...)
		}
		if strings.Contains(row[2], notInProgram) {
			elsewhere = append(elsewhere, names...)
		}
	}
	slices.Sort(shown)
	if !slices.Equal(shown, required) {
		t.Errorf("DEVELOPERS.md explains\n%q\nand go.mod requires\n%q", shown, required)
	}
	if len(forTests) == 0 || len(elsewhere) == 0 {
		t.Errorf("no row says %q or %q; was the table found?", testsOnly, notInProgram)
	}
	files := goFiles(t)
	program := inProgram(files)
	for _, f := range files {
		for _, i := range f.imports {
			if !f.test && program[f.folder] && below(i, elsewhere...) {
				t.Errorf("%s imports %s, which DEVELOPERS.md says is not in the program", f.name, i)
			}
			if !f.test && below(i, forTests...) {
				t.Errorf("%s imports %s, which DEVELOPERS.md says is for tests", f.name, i)
			}
		}
	}
}
