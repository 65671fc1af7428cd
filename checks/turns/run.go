package turns

import (
	"setline.example/checks/zone"
	"setline.example/schema/length"
)

// Corner is a top corner that was read, and the bolt under it.
type Corner struct {
	// Cabinet is the position of its cabinet in the run, and Place that of the
	// corner: [FrontLeft], [FrontRight], [BackLeft], [BackRight].
	Cabinet, Place int
	// X and Y are where it is in plan: along the run, and out from its back.
	X, Y length.Length
	// H is how high it stands above the set-height mark: mark - reading.
	H length.Length
	// Step is what an eighth of a turn of its bolt does.
	Step Step
	// Down and Up are how far the bolt can still take it, where Travel says that
	// it is known; Up is below zero where it stands out further than it may.
	// Reserve is the part of Down that is to be left.
	Down, Up, Reserve length.Length
	Travel            bool
	// Joined is the position of the corner beside it in a fastened joint, which
	// goes where it goes; itself where there is none.
	Joined int
}

// The places of a cabinet's corners.
const (
	FrontLeft = iota
	FrontRight
	BackLeft
	BackRight
)

// Run is the top corners of a run as they were read, and what they are held to.
type Run struct {
	// Corners go cabinet by cabinet from left to right, in each by their places.
	Corners []Corner
	// Level is how far two corners may be out of level.
	Level func(i, j int) length.Length
	// Held is how far a corner may be off the mark, where Marked says that there is one.
	Held   length.Length
	Marked bool
	// Twist is how far |FL + BR - FR - BL| of a cabinet may come, and Plane how
	// wide the minimum zone of all corners may be, of more than one cabinet.
	Twist, Plane length.Length
	// Guard is by how much a sum of heights has to keep within its limit by the
	// decision rule; ok is false where that is not known. nil asks for nothing.
	Guard func(parts []zone.Weight) (by length.Length, ok bool)
	// Resolution is the step in which heights are read.
	Resolution length.Length
	// Budget is what all runs of a record have together; nil sets no bounds.
	Budget *Budget
}

// Answer is what to turn.
type Answer struct {
	// Solved says that the run passes when Eighths, one for each corner, are
	// turned: eighths of a turn, up above zero.
	Solved  bool
	Eighths []int
	// Bolts is how many are turned, AtLeast how many any answer turns. Where
	// they are equal these are the fewest.
	Bolts, AtLeast int
	// Loosen are corners whose joint has to be loosened first, as positions of
	// the two.
	Loosen [][2]int
	// Spends says that some corner is left with less than its reserve.
	Spends bool
	// Why says why it is not solved, where it is not.
	Why Why
}

// Why is what stands in the way of an answer.
type Why int

// What may stand in the way.
const (
	Nothing    Why = iota
	Beyond         // the travel of some bolts does not reach; see [Serving]
	TooCoarse      // no whole eighth of a turn brings a corner within its limits
	CannotTell     // the decision rule asks for more than the instrument can tell
	TooFar         // heights that no cabinet has
	TooLong        // more corners than are looked at together
	TooMuch        // it takes more steps than there are; see [Budget]
)

// Rise is how far a corner comes up by so many eighths of its bolt, to the
// nearest nanometre.
func (c Corner) Rise(eighths int) length.Length { return c.Step.rise(int64(eighths)) }
