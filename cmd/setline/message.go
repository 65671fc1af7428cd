package main

import (
	"errors"
	"fmt"
	"io"
	"strings"

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
	var problems schema.Problems
	if errors.As(err, &problems) {
		for _, p := range problems {
			line(w, p, p.Mend)
		}
		return
	}
	var h hinted
	errors.As(err, &h)
	line(w, err, h.mend)
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
func oneLine(s string) string { return short(strings.TrimSpace(plaintext.Visible(s))) }

// longestWord is how many characters of a word are shown.
const longestWord = 200

// short cuts words that are longer than any message needs, such as a number
// of ten thousand digits.
func short(s string) string {
	if len(s) <= longestWord {
		return s
	}
	words := strings.Split(s, " ")
	for i, word := range words {
		words[i] = plaintext.Cut(word, longestWord)
	}
	return strings.Join(words, " ")
}
