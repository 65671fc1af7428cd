package main

import (
	"fmt"
	"io"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
	"setline.example/report/fieldsheet"
	"setline.example/schema/plaintext"
)

// writeSheets writes the sheets that a large one is split into, beside the name
// output with the room's name in it: all of them, or none where one cannot be
// written. It gives their names.
func writeSheets(stderr io.Writer, output string, inputs []string, parts []fieldsheet.Part, filled func([]byte) string, write func(fieldsheet.Part, io.Writer) error) (paths []string, err error) {
	paths = sheetNames(output, parts)
	var ready []*staged
	defer func() {
		for _, s := range ready {
			s.discard()
		}
	}()
	type done struct {
		staged *staged
		err    error
	}
	stage := func(i int) done {
		if err := mayWrite(paths[i], inputs); err != nil {
			return done{err: err}
		}
		s, err := whole{path: paths[i], mode: 0o644, make: func(w io.Writer) error { return write(parts[i], w) }}.stage()
		return done{s, unwritable(paths[i], err)}
	}
	var failed error
	workers := runtime.GOMAXPROCS(0)
	err = inOrder(slices.Values(numbers(len(parts))), workers, 2*workers, stage, func(d done) error {
		if d.err != nil && failed == nil {
			failed = d.err
		}
		if d.staged != nil {
			ready = append(ready, d.staged)
		}
		return nil
	})
	if err != nil || failed != nil {
		return nil, failed
	}
	for i, s := range ready {
		if err := keepFormer(stderr, paths[i], filled); err != nil {
			return nil, err
		}
		notes, err := s.finish()
		if err := outcome(stderr, s.whole, notes, err); err != nil {
			if i > 0 { // what a full disk or a missing right prevents was seen before
				return nil, &afterDone{hinted{fmt.Errorf("%s; %s before it are written, and not those after it: %w", paths[i], plaintext.Count(i, "sheet"), err), "see to the folder, and run this again"}}
			}
			return nil, err
		}
	}
	return paths, nil
}

func numbers(n int) []int {
	all := make([]int, n)
	for i := range all {
		all[i] = i
	}
	return all
}

// longestRoom is how much of a room's name stands in the name of a file, in bytes.
const longestRoom = 80

// sheetNames gives every part the name of its file: that of the output with the
// room behind it. No two are the same, also where a file system does not tell
// capitals from small letters, or accents written in one way from those in another.
func sheetNames(output string, parts []fieldsheet.Part) []string {
	end := filepath.Ext(output)
	stem := strings.TrimSuffix(output, end)
	taken := map[string]bool{}
	paths := make([]string, len(parts))
	for i, p := range parts {
		name := stem + "-" + fileWord(p.Room)
		if p.Number > 0 {
			name += "-" + strconv.Itoa(p.Number)
		}
		unique := name
		for n := 2; taken[folded(unique)]; n++ {
			unique = name + "_" + strconv.Itoa(n)
		}
		taken[folded(unique)] = true
		paths[i] = unique + end
	}
	return paths
}

func folded(s string) string { return strings.ToLower(norm.NFKC.String(strings.ToUpper(s))) }

// fileWord makes a word for a file's name out of a room's: letters, digits, and
// "-", "." and "_", which every file system takes and no shell acts on.
func fileWord(room string) string {
	word := strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) || r == '-' || r == '.' {
			return r
		}
		return '_'
	}, norm.NFC.String(room))
	if len(word) > longestRoom {
		word = strings.ToValidUTF8(word[:longestRoom], "")
	}
	return word
}
