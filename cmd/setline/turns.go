package main

import (
	"fmt"
	"io"
	"strings"

	"setline.example/report"
	"setline.example/schema/plaintext"
)

// printTurns writes what to turn for the one with the wrench: a line for each
// bolt, and beside them, indented, how many there are and what to do then.
func printTurns(w io.Writer, v report.LayoutView) error {
	var b strings.Builder
	visible := func(t report.Text) string { return plaintext.Visible(string(t)) }
	switch {
	case v.Turning():
	case v.Read():
		b.WriteString("Nothing to turn: every run passes as far as its tops were read.\n")
	default:
		b.WriteString("What to turn is not known: no top was read.\n")
	}
	for _, e := range v.Elevations {
		for _, t := range e.Turns {
			if b.Len() > 0 {
				b.WriteString("\n")
			}
			fmt.Fprintf(&b, "%s, elevation %s, %s\n", visible(e.Room), visible(e.Name), visible(t.Of))
			for _, text := range []report.Text{t.Instead, t.First, t.HowMany} {
				if text != "" {
					fmt.Fprintf(&b, "  %s.\n", visible(text))
				}
			}
			for _, l := range t.Turns {
				b.WriteString(visible(l.Say) + "\n")
			}
			for _, n := range t.Notes {
				fmt.Fprintf(&b, "  %s.\n", visible(n))
			}
		}
	}
	if v.Turning() {
		b.WriteString("\nFingers clear of levelers and joints while they come down. Drawers out first; a cabinet that is not joined or anchored can tip.\n")
	}
	_, err := io.WriteString(w, b.String())
	return err
}
