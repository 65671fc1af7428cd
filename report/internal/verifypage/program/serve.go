//go:build !js

package main

import (
	"errors"
	"fmt"
	"io"
	"os"
)

func main() {
	if err := serve(os.Args[1:], os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(2)
	}
}

// serve answers for a day, a report, and a trust list where one is named.
func serve(args []string, out io.Writer) (err error) {
	if len(args) < 2 || len(args) > 3 {
		return errors.New("found no day and report, expected both and perhaps a trust list")
	}
	q := question{day: args[0], reportName: args[1]}
	if q.report, err = os.ReadFile(args[1]); err != nil {
		return err
	}
	if len(args) == 3 {
		q.trustName = args[2]
		if q.trust, err = os.ReadFile(args[2]); err != nil {
			return err
		}
	}
	a := ask(&q)
	_, err = out.Write(a.json())
	return err
}
