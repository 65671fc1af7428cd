package sign

import (
	"fmt"
	"strings"

	"setline.example/report/pdf/object"
)

// size returns the number after that of the last object of revisions 0 to k.
func (f *file) size(k int) int {
	n := 0
	for _, r := range f.Revisions[:k+1] {
		n = max(n, r.Last())
	}
	return n + 1
}

// firstPage returns the number of the first page's object as revision k has it.
func (f *file) firstPage(k int) (int64, error) {
	catalog := f.Resolve(f.Revisions[k].Trailer.Get("Root"), k)
	if !catalog.Get("Type").IsName("Catalog") {
		return 0, fmt.Errorf("%w: the trailer's /Root is no catalog", ErrFile)
	}
	next := catalog.Get("Pages")
	for range maxDepth {
		node := f.Resolve(next, k)
		kids := f.Resolve(node.Get("Kids"), k)
		switch {
		case next.Kind != object.Ref:
			return 0, fmt.Errorf("%w: the first page cannot be found", ErrFile)
		case node.Get("Type").IsName("Page"):
			return next.Int, nil
		case kids.Kind != object.Array || len(kids.Items) == 0:
			return 0, fmt.Errorf("%w: object %d has no pages", ErrFile, next.Int)
		}
		next = kids.Items[0]
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
		v     object.Value
		label string
	}
	queue := []step{{f.Revisions[k].Trailer.Get("Root"), "catalog"}, {f.Revisions[k].Trailer.Get("Info"), "information"}}
	for len(queue) > 0 {
		s := queue[0]
		queue = queue[1:]
		if s.v.Kind == object.Ref {
			o, ok := f.Find(s.v.Int, k)
			if _, seen := found[s.v.Int]; seen || !ok {
				continue
			}
			if o.Get("Type").IsName("Page") {
				pages++
				s.label = fmt.Sprintf("page %d", pages)
			}
			found[s.v.Int] = s.label
			s.v = o.Value
		}
		for i, item := range s.v.Items {
			if item.Kind != object.Ref && item.Kind != object.Array && item.Kind != object.Dict {
				continue
			}
			label := fmt.Sprintf("%s/%d", s.label, i+1)
			if s.v.Kind == object.Dict {
				if label = s.label + "/" + printable(s.v.Keys[i]); s.v.Keys[i] == "Parent" {
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
	o, _ := f.Find(int64(n), k)
	what := ""
	for _, key := range []string{"Type", "Subtype"} {
		if v := o.Get(key); v.Kind == object.Name {
			what += ", /" + printable(v.Text)
		}
	}
	if o.Stream {
		what += ", a stream"
	}
	label := labels[int64(n)]
	if label == "" {
		label = "which nothing uses"
	}
	return fmt.Sprintf("object %d (%s%s)", n, label, what)
}
