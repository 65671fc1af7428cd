package pdf

import "slices"

// leastFill is the least height worth filling with rows before a picture, in
// points: below it, the end of the page stays white.
const leastFill = 90

// float looks at the floating picture that stands at slab i, or right below
// the headings there. Where it does not fit the page any more, it and those
// after it move behind as many rows of the table that follows as fit. y is
// where slab i would stand.
func (l *Layout) float(i int, y float64) {
	first := i
	for ; first < len(l.slabs) && !l.slabs[first].floats; first++ {
		s := l.slabs[first]
		if s.title == nil || s.fresh || s.part > 0 {
			return
		}
		y += s.gap + s.height
	}
	end := first
	for end < len(l.slabs) && l.slabs[end].floats {
		end++
	}
	if end+1 >= len(l.slabs) || l.bodyBottom()-y < leastFill || y+l.slabs[first].gap+l.slabs[first].height <= l.bodyBottom() {
		return
	}
	// What follows goes on with a table, or begins one, or is something else.
	head := l.slabs[end].head
	switch {
	case head != nil:
		y += paraGap + head.height + l.slabs[end].under
	case l.slabs[end+1].head == l.slabs[end]:
		head = l.slabs[end]
	default:
		return
	}
	at := end
	for n := end; n < len(l.slabs) && (l.slabs[n] == head || l.slabs[n].head == head); n++ {
		if y += l.slabs[n].gap + l.slabs[n].height; y > l.bodyBottom() {
			break
		}
		if !l.slabs[n].keep { // what has to stay together does
			at = n + 1
		}
	}
	pictures := slices.Clone(l.slabs[first:end])
	copy(l.slabs[first:], l.slabs[end:at])
	copy(l.slabs[at-len(pictures):], pictures)
}
