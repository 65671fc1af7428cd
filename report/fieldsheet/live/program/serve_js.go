package main

import (
	"runtime/debug"
	"syscall/js"
)

// main gives the page the function "setlineRules", from a string to a string,
// and stays to answer.
func main() {
	// A page lives for minutes, and a collection in the middle of an entry is felt.
	debug.SetGCPercent(400)
	r := &rules{}
	js.Global().Set("setlineRules", js.FuncOf(func(_ js.Value, args []js.Value) any {
		return string(r.ask([]byte(args[0].String())))
	}))
	select {}
}
