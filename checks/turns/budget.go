package turns

// Budget is how many steps are taken over all runs of a record. Every run has
// some for each of its corners, more than what runs of 20 cabinets took that a
// crew may have left, with room (3,200 of a corner at most, of 25 drawn at
// random); what one takes beyond them, it takes from what all have in common, and
// where that is gone it is not searched to its end. Steps are counted and no clock
// is asked, so that the same record has the same answer everywhere.
type Budget struct{ common int64 }

const (
	forEachCorner = 5_000
	forAll        = 300_000_000 // some seconds
)

// NewBudget is that of a record.
func NewBudget() *Budget { return &Budget{forAll} }

// allowance is the steps that one search has left.
type allowance struct {
	left  int64
	ended bool // it stopped for want of them
}

func (b *Budget) of(corners int) *allowance {
	return &allowance{left: forEachCorner*int64(corners) + b.common}
}

// spent takes what a search took beyond its own from what all have.
func (b *Budget) spent(s *allowance) { b.common = min(b.common, max(0, s.left)) }

// take takes steps, and reports whether there were so many.
func (s *allowance) take(n int) bool {
	s.left -= int64(n)
	s.ended = s.ended || s.left < 0
	return !s.ended
}
