package main

import (
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// Nothing of Setline reaches the network but asking for a time stamp, which
// takes an address that the user gives.
func TestNetworkIsForTimeStampsOnly(t *testing.T) {
	var reach []string
	root := filepath.Join("..", "..")
	err := filepath.WalkDir(root, func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go") {
			return err
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		for _, i := range file.Imports {
			if path := strings.Trim(i.Path.Value, `"`); path == "net" || strings.HasPrefix(path, "net/") && path != "net/url" {
				reach = append(reach, filepath.ToSlash(strings.TrimPrefix(name, root+string(filepath.Separator))))
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	// The clock of signed files kept for tests stamps them over HTTP.
	reach = slices.DeleteFunc(reach, func(name string) bool { return name == "report/sign/clock/clock.go" })
	if len(reach) != 1 || reach[0] != "report/sign/timestamp.go" {
		t.Errorf("these reach for the network: %q; expected report/sign/timestamp.go alone", reach)
	}
}
