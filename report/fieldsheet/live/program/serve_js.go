package main

import (
	"runtime"
	"runtime/debug"
	"syscall/js"
)

// main gives the page the function "setlineRules", from a string to a string,
// and stays to answer.
func main() {
	debug.SetGCPercent(mostGrowth)
	r, p := &rules{}, newPauses(runtime.GC)
	js.Global().Set("setlineRules", js.FuncOf(func(_ js.Value, args []js.Value) any {
		var answer string
		p.around(func() { answer = string(r.ask([]byte(args[0].String()))) })
		return answer
	}))
	select {}
}
