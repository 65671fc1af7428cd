package main

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// readAsText lists the functions of checks and report that take a text apart
// where a subject or a place of a visit is written alike, and why they may.
// What is not needed here fails too.
var readAsText = map[string]string{
	"checks.withPlaces":                                 asPointer,
	"report/fieldsheet/collect.(*visit).atBox":          asPointer,
	"report/fieldsheet/collect.(*visit).contradictions": asPointer,
	"report/fieldsheet/collect.(*Filling).without":      asBox,
	"report/fieldsheet/collect.pairIn":                  asBox,
	"report/fieldsheet/webpage.Read":                    "leaves off the end of words that it has put together",
	"report/drawing.ofOneLength":                        "a fraction of an inch, in words to be wrapped",
	"report.loadPhoto":                                  "a file's name within a folder",
	"report/findings.(*sarif).uri":                      "a folder of the file system",
	"report/pdf.reference":                              "the sign of a number, in a character reference",
}

const (
	asPointer = "a JSON Pointer, of which the steps are read"
	asBox     = "the name of a box, in whose steps such signs are encoded"
)

// partsPlaces are what stands between the parts of a subject as it is written,
// or begins one: "S-104/A3+A4", "elevation A", "run A1 to A5".
var partsPlaces = regexp.MustCompile(`^(/|\+|(elevation|run|part|room|visit|door|drawer) | to | on )$`)

// takesApart are the functions that take a text apart or look into it.
var takesApart = regexp.MustCompile(`^(Cut|Split|Index|LastIndex|Has|Trim|Contains|Fields|Before|After)`)

// TestNoPlaceIsReadOutOfText: which room, elevation, unit or joint is meant is
// known by the types that say so, and is never read out of what was written of it.
func TestNoPlaceIsReadOutOfText(t *testing.T) {
	long(t)
	found := map[string][]string{}
	for _, root := range []string{"../../checks", "../../report"} {
		err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
				return err
			}
			set := token.NewFileSet()
			file, err := parser.ParseFile(set, path, nil, 0)
			if err != nil {
				return err
			}
			folder, _ := filepath.Rel("../..", filepath.Dir(path))
			for name, at := range textParted(file) {
				key := filepath.ToSlash(folder) + "." + name
				for _, pos := range at {
					found[key] = append(found[key], set.Position(pos).String())
				}
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	for name, at := range found {
		if readAsText[name] == "" {
			t.Errorf("%s takes a text apart as if it were a place:\n\t%s\nuse the types that say which it is, or say in readAsText why it is none", name, strings.Join(at, "\n\t"))
		}
	}
	for name := range readAsText {
		if found[name] == nil {
			t.Errorf("%s takes no text apart, and stands in readAsText", name)
		}
	}
}

// textParted are the places in a file, by function, where a text is taken apart
// at what stands between the parts of a subject.
func textParted(file *ast.File) map[string][]token.Pos {
	found := map[string][]token.Pos{}
	for _, d := range file.Decls {
		f, ok := d.(*ast.FuncDecl)
		if !ok || f.Body == nil {
			continue
		}
		ast.Inspect(f.Body, func(n ast.Node) bool {
			call, ok := n.(*ast.CallExpr)
			if !ok {
				return true
			}
			fun, ok := call.Fun.(*ast.SelectorExpr)
			if !ok || !takesApart.MatchString(fun.Sel.Name) {
				return true
			}
			if of, ok := fun.X.(*ast.Ident); ok && (of.Name == "strings" || of.Name == "bytes") && slices.ContainsFunc(call.Args, endsInPart) {
				found[funcName(f)] = append(found[funcName(f)], call.Pos())
			}
			return true
		})
	}
	return found
}

// endsInPart reports whether an argument is such a text or ends in one.
func endsInPart(e ast.Expr) bool {
	switch e := e.(type) {
	case *ast.BinaryExpr:
		return endsInPart(e.Y)
	case *ast.BasicLit:
		text, err := strconv.Unquote(e.Value)
		return err == nil && (partsPlaces.MatchString(text) || e.Kind == token.CHAR && (e.Value == "'/'" || e.Value == "'+'"))
	}
	return false
}

// TestTextPartedIsSeen: the walk sees what it looks for, and nothing else.
func TestTextPartedIsSeen(t *testing.T) {
	for call, want := range map[string]int{
		`strings.Cut(s, "+")`: 1, `strings.HasPrefix(s, room+"/")`: 1, `strings.IndexByte(s, '/')`: 1, `strings.CutPrefix(s, "elevation ")`: 1,
		`strings.Split(s, " to ")`: 1, `strings.Cut(s, ":")`: 0, `strings.Join(s, "/")`: 0, `strings.Fields(s)`: 0, `s.Cut("+")`: 0,
	} {
		file, err := parser.ParseFile(token.NewFileSet(), "x.go", fmt.Sprintf("package p\nfunc f() { %s }", call), 0)
		if err != nil {
			t.Fatal(err)
		}
		if got := len(textParted(file)["f"]); got != want {
			t.Errorf("%s: seen %d times, want %d", call, got, want)
		}
	}
}
