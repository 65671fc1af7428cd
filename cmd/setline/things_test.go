package main

import (
	"go/ast"
	"go/types"
	"path/filepath"
	"strings"
	"testing"
)

// readOtherwise lists the functions of checks that look into what a visit saw
// without the table of things, and why.
var readOtherwise = map[string]string{
	"readFrom":               "asks only whether a visit made readings of a kind at all",
	"(*elevation).begun":     "asks only whether anything stands on its levelers",
	"(*facts).eachLabel":     "goes over the labels of rooms whose facts are not made",
	"(*elevation).addSaid":   makesSaid,
	"(*elevation).addClosed": makesSaid,
	"closedBut":              makesSaid,
	"(*unit).cabinetAllSo":   makesSaid,
	"(*unit).fillerAllSo":    makesSaid,
	"(*asker).canSay":        makesSaid,
	"(*elevation).said":      makesSaid,
	"(*joint).allSo":         makesSaid,
	"(*asker).saidSo":        "asks only whether a visit said it of all",
	"(*surveys).follow":      "the name of a reference line is no observation",
	"(*elevation).reference": "the name of a reference line is no observation",
	"(*elevation).lineOn":    "the name of a reference line is no observation",
	"(*elevation).tie":       "likewise",
	"(*elevation).ties":      "likewise",
	"(*elevation).markFrom":  "likewise",
}

const makesSaid = "makes what is said of all into what was seen of each"

// TestSeenIsReadThroughThings: rules read what a visit saw through the table
// that sheets offer, so that nothing is read that nobody is asked for.
func TestSeenIsReadThroughThings(t *testing.T) {
	long(t)
	found := map[string]int{}
	for _, p := range typedPackages(t) {
		if p.name != "checks" {
			continue
		}
		for _, f := range p.files {
			if name := filepath.Base(p.fset.Position(f.Pos()).Filename); strings.HasPrefix(name, "thing") {
				continue
			}
			for _, d := range f.Decls {
				name := "a variable"
				if fn, ok := d.(*ast.FuncDecl); ok {
					name = funcName(fn)
				}
				ast.Inspect(d, func(n ast.Node) bool {
					if s, ok := n.(*ast.SelectorExpr); ok && isSeen(p.info.TypeOf(s.X)) {
						found[name]++
					}
					return true
				})
			}
		}
	}
	for name := range found {
		if readOtherwise[name] == "" {
			t.Errorf("%s looks into what a visit saw; read it through checks/things.go", name)
		}
	}
	for name, why := range readOtherwise {
		if found[name] == 0 {
			t.Errorf("%s needs no leave (%s)", name, why)
		}
	}
}

// isSeen reports whether a field is one of what a visit saw of an owner of things.
func isSeen(of types.Type) bool {
	if of == nil {
		return false
	}
	for _, owner := range []string{"ElevationSeen", "JointSeen", "CabinetSeen", "FillerSeen"} {
		if strings.HasSuffix(of.String(), "schema."+owner) {
			return true
		}
	}
	return false
}
