package main

import (
	"fmt"
	"iter"
	"os"
	"path"
	"path/filepath"
	"strings"

	"github.com/bmatcuk/doublestar/v4"
	"setline.example/report/findings"
	"setline.example/schema"
	"setline.example/schema/plaintext"
)

// target is one thing to check: a file that was named or found in a folder.
type target struct {
	path  string
	named bool  // named itself, not found in a folder
	err   error // why it cannot be read
	// past says that the folder path has been walked to its end.
	past bool
}

// patterns choose files of folders. A pattern with a slash is held against the
// path below the folder that was named, one without against the name; how the
// ending of a name is written does not matter, since a record must not be passed
// over for that.
type patterns struct{ include, exclude []string }

// bad returns the first pattern that is none.
func (p patterns) bad() (string, bool) {
	for _, list := range [][]string{p.include, p.exclude} {
		for _, pattern := range list {
			if pattern == "" || !doublestar.ValidatePattern(pattern) {
				return pattern, true
			}
		}
	}
	return "", false
}

func matches(list []string, below string) bool {
	for _, pattern := range list {
		subject := below
		if !strings.Contains(pattern, "/") {
			subject = path.Base(below)
		}
		pattern = strings.TrimPrefix(pattern, "./")
		if doublestar.MatchUnvalidated(pattern, subject) || doublestar.MatchUnvalidated(pattern, smallEnding(subject)) {
			return true
		}
	}
	return false
}

func smallEnding(name string) string {
	ending := path.Ext(name)
	return strings.TrimSuffix(name, ending) + strings.ToLower(ending)
}

// targets gives what args name, in their order, and in folders in the order
// of names. A thing that several of them name comes once.
func targets(args []string, p patterns) iter.Seq[target] {
	return func(yield func(target) bool) {
		seen := map[string]bool{}
		once := func(t target) bool {
			if len(args) > 1 && !t.past {
				key := filepath.Clean(t.path)
				if seen[key] {
					return true
				}
				seen[key] = true
			}
			return yield(t)
		}
		for _, arg := range args {
			info, err := os.Stat(arg)
			switch {
			case arg == stdinName || err != nil || !info.IsDir():
				if !once(target{path: arg, named: true}) {
					return
				}
			case !walk(arg, "", p, once) || !yield(target{path: arg, past: true}):
				return
			}
		}
	}
}

// walk gives the files below the folder root/below. It reports whether to go on.
func walk(root, below string, p patterns, yield func(target) bool) bool {
	entries, err := os.ReadDir(filepath.Join(root, filepath.FromSlash(below)))
	if err != nil {
		folder := filepath.Join(root, filepath.FromSlash(below))
		return yield(target{path: folder, err: unreadable(folder, err, "a folder with job records")})
	}
	for _, e := range entries {
		// Hidden folders hold what tools keep there, and hidden files what editors do.
		if strings.HasPrefix(e.Name(), ".") {
			continue
		}
		at := path.Join(below, e.Name())
		if matches(p.exclude, at) {
			continue
		}
		if e.IsDir() {
			if !walk(root, at, p, yield) {
				return false
			}
			continue
		}
		if !matches(p.include, at) {
			continue
		}
		t := target{path: filepath.Join(root, filepath.FromSlash(at))}
		if e.Type()&os.ModeSymlink != 0 {
			info, err := os.Stat(t.path)
			if err == nil && !info.Mode().IsRegular() {
				continue // links to folders are not followed, so that none can lead round in a circle
			}
			if err != nil {
				t.err = unreadable(t.path, err, "a job record")
			}
		} else if !e.Type().IsRegular() {
			continue // a pipe or a device is no record, and reading it might never end
		}
		if !yield(t) {
			return false
		}
	}
	return true
}

// noRecord is the answer to a folder in which there is no record.
func noRecord(folder string, passedOver int) *findings.File {
	found := "no job record in this folder"
	if passedOver > 0 {
		found = fmt.Sprintf("no job record among the %s of this folder", plaintext.Count(passedOver, "JSON file"))
	}
	return findings.Broken(folder, schema.Problems{{
		Kind: schema.OtherFile, File: folder, Found: found,
		Expected: `*.json files with a top-level "setline"`,
		Mend:     "check the name of the folder, --include and --exclude",
	}})
}
