//go:build !js

package main

import (
	"bufio"
	"fmt"
	"io"
	"os"
	"runtime"
	"runtime/debug"
)

func main() {
	debug.SetGCPercent(mostGrowth)
	if err := serve(os.Stdin, os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(2)
	}
}

// mostLine is how long a request may be, in bytes.
const mostLine = 64 << 20

// serve answers requests line by line.
func serve(in io.Reader, out io.Writer) error {
	r, p := &rules{}, newPauses(runtime.GC)
	defer p.rest.Stop()
	lines := bufio.NewScanner(in)
	lines.Buffer(nil, mostLine)
	for lines.Scan() {
		var answer []byte
		p.around(func() { answer = r.ask(lines.Bytes()) })
		if _, err := fmt.Fprintf(out, "%s\n", answer); err != nil {
			return err
		}
	}
	return lines.Err()
}
