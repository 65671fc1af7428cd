package findings

import (
	"bufio"
	"fmt"
	"io"

	"setline.example/checks"
	"setline.example/schema/plaintext"
)

// lines writes one line for each finding, in the form that editors read:
// "sourcefile:line:column: message" (GNU Coding Standards, "Formatting Error
// Messages").
type lines struct {
	w   *bufio.Writer
	run Run
}

func newLines(w io.Writer) Writer { return &lines{w: bufio.NewWriter(plaintext.Lines(w))} }

func (l *lines) Begin(run Run) error {
	l.run = run
	return nil
}

func (l *lines) File(f *File) error {
	for _, p := range f.Problems {
		l.line(f.Path, p.Line, p.Column, string(CannotBeUsed), p.Text()+mended(p.Mend), string(p.Kind))
	}
	for _, room := range f.Rooms {
		for _, r := range room.Results {
			if r.Outcome == checks.Conceded && !l.run.Shown.All {
				continue
			}
			outcome := string(r.Outcome)
			if r.Known {
				outcome += " (known)"
			}
			l.line(f.Path, r.Line, r.Column, outcome, r.Rule+": "+r.Subject+": "+r.Finding, r.RuleID)
		}
	}
	return l.w.Flush()
}

func (l *lines) End(Summary, int) error { return l.w.Flush() }

// line writes one line, with the id of the rule, or the kind of problem, last.
func (l *lines) line(path string, line, column int, outcome, message, id string) {
	fmt.Fprint(l.w, plaintext.Visible(path), ":")
	if line > 0 {
		fmt.Fprintf(l.w, "%d:%d:", line, column)
	}
	fmt.Fprintf(l.w, " %s: %s [%s]\n", outcome, plaintext.Visible(message), id)
}

func mended(mend string) string {
	if mend == "" {
		return ""
	}
	return "; mend: " + mend
}
