package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"go/ast"
	"go/constant"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// exactMath are the functions of package math that give the same everywhere:
// IEEE 754 says what they give, to the last bit. The others are computed in
// another way on some processors, or of products and sums that may be fused.
var exactMath = []string{
	"Abs", "Ceil", "Copysign", "Float64bits", "Float64frombits", "Floor", "Frexp", "Inf", "IsInf", "IsNaN",
	"Ldexp", "Max", "Min", "Modf", "NaN", "Round", "RoundToEven", "Signbit", "Sqrt", "Trunc",
}

// TestNoProcessorDecides: what is computed in floating point comes out the same
// on every processor. A product that a sum may take in unrounded ("fused") does
// not: the Go specification allows that even across statements, and processors
// differ in whether they do. It forbids it where the product is converted to its
// own type, float64(a*b).
//
// A product may stand without that only where nothing can take it in: in a
// quotient or another product, which is looked at in its turn, in a comparison,
// in a conversion, and where it is exact, as one by a power of two is.
func TestNoProcessorDecides(t *testing.T) {
	long(t)
	for _, p := range ourPackages(t) {
		for _, f := range p.files {
			for _, wrong := range looseIn(p.info, f) {
				t.Errorf("%s: %s", p.fset.Position(wrong.at), wrong.what)
			}
		}
	}
}

// loose is a place where the processor decides.
type loose struct {
	at   token.Pos
	what string
}

// looseIn finds the places in a file where the processor decides.
func looseIn(info *types.Info, file *ast.File) (found []loose) {
	var above []ast.Node // the nodes around the one in hand
	ast.Inspect(file, func(n ast.Node) bool {
		if n == nil {
			above = above[:len(above)-1]
			return true
		}
		switch n := n.(type) {
		case *ast.BinaryExpr:
			if n.Op == token.MUL && isFloat(info, n) && !exact(info, n.X, n.Y) && !held(info, above) {
				found = append(found, loose{n.Pos(), "found the product " + types.ExprString(n) +
					", which a sum may take in unrounded; expected float64(" + types.ExprString(n) + ")"})
			}
		case *ast.AssignStmt:
			if n.Tok == token.MUL_ASSIGN && isFloat(info, n.Lhs[0]) && !exact(info, n.Rhs[0]) {
				x := types.ExprString(n.Lhs[0])
				found = append(found, loose{n.Pos(), "found " + x + " *= ..., which a sum may take in unrounded; expected " +
					x + " = float64(" + x + " * ...)"})
			}
		case *ast.SelectorExpr:
			if f, ok := info.Uses[n.Sel].(*types.Func); ok && f.Pkg() != nil && f.Pkg().Path() == "math" && !slices.Contains(exactMath, f.Name()) {
				found = append(found, loose{n.Pos(), "found math." + f.Name() +
					", whose last digits differ between processors; expected another way, see exactMath in this test"})
			}
		}
		above = append(above, n)
		return true
	})
	return found
}

func isFloat(info *types.Info, e ast.Expr) bool {
	tv := info.Types[e]
	basic, ok := tv.Type.Underlying().(*types.Basic)
	return ok && tv.Value == nil && basic.Info()&(types.IsFloat|types.IsComplex) != 0
}

// exact reports whether one of the factors is a constant power of two.
func exact(info *types.Info, factors ...ast.Expr) bool {
	return slices.ContainsFunc(factors, func(e ast.Expr) bool {
		v := info.Types[e].Value
		if v == nil {
			return false
		}
		f, _ := constant.Float64Val(constant.ToFloat(v))
		return powerOfTwo(f)
	})
}

func powerOfTwo(f float64) bool {
	num, denom := constant.Num(constant.MakeFloat64(f)), constant.Denom(constant.MakeFloat64(f))
	ones := func(v constant.Value) (n int) {
		for _, b := range constant.Bytes(v) {
			for ; b != 0; b &= b - 1 {
				n++
			}
		}
		return n
	}
	return ones(num) == 1 && ones(denom) == 1
}

// held reports whether nothing can take in a product that stands below these nodes.
func held(info *types.Info, above []ast.Node) bool {
	for _, n := range slices.Backward(above) {
		switch n := n.(type) {
		case *ast.ParenExpr:
			continue
		case *ast.UnaryExpr: // a sum takes in a negative product too
			continue
		case *ast.BinaryExpr:
			return n.Op != token.ADD && n.Op != token.SUB
		case *ast.CallExpr:
			return info.Types[n.Fun].IsType()
		}
		return false
	}
	return false
}

