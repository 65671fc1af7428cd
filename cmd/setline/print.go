package main

import (
	"bufio"
	"fmt"
	"io"
	"os"
	"strings"

	"golang.org/x/term"
	"setline.example/checks"
)

// printer writes findings as text. Colour only adds to words, and only on a
// terminal that wants it (NO_COLOR, see no-color.org).
type printer struct {
	w      *bufio.Writer
	colour bool
}

func newPrinter(w io.Writer) *printer {
	f, ok := w.(*os.File)
	colour := ok && term.IsTerminal(int(f.Fd())) && os.Getenv("NO_COLOR") == "" && os.Getenv("TERM") != "dumb"
	return &printer{bufio.NewWriter(w), colour}
}

func (p *printer) flush() error { return p.w.Flush() }

// Escape sequences of ECMA-48, "Select Graphic Rendition".
const (
	bold   = "\x1b[1m"
	red    = "\x1b[31m"
	yellow = "\x1b[33m"
	green  = "\x1b[32m"
	plain  = "\x1b[0m"
)

func (p *printer) in(style, text string) string {
	if !p.colour {
		return text
	}
	return style + text + plain
}

func (p *printer) answer(ready bool) string {
	if ready {
		return p.in(bold+green, "READY")
	}
	return p.in(bold+red, "NOT READY")
}

var outcomeStyle = map[checks.Outcome]string{
	checks.Fail:        red,
	checks.NotObserved: yellow,
	checks.Undecided:   yellow,
	checks.Pass:        green,
}

// findings writes what the rules found in the record named path: the answer
// of every room, and below it what keeps it from being ready, or everything.
func (p *printer) findings(path string, found *checks.Findings, all bool) {
	ready := 0
	for _, v := range found.Rooms {
		if v.Ready {
			ready++
		}
	}
	fmt.Fprintf(p.w, "%s: %s, %d of %d rooms ready\n", visible(path), p.answer(found.Ready()), ready, len(found.Rooms))
	for _, v := range found.Rooms {
		name := v.Room.Name
		if v.Room.Use != "" {
			name += ", " + v.Room.Use
		}
		fmt.Fprintf(p.w, "\n  %s: %s (%s)\n", visible(name), p.answer(v.Ready), counts(v))
		results := append(v.Reasons(), v.Notices()...)
		if all {
			results = v.Results
		}
		for _, r := range results {
			p.result(r)
		}
	}
	fmt.Fprintln(p.w)
}

func (p *printer) result(r checks.Result) {
	outcome := fmt.Sprintf("%-13s", r.Outcome)
	fmt.Fprintf(p.w, "    %s %s  %s\n", p.in(outcomeStyle[r.Outcome], outcome), visible(r.Subject.String()), r.Rule.Name)
	fmt.Fprintf(p.w, "        %s\n", visible(r.Finding))
	if r.Remedy != "" {
		fmt.Fprintf(p.w, "        to do: %s\n", visible(r.Remedy))
	}
}

// counts says how many results of each outcome a room has.
func counts(v checks.Verdict) string { return countWords(v.Counts) }

func countWords(counts map[checks.Outcome]int) string {
	var parts []string
	for _, o := range checks.Outcomes() {
		if n := counts[o]; n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", n, o))
		}
	}
	return strings.Join(parts, ", ")
}
