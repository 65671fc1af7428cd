package sign

import (
	"fmt"
	"maps"
	"slices"
	"strings"
)

// size returns the number after that of the last object of revisions 0 to k.
func (f *file) size(k int) int {
	n := 0
	for _, r := range f.revisions[:k+1] {
		for _, m := range slices.Collect(maps.Keys(r.objects)) {
			n = max(n, m)
		}
	}
	return n + 1
}

// firstPage returns the number of the first page's object as revision k has it.
func (f *file) firstPage(k int) (int64, error) {
	catalog := f.resolve(f.revisions[k].trailer.get("Root"), k)
	if !catalog.get("Type").isName("Catalog") {
		return 0, fmt.Errorf("%w: the trailer's /Root is no catalog", ErrFile)
	}
	next := catalog.get("Pages")
	for range maxDepth {
		node := f.resolve(next, k)
		kids := f.resolve(node.get("Kids"), k)
		switch {
		case next.kind != ref:
			return 0, fmt.Errorf("%w: the first page cannot be found", ErrFile)
		case node.get("Type").isName("Page"):
			return next.integer, nil
		case kids.kind != array || len(kids.items) == 0:
			return 0, fmt.Errorf("%w: object %d has no pages", ErrFile, next.integer)
		}
		next = kids.items[0]
	}
	return 0, fmt.Errorf("%w: the page tree is more than %d deep", ErrFile, maxDepth)
}

// maxLabel keeps a chain of many objects from making labels of its length.
const maxLabel = 120

// printable makes a name of the file fit for a message.
func printable(s string) string {
	return strings.Map(func(c rune) rune {
		if c < '!' || c > '~' {
			return '?'
		}
		return c
	}, s[:min(len(s), maxLabel)])
}

// labels says, for each object that revision k can reach from its catalog, by
// which way: "page 1/Contents", for one.
func (f *file) labels(k int) map[int64]string {
	found := make(map[int64]string)
	pages := 0
	type step struct {
		v     value
		label string
	}
	queue := []step{{f.revisions[k].trailer.get("Root"), "catalog"}, {f.revisions[k].trailer.get("Info"), "information"}}
	for len(queue) > 0 {
		s := queue[0]
		queue = queue[1:]
		if s.v.kind == ref {
			o, ok := f.find(s.v.integer, k)
			if _, seen := found[s.v.integer]; seen || !ok {
				continue
			}
			if o.get("Type").isName("Page") {
				pages++
				s.label = fmt.Sprintf("page %d", pages)
			}
			found[s.v.integer] = s.label
			s.v = o.value
		}
		for i, item := range s.v.items {
			if item.kind != ref && item.kind != array && item.kind != dict {
				continue
			}
			label := fmt.Sprintf("%s/%d", s.label, i+1)
			if s.v.kind == dict {
				if label = s.label + "/" + printable(s.v.keys[i]); s.v.keys[i] == "Parent" {
					continue
				}
			}
			if len(label) > maxLabel {
				label = label[:maxLabel]
			}
			queue = append(queue, step{item, label})
		}
	}
	return found
}

// describe names an object for people.
func (f *file) describe(n int, k int, labels map[int64]string) string {
	o, _ := f.find(int64(n), k)
	what := ""
	for _, key := range []string{"Type", "Subtype"} {
		if v := o.get(key); v.kind == name {
			what += ", /" + printable(v.text)
		}
	}
	if o.stream {
		what += ", a stream"
	}
	label := labels[int64(n)]
	if label == "" {
		label = "which nothing uses"
	}
	return fmt.Sprintf("object %d (%s%s)", n, label, what)
}
