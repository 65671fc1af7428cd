package main

import (
	"encoding/json"
	"go/ast"
	"go/parser"
	"go/token"
	"slices"
	"strconv"
	"strings"
	"testing"

	"setline.example/report/findings"
	"setline.example/schema"
)

// TestEveryProblemHasAKind: wherever a problem says what was found, it says what
// kind of trouble that is, and what was expected instead.
func TestEveryProblemHasAKind(t *testing.T) {
	long(t)
	problems := 0
	for _, p := range typedPackages(t) {
		for _, f := range p.files {
			ast.Inspect(f, func(n ast.Node) bool {
				lit, ok := n.(*ast.CompositeLit)
				if !ok || typeName(p.info.TypeOf(lit)) != "setline.example/schema.Problem" {
					return true
				}
				has := map[string]bool{}
				for _, e := range lit.Elts {
					if kv, ok := e.(*ast.KeyValueExpr); ok {
						has[kv.Key.(*ast.Ident).Name] = true
					}
				}
				if has["Found"] {
					problems++
				}
				if has["Found"] && !has["Kind"] {
					t.Errorf("%s: a problem without a kind", p.fset.Position(lit.Pos()))
				}
				return true
			})
		}
	}
	if problems < 30 {
		t.Errorf("%d problems were looked at", problems)
	}
}

// TestKindsOfProblems: those that machines are promised are those that there are.
func TestKindsOfProblems(t *testing.T) {
	var s struct {
		Defs struct {
			Problem struct {
				Properties struct {
					Kind struct{ Enum []schema.ProblemKind }
				}
			}
		} `json:"$defs"`
	}
	if err := json.Unmarshal(findings.Schema(), &s); err != nil {
		t.Fatal(err)
	}
	f, err := parser.ParseFile(token.NewFileSet(), "../../schema/problem.go", nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	var declared []schema.ProblemKind
	ast.Inspect(f, func(n ast.Node) bool {
		if v, ok := n.(*ast.ValueSpec); ok && v.Type != nil {
			if kind, ok := v.Type.(*ast.Ident); ok && strings.HasSuffix(kind.Name, "ProblemKind") {
				for _, value := range v.Values {
					word, err := strconv.Unquote(value.(*ast.BasicLit).Value)
					if err != nil {
						t.Fatal(err)
					}
					declared = append(declared, schema.ProblemKind(word))
				}
			}
		}
		return true
	})
	if got := s.Defs.Problem.Properties.Kind.Enum; len(got) == 0 || !slices.Equal(got, declared) {
		t.Errorf("the schema of findings has %q, and %q are declared", got, declared)
	}
}
