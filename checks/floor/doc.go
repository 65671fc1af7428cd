// Package floor holds the arithmetic of a surveyed floor: its height between
// readings, its high point, how far it is from flat, and how far every leveler
// of a row of cabinets has to stand out on it.
//
// Heights are read as on site: [Reading.Down] is measured down from the level
// reference line, so that a larger reading is a lower floor and the high point
// has the smallest. Start from a [Line] of readings and [Line.DownAt]; for a
// floor read along its front and its back, from a [Survey]; for levelers, from
// [SetTop] and [Corner].
//
// Nothing is extrapolated: where no reading reaches there is no floor, and the
// second result is false. Everything is exact in whole nanometres, and rounded
// once where a result is none; what would exceed a length becomes the greatest
// or the least length there is (some 9.2 million km). No function panics.
//
// The package judges nothing. It has no limits; those who call it have.
package floor
