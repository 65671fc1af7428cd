package pdf

import (
	"bytes"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strconv"
)

// bookmark is what fpdf writes behind the title of an outline item.
var bookmark = regexp.MustCompile(`\n/Parent (\d+) 0 R\n(?:/(?:Prev|Next|First|Last) \d+ 0 R\n)*/Dest \[(\d+) 0 R /XYZ 0 -?[0-9.]+ null\]\n(/Count 0)>>\nendobj\n$`)

const (
	itemStart = "<</Title "
	rootStart = "<</Type /Outlines "
)

// mendOutline moves the targets of the bookmarks behind the objects of the
// attachments, and counts the items (ISO 32000-1, 12.3.3): the top level is
// open, so that a report with one title shows its sections; the rest is closed.
func mendOutline(objects [][]byte, attachments int) error {
	type item struct {
		parent int
		m      []int
	}
	items := make(map[int]item) // by object number
	kids := make(map[int]int)   // by the parent's object number
	root := 0
	for i, o := range objects {
		switch body := afterLine(o); {
		case bytes.HasPrefix(body, []byte(rootStart)):
			root = i + 1
		case bytes.HasPrefix(body, []byte(itemStart)):
			m := bookmark.FindSubmatchIndex(o)
			if m == nil {
				return errLayout
			}
			parent, err := strconv.Atoi(string(o[m[2]:m[3]]))
			if err != nil {
				return errLayout
			}
			items[i+1] = item{parent, m}
			kids[parent]++
		}
	}
	if root == 0 {
		return nil
	}
	visible := kids[root]
	for _, n := range slices.Sorted(maps.Keys(items)) {
		it := items[n]
		o := objects[n-1]
		target, err := strconv.Atoi(string(o[it.m[4]:it.m[5]]))
		if err != nil {
			return errLayout
		}
		count := ""
		switch k := kids[n]; {
		case k > 0 && it.parent == root:
			visible += k
			count = fmt.Sprintf("/Count %d", k)
		case k > 0:
			count = fmt.Sprintf("/Count -%d", k)
		}
		objects[n-1] = slices.Concat(o[:it.m[4]], strconv.AppendInt(nil, int64(target+2*attachments), 10),
			o[it.m[5]:it.m[6]], []byte(count), o[it.m[7]:])
	}
	objects[root-1] = bytes.Replace(objects[root-1], []byte(rootStart), fmt.Appendf(nil, "%s/Count %d ", rootStart, visible), 1)
	return nil
}
