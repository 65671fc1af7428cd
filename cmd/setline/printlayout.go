package main

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"setline.example/report"
	"setline.example/schema/plaintext"
)

// printLayout writes a layout as text.
func printLayout(w io.Writer, v report.LayoutView) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s %s\n", v.Answer, v.Summary)
	if v.TrialOf != "" {
		fmt.Fprintf(&b, "Trial of another set height: %s. Nothing of it is in the record.\n", v.TrialOf)
	}
	for _, e := range v.Elevations {
		printOneHeight(&b, e.OneHeight)
		if err := printElevation(&b, e); err != nil {
			return err
		}
	}
	if err := printTakeoff(&b, v); err != nil {
		return err
	}
	if err := printBring(&b, v); err != nil {
		return err
	}
	for line := range strings.Lines(b.String()) {
		if _, err := fmt.Fprintln(w, strings.TrimRight(line, " \n")); err != nil {
			return err
		}
	}
	return nil
}

// printElevation writes the layout of one elevation: what stops the work first.
func printElevation(b *strings.Builder, e report.LayoutElevation) error {
	fmt.Fprintf(b, "\n%s, elevation %s\n", visible(e.Room), visible(e.Name))
	if e.Stop != "" {
		fmt.Fprintf(b, "  %s\n", visible(e.Stop))
	}
	printResults(b, e.Stops)
	for _, t := range e.Trial {
		fmt.Fprintf(b, "  %s\n", visible(t))
	}
	if !e.Surveyed {
		b.WriteString("  floor not observed\n")
	}
	for _, f := range e.Facts {
		fmt.Fprintf(b, "  %s: %s\n", f.Name, visible(f.Value))
	}
	if err := printCorners(b, e.Corners); err != nil {
		return err
	}
	for _, t := range e.Turns {
		fmt.Fprintf(b, "  what to turn, %s: %s\n", visible(t.Of), visible(t.Said()))
	}
	for _, s := range e.Screws {
		fmt.Fprintf(b, "  screw together %s: %s\n", visible(s.Of), visible(s.Said()))
	}
	for _, cut := range e.Cuts {
		printSays(b, "  ", cut.Title, cut.Says)
	}
	printResults(b, e.Notices)
	return nil
}

func visible(t report.Text) string { return plaintext.Visible(string(t)) }

// printResults writes what rules say, and what to do.
func printResults(b *strings.Builder, results []report.ResultView) {
	for _, r := range results {
		fmt.Fprintf(b, "  %s  %s: %s\n", string(r.Outcome), string(r.Rule), visible(r.Finding))
		if r.Remedy != "" {
			fmt.Fprintf(b, "      to do: %s\n", visible(r.Remedy))
		}
	}
}

func printCorners(b *strings.Builder, corners []report.CornerView) error {
	if len(corners) == 0 {
		return nil
	}
	t := tabwriter.NewWriter(b, 0, 0, 2, ' ', 0)
	fmt.Fprintln(t, "  cabinet\tcorner\talong\tfloor\textension\tturns\tleft\t")
	for _, c := range corners {
		fmt.Fprintf(t, "  %s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\n", visible(c.Cabinet), string(c.Corner), string(c.Along), string(c.Floor),
			string(c.Extension), string(c.Turns), string(c.Left), string(c.Say))
	}
	return t.Flush()
}

// printOneHeight writes whether one height serves a room.
func printOneHeight(b *strings.Builder, v *report.OneHeightView) {
	if v != nil {
		b.WriteString("\n")
		printSays(b, "", v.Room+": one height for the room", v.Says)
	}
}

// printCuts writes how fillers are cut.
func printCuts(w io.Writer, v report.CutsDocument) error {
	var b strings.Builder
	if len(v.Cuts) == 0 {
		b.WriteString("No filler is cut to a wall.\n")
	}
	for _, cut := range v.Cuts {
		printSays(&b, "", cut.Title, cut.Says)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// printSays writes what is said under a title, so far in.
func printSays(b *strings.Builder, in string, title report.Text, says []report.Text) {
	fmt.Fprintf(b, "%s%s\n", in, plaintext.Visible(string(title)))
	for _, t := range says {
		fmt.Fprintf(b, "%s  %s\n", in, plaintext.Visible(string(t)))
	}
}

// printTakeoff writes the screws and drill bits of the whole job.
func printTakeoff(b *strings.Builder, v report.LayoutView) error {
	t := tabwriter.NewWriter(b, 0, 0, 2, ' ', 0)
	if len(v.Takeoff) > 0 {
		fmt.Fprintf(t, "\nScrew takeoff. %s\n", string(v.Scope))
		fmt.Fprintln(t, "  screw\tsize\tlength\tplaces\tscrews\tspare")
	}
	for _, s := range v.Takeoff {
		fmt.Fprintf(t, "  %s\t%s\t%s\t%s\t%s\t%s\n",
			plaintext.Visible(string(s.Name)), string(s.Size), string(s.Length), string(s.Places), string(s.Count), string(s.Spare))
	}
	if len(v.Pilots) > 0 {
		fmt.Fprintln(t, "\nDrill bits for self-tapping screws")
		fmt.Fprintln(t, "  drill\tfor\tsheet\tholes")
	}
	for _, p := range v.Pilots {
		fmt.Fprintf(t, "  %s\t%s\t%s\t%s\n", string(p.Drill), string(p.Size), string(p.Sheet), string(p.Holes))
	}
	return t.Flush()
}

// printBring writes what to have along.
func printBring(b *strings.Builder, v report.LayoutView) error {
	b.WriteString("\nWhat to bring\n")
	t := tabwriter.NewWriter(b, 0, 0, 2, ' ', 0)
	for _, r := range v.Bring {
		fmt.Fprintf(t, "  %s\t%s\t%s\n", visible(r.What), visible(r.HowMuch), visible(r.For))
	}
	return t.Flush()
}
