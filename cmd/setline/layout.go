package main

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"
	"setline.example/checks"
	"setline.example/report"
	"setline.example/schema/length"
	"setline.example/schema/plaintext"
)

func newLayout() *cobra.Command {
	var f layoutFlags
	var flags documentFlags
	c := &cobra.Command{
		Use:   "layout FILE",
		Short: "Turn floor readings into a set height and leveler extensions",
		Long: `Layout computes, for every elevation, what a lead installer needs before
setting: what stops the work, the set height, the bolt turns of every corner
and what is left of its travel, how joints are screwed and fillers cut; the
floor's high point, fall and flatness; whether one height serves a room; and
what to bring, from screws with spares to instruments that have to be checked.
It needs no more than the plan, the floor readings and the clear opening.

It prints text; with -o it writes a sheet, .pdf, .html or .md: the cautions and
what to bring, a page for each elevation to hold beside the wrench, and an
annex with the exact figures. With --cuts it tells of the fillers alone, a page
for each: how wide at the floor, half way up and at the tops, what is cut off,
and both diagonals.

With --set-height another set height is tried: so high above the floor's high
point, or with "reading" before it so far down from the reference line.
Everything follows from it, and the sheet says that it is a trial, what the
record has, and what would not hold. The record stays as it is.

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
  setline layout examples/annex/job.json --set-height "34 5/8 in"
  setline layout examples/annex/job.json --turns
  setline layout examples/annex/job.json --cuts -o cuts.pdf
  setline layout examples/annex/job.json --tops -o release.pdf`,
		ValidArgsFunction: files("json"),
		Args:              oneRecord,
		RunE: func(c *cobra.Command, args []string) error {
			if err := f.settle(); err != nil {
				return usage(c, err)
			}
			found, src, o, err := document(c, args[0], flags)
			if err != nil {
				return err
			}
			keep, err := elevations(found, f.room, f.elevation)
			if err != nil {
				return usage(c, err)
			}
			want := report.LayoutOptions{Trial: f.trial, On: o.Date}
			if f.room != "" || f.elevation != "" {
				want.Keep = keep
			}
			if err := possible(found, want); err != nil {
				return usage(c, err)
			}
			if f.write == nil {
				return f.print(c.OutOrStdout(), found, want)
			}
			r, err := f.document(found, src.Data, o, want)
			if err != nil {
				return err
			}
			err = writeFile(c.ErrOrStderr(), f.output, args, func(w io.Writer) error { return f.write(r, w) })
			return settled(r.Ready(), err)
		},
	}
	c.Flags().StringVarP(&f.output, "output", "o", "", "file to write, ending in .pdf, .html or .md, instead of text")
	c.Flags().StringVar(&f.room, "room", "", "only this room")
	c.Flags().StringVar(&f.elevation, "elevation", "", "only elevations of this name")
	c.Flags().BoolVar(&f.turns, "turns", false, "print what to turn, and nothing else")
	c.Flags().BoolVar(&f.cuts, "cuts", false, "only how the fillers are cut, a page for each")
	c.Flags().BoolVar(&f.tops, "tops", false, "the release page for tops instead")
	c.Flags().StringVar(&f.height, "set-height", "", `try another set height: so high above the high point, "34 3/4 in", or "reading 9 1/4 in"`)
	addDocumentFlags(c, &flags)
	return c
}

// layoutFlags are what is asked of a layout.
type layoutFlags struct {
	output, room, elevation, height string
	turns, cuts, tops               bool

	write func(*report.Report, io.Writer) error // nil for text
	trial *checks.SetHeight
}

// settle holds the flags against each other, and reads their values.
func (f *layoutFlags) settle() (err error) {
	switch {
	case f.tops && (f.turns || f.cuts):
		return errors.New("found --tops with --turns or --cuts, expected one of them")
	case f.turns && f.output != "":
		return errors.New("found --turns with -o, expected one of them: the sheet has what to turn too")
	case f.turns && f.cuts:
		return errors.New("found --turns with --cuts, expected one of them")
	case f.height != "" && (f.turns || f.cuts || f.tops):
		return errors.New("found --set-height with --turns, --cuts or --tops, expected it alone: the sheet has all that follows from it")
	}
	if f.trial, err = setHeight(f.height); err == nil && f.output != "" {
		f.write, err = writerFor(f.output)
	}
	return err
}

// setHeight reads a set height to try, nil for none.
func setHeight(text string) (*checks.SetHeight, error) {
	if text == "" {
		return nil, nil
	}
	rest, reading := strings.CutPrefix(strings.TrimSpace(text), "reading ")
	l, err := length.Parse(strings.TrimSpace(rest))
	if err != nil {
		return nil, fmt.Errorf("--set-height: %w", err)
	}
	return &checks.SetHeight{Length: l, Reading: reading}, nil
}

// possible refuses a set height to try at which cabinets would stand in the
// floor: most likely it is a reading.
func possible(found *checks.Findings, want report.LayoutOptions) error {
	if want.Trial == nil {
		return nil
	}
	for _, l := range checks.NewTrial(found.Record, found, *want.Trial).All() {
		if (want.Keep != nil && !want.Keep(l.Room, l.Elevation)) || l.Trial == nil || !l.Trial.Far {
			continue
		}
		sys := found.Record.Planned.LengthsIn
		return fmt.Errorf("found --set-height %q, which has the tops of %s elevation %s %s above the floor's high point, less than half a cabinet, "+
			"expected a height above the high point such as %q, or a reading such as %q",
			want.Trial.In(sys), l.Room, l.Elevation, l.Above().In(sys),
			(l.High.Down - l.Trial.Top).In(sys), "reading "+l.Trial.Top.In(sys))
	}
	return nil
}

// print prints what is asked for as text.
func (f *layoutFlags) print(w io.Writer, found *checks.Findings, want report.LayoutOptions) error {
	switch {
	case f.cuts:
		v := report.NewCutsView(found, want.Keep)
		return settled(v.Ready, printCuts(w, v))
	case f.tops:
		v := report.NewReleaseView(found, want.Keep)
		return settled(v.Ready, printRelease(w, v))
	}
	v := report.NewLayoutView(found, want)
	if f.turns {
		return settled(!v.Turning(), printTurns(w, v))
	}
	return settled(v.Ready, printLayout(w, v))
}

// document makes the document that is asked for.
func (f *layoutFlags) document(found *checks.Findings, record []byte, o report.Options, want report.LayoutOptions) (*report.Report, error) {
	switch {
	case f.cuts:
		return report.NewCuts(found, record, o, want.Keep)
	case f.tops:
		return report.NewRelease(found, record, o, want.Keep)
	}
	return report.NewLayout(found, record, o, want)
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

// oneRecord asks for one file.
func oneRecord(c *cobra.Command, args []string) error {
	if len(args) != 1 {
		return usage(c, errors.New("found "+plaintext.Count(len(args), "file")+", expected one job record"))
	}
	return nil
}
