// Package foreign is a language made by machine, for tests: every letter of ours
// is one of another alphabet, and every word is longer by a third. What of a
// document in it is still written with ours was glued together from words, or
// never was a text; what is cut had too little room.
package foreign

import (
	"encoding/json"
	"maps"
	"regexp"
	"slices"
	"strings"

	"setline.example/schema"
)

// part is what stays as it is in a text, or in the template of a page: what
// templates do, code, the places of arguments; or a word.
var part = regexp.MustCompile("(?s)\\{\\{.*?\\}\\}|`[^`\n]*`|%\\[[0-9]\\]s|[A-Za-z]+")

// Language is the language, as a [say.Language].
func Language(one, many string, n int) string {
	if many != "" && n != 1 {
		one = many
	}
	return part.ReplaceAllStringFunc(one, func(word string) string {
		if strings.ContainsAny(word[:1], "{`%") {
			return word
		}
		var b strings.Builder
		for _, c := range word {
			b.WriteRune('α' + (c|0x20-'a')%17)
		}
		return b.String() + strings.Repeat("ω", (len(word)+2)/3)
	})
}

var (
	ownWord = regexp.MustCompile(`[A-Za-z]+`)
	noWord  = regexp.MustCompile("(?s)`[^`\n]*`|\\]\\([^)]*\\)|<!--.*?-->|\\b[0-9a-f]{64}\\b") // code, names of pictures, comments, hashes
)

// Left are the words of ours that are left in a text or in Markdown, but for
// those that are known.
func Left(text string, known map[string]bool) (left []string) {
	for _, word := range ownWord.FindAllString(noWord.ReplaceAllString(text, ""), -1) {
		if !known[word] {
			left = append(left, word)
		}
	}
	return left
}

// answers are words of a record that are ours all the same.
const answers = "front upper rear side behind rail vacated hinge hole inside face top level laser rule drawer door filler wall exposed"

// Typed are the words that people typed into a record, and units: what no
// language changes. Names of fields are none of them.
func Typed(rec *schema.Record) map[string]bool {
	data, err := json.Marshal(rec)
	if err != nil {
		panic(err) // the types of a record all can be written
	}
	var tree any
	if err := json.Unmarshal(data, &tree); err != nil {
		panic(err)
	}
	known := map[string]bool{"in": true, "mm": true, "ft": true, "m": true}
	add := func(text string) {
		for _, w := range ownWord.FindAllString(text, -1) {
			known[w] = true
		}
	}
	var walk func(any)
	walk = func(v any) {
		switch v := v.(type) {
		case map[string]any:
			for _, key := range slices.Sorted(maps.Keys(v)) {
				if strings.ContainsAny(key, "0123456789") {
					add(key) // a tag, an order, a date
				}
				walk(v[key])
			}
		case []any:
			for _, e := range v {
				walk(e)
			}
		case string:
			add(v)
		}
	}
	walk(tree)
	for _, own := range ownWord.FindAllString(answers, -1) {
		delete(known, own)
	}
	for _, name := range slices.Sorted(maps.Keys(rec.Planned.Instruments)) {
		add(name)
	}
	for _, name := range slices.Sorted(maps.Keys(rec.Planned.Fasteners)) {
		add(name)
	}
	return known
}
