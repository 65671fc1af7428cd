package schema

import (
	"cmp"
	"slices"
	"strings"
)

// Nearest returns the one of known that word was most likely meant to be, or
// "" when none is near: at most a third of its letters differ.
func Nearest(word string, known []string) string {
	best, least := "", max(1, len([]rune(word))/3)+1
	for _, k := range known {
		if d := editDistance(strings.ToLower(word), strings.ToLower(k)); d < least {
			best, least = k, d
		}
	}
	return best
}

// NearestFew returns the few of known that are least unlike word, the nearest
// first; of those that are alike the one that stands first.
func NearestFew(word string, known []string, few int) []string {
	distance := func(k string) int { return editDistance(strings.ToLower(word), strings.ToLower(k)) }
	all := slices.Clone(known)
	slices.SortStableFunc(all, func(a, b string) int { return cmp.Compare(distance(a), distance(b)) })
	return all[:min(few, len(all))]
}

// editDistance is the Levenshtein distance: the fewest letters to insert,
// delete or replace.
func editDistance(a, b string) int {
	from, to := []rune(a), []rune(b)
	row := make([]int, len(to)+1)
	for j := range row {
		row[j] = j
	}
	for i, x := range from {
		diagonal := row[0]
		row[0] = i + 1
		for j, y := range to {
			cost := diagonal
			if x != y {
				cost = 1 + min(diagonal, row[j], row[j+1])
			}
			diagonal, row[j+1] = row[j+1], cost
		}
	}
	return row[len(to)]
}
