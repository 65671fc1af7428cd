package drawing

import (
	"cmp"
	"slices"

	"setline.example/report/pdf"
)

// label is something that wants to stand at a place along a band, centred on
// it, and takes the next free place, on the next free row.
type label struct {
	at, width float64 // wanted middle; width
	left      float64 // where pack put it
	row       int
	draw      func(left, y float64)

	circle pdf.Point        // of a fault, once drawn
	target func() pdf.Point // the fault, nil for others
	tone   Tone             // of the line to it
}

// pack puts labels into rows between two sides, near the middles that they
// want and gap apart, and returns the number of rows. No label may be wider
// than the band.
func pack(ls []*label, left, right, gap float64) int {
	slices.SortStableFunc(ls, func(a, b *label) int { return cmp.Compare(a.at, b.at) })
	var used []float64 // width of each row
	var rows [][]*label
	for _, l := range ls {
		best := -1
		for i, u := range used {
			if u+gap+l.width <= right-left && (best < 0 || u < used[best]) {
				best = i
			}
		}
		if best < 0 {
			best = len(rows)
			rows, used = append(rows, nil), append(used, -gap)
		}
		rows[best] = append(rows[best], l)
		used[best] += gap + l.width
	}
	for i, row := range rows {
		end := left
		for _, l := range row {
			l.row = i
			l.left = max(l.at-l.width/2, end)
			end = l.left + l.width + gap
		}
		end = right
		for _, l := range slices.Backward(row) {
			l.left = min(l.left, end-l.width)
			end = l.left - gap
		}
	}
	return len(rows)
}

// tag is a unit's name over or under its middle.
type tag struct {
	text        string
	left, right float64 // of the unit

	size  float64
	fits  bool   // within its own unit
	shown string // "" where there is no room
	level int    // 0 or 1
}

// Sizes of tags in points.
const (
	greatestTag = 8
	leastTag    = 5
	easyTag     = 7.5 // a tag that would be smaller within its unit reaches over its neighbours
)

// tagSizes are between which sizes tags are set.
type tagSizes struct{ least, greatest float64 }

// fitTags sets the size, text and level of every tag so that none overlap,
// between two sides, as the package's comment says. Units stand from left to
// right without overlapping. It returns how many are left out and how many cut.
func fitTags(tags []*tag, sizes tagSizes, left, right float64) (out, cut int) {
	size := commonSize(tags, sizes)
	next := 1
	for _, t := range tags {
		t.size, t.level = min(size, t.room()/max(textWidth(t.text, 1, false), 0.01)), 0
		easy := min(size, max(easyTag, sizes.least))
		if t.size >= easy {
			t.shown, t.fits = t.text, true
			continue
		}
		t.size, t.level, next = easy, next, 1-next
	}
	for level := range 2 {
		on := slices.DeleteFunc(slices.Clone(tags), func(t *tag) bool { return t.level != level || t.text == "" })
		for i, t := range on {
			if t.fits {
				continue
			}
			t.reach(t.half(on, i, left, right), sizes.least)
			switch t.shown {
			case "":
				out++
			case t.text:
			default:
				cut++
			}
		}
	}
	return out, cut
}

// tagSide is the room kept at each end of a tag.
const tagSide = 0.8

// room is what a tag has within its own unit.
func (t *tag) room() float64 { return t.right - t.left - 2*tagSide }

// commonSize is the size of tags that fit within their units, whose texts it cleans.
func commonSize(tags []*tag, sizes tagSizes) float64 {
	size := sizes.greatest
	for _, t := range tags {
		t.text = fit(t.text, sizes.least, false, 1e9)
		// A narrow unit must not make the tags of all others small.
		if room := t.room(); room >= 20 {
			size = min(size, max(sizes.least, room/max(textWidth(t.text, 1, false), 0.01)))
		}
	}
	return size
}

// middle is that of the unit.
func (t *tag) middle() float64 { return (t.left + t.right) / 2 }

// half is how far tag i of a level may reach to either side of its middle.
func (t *tag) half(on []*tag, i int, left, right float64) float64 {
	mid := t.middle()
	half := min(mid-left, right-mid)
	if i > 0 {
		half = min(half, t.halfRoom(on[i-1], mid-on[i-1].middle()))
	}
	if i+1 < len(on) {
		half = min(half, t.halfRoom(on[i+1], on[i+1].middle()-mid))
	}
	return half
}

// reach shows what fits to either side of the middle: small, and cut where that
// is not enough, and nothing where not even a letter does.
func (t *tag) reach(half, least float64) {
	room := 2 * (half - tagSide)
	t.shown = fit(t.text, t.size, false, room)
	if t.shown != t.text {
		t.size = least
		t.shown = fit(t.text, t.size, false, room)
	}
	if t.shown == "…" {
		t.shown = ""
	}
}

// halfRoom is how far t may reach to the side of its neighbour on the level.
func (t *tag) halfRoom(n *tag, apart float64) float64 {
	if n.fits {
		return apart - textWidth(n.text, n.size, false)/2
	}
	return apart / 2
}
