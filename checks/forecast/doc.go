// Package forecast finds when two corners of a run leave level if they go on
// as they did between some visits, and by when to look again.
//
// Start from a [History] and [History.At]. The change of a visit is the tilt of
// the plane through all corners, so that one reading does not decide; a straight
// line is laid through the tilts against days, each visit weighted by its own
// uncertainty. The rounding of a reading is the same, or nearly so, while
// little moves, and does not average out over visits: it counts in full.
//
// A line is refused where there is too little for one, or where the readings do
// not lie on one. No curve is ever fitted. The package judges nothing.
package forecast
