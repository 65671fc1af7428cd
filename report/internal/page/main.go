// Command page is what a page in a browser runs: it reads a job record from
// standard input and writes what the rules find as JSON, as "setline check
// --format json" does. It links neither the report nor its fonts, and with the
// tag onepass no validator for all of JSON Schema, so that it is small when
// built for js/wasm; its test says how small.
package main

import (
	"errors"
	"fmt"
	"io"
	"os"

	"setline.example/checks"
	"setline.example/report/findings"
	"setline.example/schema"
)

func main() {
	if err := check(os.Stdin, os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(2)
	}
}

// check writes what is found in one record.
func check(in io.Reader, out io.Writer) error {
	rec, src, err := schema.ReadFrom("-", in)
	if err != nil {
		return err
	}
	found, err := checks.Run(rec, src)
	if err != nil {
		return err
	}
	format := findings.JSON()
	all := findings.Selection{All: true}
	file := all.File(src.Name, found, src, format.Needs)
	w := format.New(out)
	var sum findings.Summary
	sum.Add(file)
	return errors.Join(w.Begin(findings.Run{Shown: all.Shown()}), w.File(file), w.End(sum, 0))
}
