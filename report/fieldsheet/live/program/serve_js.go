package main

import (
	"runtime"
	"runtime/debug"
	"syscall/js"
	"time"
)

// A collection stops all for as long as judging an entry takes, and is felt in the
// middle of one. So it is made while nobody enters anything: after so many answers,
// once there was no request for so long. Whoever never pauses so has one after some
// two hundred entries, of a heap of 64 MB.
const (
	answersToRest = 16
	quiet         = 2 * time.Second
	mostGrowth    = 1600 // percent of the 4 MB that a heap is held to have at least
)

// main gives the page the function "setlineRules", from a string to a string,
// and stays to answer.
func main() {
	debug.SetGCPercent(mostGrowth)
	rest := time.AfterFunc(quiet, runtime.GC)
	rest.Stop()
	r, answers := &rules{}, answersToRest // the start leaves as much behind
	js.Global().Set("setlineRules", js.FuncOf(func(_ js.Value, args []js.Value) any {
		waited := rest.Stop()
		answer := string(r.ask([]byte(args[0].String())))
		if answers++; waited || answers >= answersToRest {
			answers = 0
			rest.Reset(quiet)
		}
		return answer
	}))
	select {}
}
