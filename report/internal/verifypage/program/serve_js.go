package main

import (
	"runtime/debug"
	"syscall/js"
)

// main gives the page the function "setlineVerify", from an object with the
// members of a question to one with the answer's JSON and files, and stays to
// answer.
func main() {
	debug.SetGCPercent(400) // one report is verified, and then the next
	js.Global().Set("setlineVerify", js.FuncOf(func(_ js.Value, args []js.Value) any {
		q := args[0]
		a := ask(&question{
			report: bytesOf(q.Get("report")), reportName: q.Get("reportName").String(),
			trust: bytesOf(q.Get("trust")), trustName: q.Get("trustName").String(),
			expect: listOf(q.Get("expect")), strict: q.Get("strict").Bool(), day: q.Get("day").String(),
		})
		return js.ValueOf(map[string]any{"json": string(a.json()), "record": arrayOf(a.record), "part": arrayOf(a.part)})
	}))
	select {}
}

// bytesOf copies a Uint8Array; nil for null.
func bytesOf(v js.Value) []byte {
	if v.IsNull() || v.IsUndefined() {
		return nil
	}
	data := make([]byte, v.Length())
	js.CopyBytesToGo(data, v)
	return data
}

func listOf(v js.Value) (all []string) {
	for i := range v.Length() {
		all = append(all, v.Index(i).String())
	}
	return all
}

// arrayOf copies into a Uint8Array; null for nil.
func arrayOf(data []byte) any {
	if data == nil {
		return nil
	}
	array := js.Global().Get("Uint8Array").New(len(data))
	js.CopyBytesToJS(array, data)
	return array
}
