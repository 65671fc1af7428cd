package floor

import (
	"math/big"

	"setline.example/schema/length"
)

// Corner is one leveler of a cabinet, in plan.
type Corner struct {
	Name  string        // of the unit and the corner, such as "A3/FL"
	Floor length.Length // the floor below it, down from the reference line
	Known bool          // false where the survey does not reach; Floor then says nothing

	Body           length.Length // height of the cabinet without its levelers
	Least          length.Length // extension of the leveler turned fully in
	Greatest       length.Length // extension beyond which it must not be turned out
	Reserve        length.Length // by how much it is still to come down from where it is set
	ThreadsPerInch int           // of the leveler's bolt; 0 where not known
	Pitch          length.Length // of a metric bolt, which has no whole number of threads per inch; 0 where not known
}

func (c Corner) extension(top length.Length) wide {
	return widen(c.Floor).minus(top).minus(c.Body)
}

// Extension returns how far the leveler stands out of the body when the
// cabinet top is at top, down from the reference line: Floor - top - Body. It
// may come out below Least or beyond Greatest, which [TravelOf] looks into. It
// says nothing where the corner is not Known.
func (c Corner) Extension(top length.Length) length.Length { return c.extension(top).length() }

// Left returns how far the leveler can still come down when the cabinet top is
// at top: its extension less Least, negative where it stands out too little. It
// says nothing where the corner is not Known.
func (c Corner) Left(top length.Length) length.Length {
	return c.extension(top).minus(c.Least).length()
}

// Turns returns how many turns out of fully in the leveler needs: extension
// less Least, over the pitch of its bolt. It is computed exactly and rounded to
// the nearest float64. ok is false where there are no threads to count and where
// the floor is not known. It may be more than the bolt [Corner.Has], or negative.
func (c Corner) Turns(top length.Length) (turns float64, ok bool) {
	if !c.Known {
		return 0, false
	}
	return c.turns(c.extension(top).minus(c.Least))
}

// Has returns how many turns the bolt has from fully in to Greatest. ok is
// false where there are no threads to count.
func (c Corner) Has() (turns float64, ok bool) {
	return c.turns(widen(c.Greatest).minus(c.Least))
}

// turns are as many as take the leveler out by so much. One turn takes it 1 in /
// ThreadsPerInch, or Pitch.
func (c Corner) turns(out wide) (turns float64, ok bool) {
	threads, over := int64(c.ThreadsPerInch), int64(length.Inch)
	if c.Pitch > 0 {
		threads, over = 1, int64(c.Pitch)
	}
	if threads <= 0 {
		return 0, false
	}
	var n, t big.Int
	n.Lsh(n.SetInt64(out.hi), 64)
	n.Add(&n, t.SetUint64(out.lo))
	n.Mul(&n, t.SetInt64(threads))
	turns, _ = new(big.Rat).SetFrac(&n, t.SetInt64(over)).Float64()
	return turns, true
}
