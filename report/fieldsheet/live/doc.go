// Package live judges one room while its sheet is being filled in: what a page
// in a browser asks after every entry.
//
// [OfRoom] cuts out of a record what the rules need for one room; [Open] reads
// that, once; [Room.Judge] takes what was filled in so far into it, by the code
// that collects sheets, and says what holds and what to do. Nothing here reads
// or writes documents, so that the program of the page stays small; it is in
// program/.
package live
