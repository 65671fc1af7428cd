package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/go-json-experiment/json/jsontext"
	"setline.example/schema"
)

// recordFiles gives the job records that paths name, files as they are and
// folders by what lies below them, each once and in the order of their paths.
// What cannot be looked into is an error of its own.
func recordFiles(paths []string) (files []string, broken []error) {
	for _, path := range paths {
		info, err := os.Stat(path)
		if path == stdinName || err != nil || !info.IsDir() {
			files = append(files, path) // what is wrong with it is said when it is read
			continue
		}
		err = filepath.WalkDir(path, func(name string, entry fs.DirEntry, err error) error {
			switch {
			case err != nil:
				broken = append(broken, unreadable(name, err))
			case entry.Type().IsRegular() && strings.EqualFold(filepath.Ext(name), ".json"):
				claims, err := claimsFormat(name)
				if err != nil {
					broken = append(broken, unreadable(name, err))
				} else if claims {
					files = append(files, filepath.Clean(name))
				}
			}
			return nil
		})
		if err != nil {
			broken = append(broken, unreadable(path, err))
		}
	}
	slices.SortFunc(files, func(a, b string) int {
		return slices.Compare(strings.Split(filepath.ToSlash(a), "/"), strings.Split(filepath.ToSlash(b), "/"))
	})
	return slices.CompactFunc(files, sameFile), broken
}

func unreadable(path string, err error) error {
	var pe *fs.PathError
	if errors.As(err, &pe) {
		err = pe.Err
	}
	return hinted{fmt.Errorf("%s: cannot be read (%w), expected a folder or a job record", path, err), "ask for permission to read it, or name another path"}
}

// claimsFormat reports whether a file says at its top that it is a job record.
// It reads no further than it must.
func claimsFormat(path string) (bool, error) {
	f, err := os.Open(path)
	if err != nil {
		return false, err
	}
	defer f.Close()
	r := &failing{r: io.LimitReader(f, schema.MaxBytes)}
	claims := hasMember(r, "setline")
	return claims, r.err
}

// hasMember reports whether r is a JSON object with a member of that name, as
// far as it is JSON.
func hasMember(r io.Reader, name string) bool {
	d := jsontext.NewDecoder(r, jsontext.AllowDuplicateNames(true), jsontext.AllowInvalidUTF8(true))
	if t, err := d.ReadToken(); err != nil || t.Kind() != '{' {
		return false
	}
	for d.PeekKind() == '"' {
		t, err := d.ReadToken()
		if err != nil {
			return false
		}
		if t.String() == name {
			return true
		}
		if d.SkipValue() != nil {
			return false
		}
	}
	return false
}

// failing tells a file that cannot be read from one that ends.
type failing struct {
	r   io.Reader
	err error
}

func (f *failing) Read(p []byte) (int, error) {
	n, err := f.r.Read(p)
	if err != nil && err != io.EOF {
		f.err = err
	}
	return n, err
}
