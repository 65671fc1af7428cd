//go:build !js

package main

import (
	"bufio"
	"fmt"
	"io"
	"os"
)

func main() {
	if err := serve(os.Stdin, os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(2)
	}
}

// mostLine is how long a request may be, in bytes.
const mostLine = 64 << 20

// serve answers requests line by line.
func serve(in io.Reader, out io.Writer) error {
	r := &rules{}
	lines := bufio.NewScanner(in)
	lines.Buffer(nil, mostLine)
	for lines.Scan() {
		if _, err := fmt.Fprintf(out, "%s\n", r.ask(lines.Bytes())); err != nil {
			return err
		}
	}
	return lines.Err()
}
