package floor

import (
	"cmp"
	"iter"

	"setline.example/schema/length"
)

// The names of the two lines of a survey.
const (
	Front = "front"
	Back  = "back"
)

// Survey is a floor read along two lines: under the fronts of the cabinets,
// and under their backs.
type Survey struct{ Front, Back Line }

// Spot is a place on a surveyed floor.
type Spot struct {
	Line string // [Front] or [Back]
	Reading
}

// Spots yields what is known of the floor within a stretch: the floor at its
// ends where the lines reach them, and every reading between. A place may come
// twice.
func (s Survey) Spots(from, to length.Length) iter.Seq[Spot] {
	from, to = inOrder(from, to)
	return func(yield func(Spot) bool) {
		for _, line := range [...]struct {
			name string
			Line
		}{{Front, s.Front}, {Back, s.Back}} {
			for _, end := range [...]length.Length{from, to} {
				if down, ok := line.DownAt(end); ok && !yield(Spot{line.name, Reading{end, down}}) {
					return
				}
			}
			first, _ := line.search(from)
			for _, r := range line.Line[first:] {
				if r.At > to {
					break
				}
				if !yield(Spot{line.name, r}) {
					return
				}
			}
		}
	}
}

// extreme returns the spot that order puts first; of several, the leftmost,
// and at the same place the front one.
func (s Survey) extreme(from, to length.Length, order func(a, b length.Length) int) (best Spot, ok bool) {
	for spot := range s.Spots(from, to) {
		if !ok || cmp.Or(order(spot.Down, best.Down), cmp.Compare(spot.At, best.At)) < 0 {
			best, ok = spot, true
		}
	}
	return best, ok
}

// High returns the high point of the floor within a stretch: the least Down of
// the readings in it and of the floor at its ends, as far as the lines reach.
// Of several it is the leftmost, front before back. ok is false where nothing
// within the stretch is known.
func (s Survey) High(from, to length.Length) (high Spot, ok bool) {
	return s.extreme(from, to, cmp.Compare[length.Length])
}

// Low returns the low point: as [Survey.High], with the greatest Down.
func (s Survey) Low(from, to length.Length) (low Spot, ok bool) {
	return s.extreme(from, to, func(a, b length.Length) int { return cmp.Compare(b, a) })
}

// Fall returns how much lower the low point is than the high point. It is
// never less than 0. ok is false where nothing within the stretch is known.
func (s Survey) Fall(from, to length.Length) (fall length.Length, ok bool) {
	high, ok := s.High(from, to)
	low, _ := s.Low(from, to)
	return difference(low.Down, high.Down), ok
}
