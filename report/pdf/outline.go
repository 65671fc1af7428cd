package pdf

import "setline.example/report/pdf/object"

// bookmark is an item of the outline: a heading that has text.
type bookmark struct {
	*heading
	kids []*bookmark
}

// outlined gives the top level of the outline of these headings, which stand in
// their order.
func outlined(headings []*heading) []*bookmark {
	root := &bookmark{}
	open := []*bookmark{root} // the items around the next one
	for _, h := range headings {
		open = open[:min(h.level+1, len(open))]
		parent := open[len(open)-1]
		b := &bookmark{heading: h}
		parent.kids = append(parent.kids, b)
		open = append(open, b)
	}
	return root.kids
}

// addOutline adds the outline (12.3.3) and returns its number. The top level is
// open, so that a report with one title shows its sections; the rest is closed.
func (f *file) addOutline(headings []*heading, height float64) int {
	top := outlined(headings)
	root := f.reserve()
	d := object.NewDict("Outlines")
	f.addBookmarks(&d, root, top, height)
	visible := len(top)
	for _, b := range top {
		visible += len(b.kids)
	}
	d.Add("Count", object.Whole(visible))
	f.set(root, d)
	return root
}

// addBookmarks adds the items below parent, and names the first and the last there.
func (f *file) addBookmarks(parent *object.Value, number int, kids []*bookmark, height float64) {
	if len(kids) == 0 {
		return
	}
	numbers := make([]int, len(kids))
	for i := range kids {
		numbers[i] = f.reserve()
	}
	for i, b := range kids {
		d := object.NewDict("")
		d.Add("Title", object.Text(b.text))
		d.Add("Parent", object.RefTo(number))
		if i > 0 {
			d.Add("Prev", object.RefTo(numbers[i-1]))
		}
		if i+1 < len(kids) {
			d.Add("Next", object.RefTo(numbers[i+1]))
		}
		f.addBookmarks(&d, numbers[i], b.kids, height)
		if n := len(b.kids); n > 0 {
			if b.level > 0 {
				n = -n
			}
			d.Add("Count", object.Whole(n))
		}
		d.Add("Dest", f.destination(b.heading, height))
		f.set(numbers[i], d)
	}
	parent.Add("First", object.RefTo(numbers[0]))
	parent.Add("Last", object.RefTo(numbers[len(numbers)-1]))
}

// destination is the place of a heading (12.3.2).
func (f *file) destination(h *heading, height float64) object.Value {
	return object.List(object.RefTo(f.pages[h.page-1]), object.NameOf("XYZ"), object.Whole(0),
		object.Number(height-h.y), object.Value{})
}
