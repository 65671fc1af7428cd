package main

import (
	"fmt"
	"io"
	"os"
	"strings"
	"time"

	"golang.org/x/term"
)

// progress says on a terminal how many of many files are done, in place, when
// that takes longer than a second. Anywhere else it says nothing.
type progress struct {
	w           io.Writer // nil where nothing is to be said
	now         func() time.Time
	start, last time.Time
	done, all   int
	shown       int // columns on the terminal now
}

const (
	patience = time.Second            // before anything is said
	pace     = 100 * time.Millisecond // between two redraws
)

func newProgress(w io.Writer, all int) *progress {
	p := &progress{now: time.Now, all: all}
	if f, ok := w.(*os.File); ok && term.IsTerminal(int(f.Fd())) {
		p.w = w
	}
	p.start = p.now()
	return p
}

// step says that one more is done.
func (p *progress) step() {
	p.done++
	if p.w == nil {
		return
	}
	if now := p.now(); now.Sub(p.start) > patience && now.Sub(p.last) >= pace {
		p.last = now
		text := fmt.Sprintf("%d of %d files", p.done, p.all)
		fmt.Fprintf(p.w, "\r%-*s", p.shown, text)
		p.shown = max(p.shown, len(text))
	}
}

// clear leaves the line as it was before.
func (p *progress) clear() {
	if p.shown > 0 {
		fmt.Fprintf(p.w, "\r%s\r", strings.Repeat(" ", p.shown))
		p.shown = 0
	}
}