// ourPackage is a package of this module, type-checked, without its tests.
type ourPackage struct {
	fset  *token.FileSet
	files []*ast.File
	info  *types.Info
}

// ourPackages reads every package of the module.
func ourPackages(t *testing.T) []ourPackage {
	t.Helper()
	type listed struct {
		ImportPath, Dir, Export string
		GoFiles                 []string
		DepOnly                 bool
	}
	cmd := exec.CommandContext(t.Context(), "go", "list", "-export", "-deps", "-json=ImportPath,Dir,Export,GoFiles,DepOnly", "./...")
	cmd.Dir = filepath.FromSlash("../..")
	cmd.Stderr = os.Stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	exports := map[string]string{}
	var ours []listed
	for d := json.NewDecoder(bytes.NewReader(out)); ; {
		var p listed
		if err := d.Decode(&p); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			t.Fatal(err)
		}
		exports[p.ImportPath] = p.Export
		if !p.DepOnly {
			ours = append(ours, p)
		}
	}
	fset := token.NewFileSet()
	from := importer.ForCompiler(fset, "gc", func(path string) (io.ReadCloser, error) { return os.Open(exports[path]) })
	var all []ourPackage
	for _, p := range ours {
		o := ourPackage{fset: fset, info: &types.Info{Types: map[ast.Expr]types.TypeAndValue{}, Uses: map[*ast.Ident]types.Object{}}}
		for _, name := range p.GoFiles {
			f, err := parser.ParseFile(fset, filepath.Join(p.Dir, name), nil, parser.SkipObjectResolution)
			if err != nil {
				t.Fatal(err)
			}
			o.files = append(o.files, f)
		}
		if _, err := (&types.Config{Importer: from}).Check(p.ImportPath, fset, o.files, o.info); err != nil {
			t.Fatal(err)
		}
		all = append(all, o)
	}
	if len(all) < 20 {
		t.Fatalf("%d packages found; was the right folder listed?", len(all))
	}
	return all
}

// TestLoose: what the test above finds in a few lines, and what it lets pass.
func TestLoose(t *testing.T) {
	long(t)
	for line, want := range map[string]int{
		"x = a*b + c": 1, "x = a - b*c": 1, "x += a * b": 1, "x = a * b": 1, "x *= a": 1, "x = -(a * b) + c": 1,
		"x = f(a * b)": 1, "return a * b": 1, "x = (a*b + c) * float64(a*b)": 2, "x = math.Hypot(a, b)": 1,
		"g := math.Exp; x = g(a)": 1, "x = float64(a)*b + c": 1, "x = a * b * c": 1, "x = max(a*b, c)": 1,
		"x = float64(a*b) + c": 0, "x = a * b / c": 0, "x = c + float64(a*b*c)": 0, "x = 2*a + b": 0, "x = a*0.25 + b": 0,
		"if a*b < c { }": 0, "i = int(a * b)": 0, "i = i*i + i": 0, "x = 3 * 1.5 + a": 0, "x = math.Sqrt(a) + b": 0,
		"x *= 0.5": 0, "i *= 3": 0, "x = a*a/b + c": 0, "x = a/b + c": 0,
	} {
		src := fmt.Sprintf("package p\nimport \"math\"\nvar _ = math.Pi\nfunc f(a float64) float64 { return a }\n"+
			"func p(a, b, c float64, i int) (x float64) {\n%s\nreturn x }\n", line)
		fset := token.NewFileSet()
		file, err := parser.ParseFile(fset, "p.go", src, 0)
		if err != nil {
			t.Fatal(line, err)
		}
		info := &types.Info{Types: map[ast.Expr]types.TypeAndValue{}, Uses: map[*ast.Ident]types.Object{}}
		if _, err := (&types.Config{Importer: importer.ForCompiler(fset, "source", nil)}).Check("p", fset, []*ast.File{file}, info); err != nil &&
			!strings.Contains(err.Error(), "declared and not used") {
			t.Fatal(line, err)
		}
		if got := looseIn(info, file); len(got) != want {
			t.Errorf("%s: %d places found, want %d: %v", line, len(got), want, got)
		}
	}
}
