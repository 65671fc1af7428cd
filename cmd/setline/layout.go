package main

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"
	"setline.example/checks"
	"setline.example/report"
	"setline.example/schema/plaintext"
)

func newLayout() *cobra.Command {
	var output, room, elevation string
	var turns, cuts, tops bool
	var flags documentFlags
	c := &cobra.Command{
		Use:   "layout FILE",
		Short: "Turn floor readings into a set height and leveler extensions",
		Long: `Layout computes, for every elevation, what a lead installer needs before
setting: the floor's high point, low point, fall and flatness, the set height,
extension and bolt turns for every corner, which corners are out of travel and
what would serve, how the run closes and its fillers are cut, the work height,
whether one height serves a room, and the screw takeoff of the job. It needs no
more than the plan, the floor readings and the clear opening.

It prints text; with -o it writes a sheet, .pdf, .html or .md. With --cuts it
tells of the fillers alone, a page for each: how wide at the floor, half way up
and at the tops, what is cut off, and both diagonals.

Once tops were read, it also says which bolts to turn, which way and how far,
so that every run comes within level, set height, plane and twist. With --turns
it prints that alone, a line for each bolt: A1 back-right up 1 1/4.

With --tops it makes the release page instead, where tops are planned: how each
will rest, the gap and the shim at every corner, what is to be settled before,
who released it, and a place to sign.

Exit codes: 0 every elevation is ready to set (with --turns: there is nothing
to turn; with --tops: tops can be laid), 1 something is to be settled first, or
turned, 2 the record cannot be used.`,
		Example: `  setline layout examples/annex/job.json
  setline layout examples/annex/job.json --room S-104 --elevation A -o layout.pdf
  setline layout examples/annex/job.json --turns
  setline layout examples/annex/job.json --cuts -o cuts.pdf
  setline layout examples/annex/job.json --tops -o release.pdf`,
		ValidArgsFunction: files("json"),
		Args:              oneRecord,
		RunE: func(c *cobra.Command, args []string) error {
			var write func(*report.Report, io.Writer) error
			if tops && (turns || cuts) {
				return usage(c, errors.New("found --tops with --turns or --cuts, expected one of them"))
			}
			if turns && output != "" {
				return usage(c, errors.New("found --turns with -o, expected one of them: the sheet has what to turn too"))
			}
			if turns && cuts {
				return usage(c, errors.New("found --turns with --cuts, expected one of them"))
			}
			if output != "" {
				var err error
				if write, err = writerFor(output); err != nil {
					return usage(c, err)
				}
			}
			found, src, o, err := document(c, args[0], flags)
			if err != nil {
				return err
			}
			keep, err := elevations(found, room, elevation)
			if err != nil {
				return usage(c, err)
			}
			make := report.NewLayout
			switch {
			case cuts && write == nil:
				v := report.NewCutsView(found, keep)
				return settled(v.Ready, printCuts(c.OutOrStdout(), v))
			case tops && write == nil:
				v := report.NewReleaseView(found, keep)
				return settled(v.Ready, printRelease(c.OutOrStdout(), v))
			case write == nil:
				v := report.NewLayoutView(found, keep)
				if turns {
					return settled(!v.Turning(), printTurns(c.OutOrStdout(), v))
				}
				return settled(v.Ready, printLayout(c.OutOrStdout(), v))
			case cuts:
				make = report.NewCuts
			case tops:
				make = report.NewRelease
			}
			r, err := make(found, src.Data, o, keep)
			if err != nil {
				return err
			}
			err = writeFile(c.ErrOrStderr(), output, args, func(w io.Writer) error { return write(r, w) })
			return settled(r.Ready(), err)
		},
	}
	c.Flags().StringVarP(&output, "output", "o", "", "file to write, ending in .pdf, .html or .md, instead of text")
	c.Flags().StringVar(&room, "room", "", "only this room")
	c.Flags().StringVar(&elevation, "elevation", "", "only elevations of this name")
	c.Flags().BoolVar(&turns, "turns", false, "print what to turn, and nothing else")
	c.Flags().BoolVar(&cuts, "cuts", false, "only how the fillers are cut, a page for each")
	c.Flags().BoolVar(&tops, "tops", false, "the release page for tops instead")
	addDocumentFlags(c, &flags)
	return c
}

