// Package cut finds how the fillers of a run are cut to the walls beside them:
// the width of each at the floor, half way up and at the tops, what is left of
// its scribe, and the two diagonals by which a marked panel is checked.
//
// Start from an [Opening] and [Opening.Cut]. The clear opening at three heights
// says how much is to be filled at each; how a wall leans says how much of that
// is at its end. The edge against the cabinet is taken as straight and plumb,
// and foot and top as square to it.
//
// Widths are exact, and rounded once to the nearest nanometre, halves away from
// zero; with each goes how much it changes with every reading it rests on, for
// its uncertainty. What would exceed a length becomes the greatest or the least
// length there is. No function panics. The package judges nothing.
package cut
