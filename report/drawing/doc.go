// Package drawing makes pictures of an elevation: its front, the profile of
// the floor under it, and how its cabinets have moved between visits.
//
// A [Drawing] is a list of shapes in points (1/72 in), from which both an SVG
// file and a drawing on a PDF page are made, so that the two cannot differ.
// All are vector drawings, to the scale they state. Colour is never the only
// sign: the one accent stands beside a word, and lines differ by dash.
//
// Text never overlaps text or a numbered circle, and never leaves the drawing:
// labels that belong to one band are moved apart, and a band grows by rows as
// it needs. A unit's tag is set smaller to fit its unit, down to 5 pt; where
// that is not enough it is set at 5 pt on one of two levels in turn and may
// reach over its neighbours; where that is still too long it is cut, with an
// ellipsis; and where not even that has room it is left out and counted in a
// note under the drawing.
package drawing
