package main

import "time"

// A collection stops all for as long as judging an entry takes, and is felt in the
// middle of one. So it is made while nobody enters anything: after so many answers,
// once there was no request for so long. Whoever never pauses so has one after some
// two hundred entries, of a heap of 64 MB.
const (
	answersToRest = 16
	quiet         = 2 * time.Second
	mostGrowth    = 1600 // percent of the 4 MB that a heap is held to have at least
)

// pauses finds the moments for a collection.
type pauses struct {
	rest    *time.Timer
	answers int // since the last
}

// newPauses is for a program that has just started, which leaves as much behind as
// many answers.
func newPauses(collect func()) *pauses {
	rest := time.AfterFunc(quiet, collect)
	rest.Stop()
	return &pauses{rest, answersToRest}
}

// around has an answer made, and what was to be collected before it put off.
func (p *pauses) around(answer func()) {
	waited := p.rest.Stop()
	answer()
	if p.answers++; waited || p.answers >= answersToRest {
		p.answers = 0
		p.rest.Reset(quiet)
	}
}
