package main

import (
	"errors"
	"io"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
)

// fileStatus is what became of one file.
type fileStatus struct {
	path  string
	rooms []roomStatus
	err   error
	found bool // as a file that can be looked into, whatever stands in it
}

// statuses reads the records that paths name, many at a time, and gives them in
// the order of their paths, each once. Folders that cannot be looked into come
// first.
func statuses(paths []string, stdin io.Reader, p *progress) ([]fileStatus, error) {
	var files []target
	for t := range targets(paths, patterns{include: []string{"*.json"}}) {
		if !t.past {
			files = append(files, t)
		}
	}
	p.all = len(files)
	defer p.clear()
	var all []fileStatus
	workers := runtime.GOMAXPROCS(0)
	err := inOrder(slices.Values(files), workers, 4*workers, func(t target) fileStatus { return statusOf(t, stdin) }, func(f fileStatus) error {
		if p.step(); !errors.Is(f.err, errNoRecord) {
			all = append(all, f)
		}
		return nil
	})
	slices.SortStableFunc(all, func(a, b fileStatus) int {
		if a.found != b.found {
			return map[bool]int{false: -1, true: 1}[a.found]
		}
		if !a.found {
			return 0
		}
		return slices.Compare(strings.Split(filepath.ToSlash(a.path), "/"), strings.Split(filepath.ToSlash(b.path), "/"))
	})
	return slices.CompactFunc(all, func(a, b fileStatus) bool { return a.found && b.found && sameFile(a.path, b.path) }), err
}

// statusOf reads one record.
func statusOf(t target, stdin io.Reader) fileStatus {
	out := fileStatus{path: t.path, found: t.err == nil}
	found, _, err := loadTarget(t, stdin)
	if err != nil {
		out.err = err
		return out
	}
	out.rooms = roomStatuses(t.path, found)
	return out
}

// gathered puts what became of files together.
func gathered(all []fileStatus) (s status, broken []error) {
	s = status{Format: 1, Rooms: []roomStatus{}, NotRead: []string{}}
	for _, f := range all {
		if f.err != nil {
			if broken = append(broken, f.err); f.found {
				s.NotRead = append(s.NotRead, f.path)
			}
			continue
		}
		s.Total.Files++
		for _, r := range f.rooms {
			s.add(r)
		}
	}
	return s, broken
}