// settled is the error of a command that did its work, if it did.
func settled(ready bool, err error) error {
	if err == nil && !ready {
		return errNotReady
	}
	return err
}

// elevations returns which elevations to keep. Naming one that is not planned
// is an error.
func elevations(found *checks.Findings, room, elevation string) (func(r, e string) bool, error) {
	keep := func(r, e string) bool { return (room == "" || r == room) && (elevation == "" || e == elevation) }
	var planned []string
	for _, r := range found.Record.Planned.Rooms {
		for _, e := range r.Elevations {
			if keep(r.Name, e.Name) {
				return keep, nil
			}
			planned = append(planned, fmt.Sprintf("%s elevation %s", r.Name, e.Name))
		}
	}
	asked := ""
	for _, flag := range []struct{ name, value string }{{"room", room}, {"elevation", elevation}} {
		if flag.value != "" && asked == "" {
			asked = " for"
		}
		if flag.value != "" {
			asked += fmt.Sprintf(" --%s %q", flag.name, flag.value)
		}
	}
	return nil, fmt.Errorf("found no elevation%s, expected one of %s", asked, strings.Join(planned, ", "))
}

// printLayout writes a layout as text.
func printLayout(w io.Writer, v report.LayoutView) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s %s\n", v.Answer, v.Summary)
	for _, e := range v.Elevations {
		printOneHeight(&b, e.OneHeight)
		fmt.Fprintf(&b, "\n%s, elevation %s\n", plaintext.Visible(string(e.Room)), plaintext.Visible(string(e.Name)))
		if !e.Surveyed {
			b.WriteString("  floor not observed\n")
		}
		for _, f := range e.Facts {
			fmt.Fprintf(&b, "  %s: %s\n", f.Name, plaintext.Visible(string(f.Value)))
		}
		if len(e.Corners) > 0 {
			t := tabwriter.NewWriter(&b, 0, 0, 2, ' ', 0)
			fmt.Fprintln(t, "  cabinet\tcorner\talong\tfloor\textension\tturns\tleft\t")
			for _, c := range e.Corners {
				fmt.Fprintf(t, "  %s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\n",
					plaintext.Visible(string(c.Cabinet)), string(c.Corner), string(c.Along), string(c.Floor), string(c.Extension), string(c.Turns), string(c.Left), string(c.Say))
			}
			if err := t.Flush(); err != nil {
				return err
			}
		}
		for _, t := range e.Turns {
			fmt.Fprintf(&b, "  what to turn, %s: %s\n", plaintext.Visible(string(t.Of)), plaintext.Visible(string(t.Said())))
		}
		for _, cut := range e.Cuts {
			printSays(&b, "  ", cut.Title, cut.Says)
		}
		for _, r := range e.Open {
			fmt.Fprintf(&b, "  %s  %s: %s\n", string(r.Outcome), string(r.Rule), plaintext.Visible(string(r.Finding)))
			if r.Remedy != "" {
				fmt.Fprintf(&b, "      to do: %s\n", plaintext.Visible(string(r.Remedy)))
			}
		}
	}
	if err := printTakeoff(&b, v); err != nil {
		return err
	}
	for line := range strings.Lines(b.String()) {
		if _, err := fmt.Fprintln(w, strings.TrimRight(line, " \n")); err != nil {
			return err
		}
	}
	return nil
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
		fmt.Fprintln(t, "\nScrew takeoff for the whole job")
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

// oneRecord asks for one file.
func oneRecord(c *cobra.Command, args []string) error {
	if len(args) != 1 {
		return usage(c, errors.New("found "+plaintext.Count(len(args), "file")+", expected one job record"))
	}
	return nil
}
