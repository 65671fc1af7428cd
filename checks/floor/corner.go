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
	ThreadsPerInch int           // of the leveler's bolt; 0 where not known
}

func (c Corner) extension(top length.Length) wide {
	return widen(c.Floor).minus(top).minus(c.Body)
}

// Extension returns how far the leveler stands out of the body when the
// cabinet top is at top, down from the reference line: Floor - top - Body. It
// may come out below Least or beyond Greatest, which [TravelOf] looks into. It
// says nothing where the corner is not Known.
func (c Corner) Extension(top length.Length) length.Length { return c.extension(top).length() }

// Turns returns how many turns out of fully in the leveler needs:
// (extension - Least) times the threads per inch. It is computed exactly and
// rounded to the nearest float64. ok is false where there are no threads to
// count and where the floor is not known.
func (c Corner) Turns(top length.Length) (turns float64, ok bool) {
	if c.ThreadsPerInch <= 0 || !c.Known {
		return 0, false
	}
	out := c.extension(top).minus(c.Least)
	var n, t big.Int
	n.Lsh(n.SetInt64(out.hi), 64)
	n.Add(&n, t.SetUint64(out.lo))
	n.Mul(&n, t.SetInt64(int64(c.ThreadsPerInch)))
	turns, _ = new(big.Rat).SetFrac(&n, t.SetInt64(int64(length.Inch))).Float64()
	return turns, true
}
