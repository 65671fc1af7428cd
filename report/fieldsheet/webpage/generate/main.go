// Command generate builds the program of the page, web/rules.wasm, with the
// toolchain that go.mod names, and copies Go's support for it beside it. The same
// sources give the same bytes on every machine.
package main

import (
	"fmt"
	"os"

	"setline.example/report/fieldsheet/webpage/internal/build"
)

func main() {
	if err := build.Into("web"); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}
