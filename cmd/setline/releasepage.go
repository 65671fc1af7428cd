package main

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"setline.example/report"
	"setline.example/schema/plaintext"
)

// printRelease writes the release for tops as text.
func printRelease(w io.Writer, v report.ReleaseView) error {
	var b strings.Builder
	visible := func(t report.Text) string { return plaintext.Visible(string(t)) }
	fmt.Fprintf(&b, "%s %s\n", visible(v.Answer), visible(v.Summary))
	for _, e := range v.Elevations {
		fmt.Fprintf(&b, "\n%s, elevation %s\n  %s.\n", visible(e.Room), visible(e.Name), visible(e.Released))
		for _, s := range e.Sets {
			for _, how := range s.How {
				fmt.Fprintf(&b, "  %s.\n", visible(how))
			}
			if s.Plane != "" {
				fmt.Fprintf(&b, "  %s.\n", visible(s.Plane))
			}
			if err := printBearings(&b, s); err != nil {
				return err
			}
		}
		for _, r := range e.Open {
			fmt.Fprintf(&b, "  %s  %s, %s: %s\n", string(r.Outcome), visible(r.Where), string(r.Rule), visible(r.Finding))
			if r.Remedy != "" {
				fmt.Fprintf(&b, "      to do: %s\n", visible(r.Remedy))
			}
		}
	}
	if len(v.Elevations) > 0 {
		b.WriteString("\nAs if stiff: a thin top bends. Lift a top with two people at least, fingers clear of its edges; a cabinet that is not joined and anchored can tip.\n")
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func printBearings(b *strings.Builder, s report.ReleaseSet) error {
	if len(s.Bearings) == 0 {
		return nil
	}
	t := tabwriter.NewWriter(b, 0, 0, 2, ' ', 0)
	other := ""
	if s.Rocks {
		other = "other way\t"
	}
	fmt.Fprintf(t, "  place\tgap\t%sU\twhat to do\n", other)
	for _, at := range s.Bearings {
		if s.Rocks {
			other = string(at.Other) + "\t"
		}
		fmt.Fprintf(t, "  %s\t%s\t%s%s\t%s\n", plaintext.Visible(string(at.Place)), string(at.Gap), other, string(at.U), string(at.What))
	}
	return t.Flush()
}
