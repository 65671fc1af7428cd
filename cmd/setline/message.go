package main

import (
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"
	"setline.example/schema"
	"setline.example/schema/plaintext"
)

// All that the program says of errors goes through this file: to stderr, the
// program's name first, no capital, no full stop, then a line "mend:" that
// says what to do.

// hinted is an error with what to do about it.
type hinted struct {
	err  error
	mend string
}

func (h hinted) Error() string { return h.err.Error() }
func (h hinted) Unwrap() error { return h.err }

// usage is a wrong call of command c.
func usage(c *cobra.Command, err error) error {
	return hinted{err, fmt.Sprintf("see %q", c.CommandPath()+" --help")}
}

// say writes err to w.
func say(w io.Writer, err error) {
	if joined, ok := err.(interface{ Unwrap() []error }); ok {
		for _, e := range joined.Unwrap() {
			say(w, e)
		}
		return
	}
	problems := problemsOf(err)
	for _, p := range problems {
		line(w, p, p.Mend)
	}
	if len(problems) > 0 {
		return
	}
	var h hinted
	errors.As(err, &h)
	line(w, err, h.mend)
}

// problemsOf are the problems of files that err tells of.
func problemsOf(err error) schema.Problems {
	var problems schema.Problems
	var file *fileError
	if !errors.As(err, &problems) && errors.As(err, &file) {
		problems = schema.Problems{file.Problem}
	}
	return problems
}

func line(w io.Writer, err error, mend string) {
	fmt.Fprintf(w, "setline: %s\n", oneLine(err.Error()))
	if mend != "" {
		fmt.Fprintf(w, "    mend: %s\n", oneLine(mend))
	}
}

// note tells what a person has to know who got what was asked for.
func note(w io.Writer, text string) { fmt.Fprintf(w, "setline: note: %s\n", oneLine(text)) }

// oneLine keeps what an input holds from acting on the terminal or looking
// like a message of its own.
func oneLine(s string) string {
	return plaintext.ShortWords(plaintext.Brackets(plaintext.Visible(s), plaintext.CodePoint('[')))
}
