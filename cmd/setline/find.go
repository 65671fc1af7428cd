package main

import (
	"errors"
	"path/filepath"
	"slices"
	"strings"
)

// recordFiles gives the job records that paths name, files as they are and
// folders by what lies below them, each once and in the order of their paths.
// What cannot be looked into is an error of its own.
func recordFiles(paths []string) (files []string, broken []error) {
	for t := range targets(paths, patterns{include: []string{"*.json", "*.JSON"}}) {
		switch _, err := readClaimed(t); {
		case t.past, errors.Is(err, errNoRecord):
		case t.err != nil:
			broken = append(broken, t.err)
		default:
			files = append(files, t.path) // what is wrong with it is said when it is read
		}
	}
	slices.SortFunc(files, func(a, b string) int {
		return slices.Compare(strings.Split(filepath.ToSlash(a), "/"), strings.Split(filepath.ToSlash(b), "/"))
	})
	return slices.CompactFunc(files, sameFile), broken
}
