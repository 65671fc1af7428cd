package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"setline.example/schema"
	"setline.example/schema/intake"
	"setline.example/schema/plaintext"
	"setline.example/schema/table"
)

// intakeFlags are the flags of the commands that bring tables into a record.
type intakeFlags struct {
	units, tops, packingList, floor, instruments, screws string
	date, purpose, role, firm, checks                    string
	by, instrument, asRead, leaveOut                     []string
	skipBadRows                                          bool
}

func addIntakeFlags(c *cobra.Command, f *intakeFlags) {
	c.Flags().StringVar(&f.units, "units", "", "table of units as drawn")
	c.Flags().StringVar(&f.tops, "tops", "", "table of the tops that will lie on the cabinets, piece by piece")
	c.Flags().StringVar(&f.packingList, "packing-list", "", "table of packing lists and what was counted against them")
	c.Flags().StringVar(&f.floor, "floor", "", "table of floor readings and set-height marks; --date and --by say when and by whom")
	c.Flags().StringVar(&f.instruments, "instruments", "", "table of instruments")
	c.Flags().StringVar(&f.screws, "screws", "", "table of screws")
	c.Flags().StringVar(&f.date, "date", "", "date on which the floor was read, YYYY-MM-DD")
	c.Flags().StringArrayVar(&f.by, "by", nil, `who read the floor, "NAME" or "NAME, ROLE, FIRM"; may be given more than once`)
	c.Flags().StringVar(&f.role, "role", "", "the part they play: installer, inspector, contractor, other")
	c.Flags().StringVar(&f.firm, "firm", "", "the firm they act for")
	c.Flags().StringVar(&f.purpose, "purpose", "floor survey", "what the visit was for")
	c.Flags().StringArrayVar(&f.instrument, "instrument", nil, `instrument the floor was read with, such as "line laser checked 2026-09-04"; may be given more than once`)
	c.Flags().StringVar(&f.checks, "checks", "", "table of the instruments the floor was read with, their checks and two-peg tests")
	c.Flags().StringArrayVar(&f.leaveOut, "leave-out", nil, "heading of a column of a table that is not to be read, such as notes; may be given more than once")
	c.Flags().StringArrayVar(&f.asRead, "as-read", nil, "row whose doubted reading stands, named as the message names it (FILE:LINE); may be given more than once")
	c.Flags().BoolVar(&f.skipBadRows, "skip-bad-rows", false, "leave out rows that have problems, and list them")
}

// any reports whether a table is named.
func (f *intakeFlags) any() bool {
	return f.units+f.tops+f.packingList+f.floor+f.instruments+f.screws != ""
}

// input reads the tables. Problems of all of them come together.
func (f *intakeFlags) input(c *cobra.Command) (in intake.Input, err error) {
	visit, err := f.visit(c)
	if err != nil {
		return in, err
	}
	in.Visit, in.AsRead, in.Doubts = visit, f.asRead, doubtedReadings
	var problems []error
	for _, t := range []struct {
		path    string
		columns []table.Column
		to      **table.Table
	}{
		{f.instruments, intake.InstrumentColumns(), &in.Instruments},
		{f.screws, intake.ScrewColumns(), &in.Screws},
		{f.units, intake.UnitColumns(), &in.Units},
		{f.tops, intake.TopColumns(), &in.Tops},
		{f.packingList, intake.PackingColumns(), &in.PackingList},
		{f.checks, intake.CheckColumns(), &in.Checks},
		{f.floor, intake.FloorColumns(), &in.Floor},
	} {
		if t.path == "" {
			continue
		}
		got, err := readTable(t.path, t.columns, f.leaveOut...)
		if err != nil {
			problems = append(problems, err)
		}
		*t.to = got
	}
	return in, errors.Join(problems...)
}

func (f *intakeFlags) visit(c *cobra.Command) (v intake.Visit, err error) {
	if f.floor == "" {
		for _, name := range []string{"date", "by", "role", "firm", "purpose", "instrument", "checks", "as-read"} {
			if c.Flags().Changed(name) {
				return v, usage(c, fmt.Errorf("found --%s without --floor, expected floor readings that it says something of", name))
			}
		}
		return v, nil
	}
	if !intake.IsDate(f.date) || len(f.by) == 0 {
		return v, usage(c, fmt.Errorf("found --floor with --date %q and %s, expected --date YYYY-MM-DD and --by with a name, since a reading without day and reader proves nothing", f.date, plaintext.Count(len(f.by), "reader")))
	}
	v.Date, v.Purpose = f.date, f.purpose
	for _, name := range f.by {
		p, err := person("--by", name)
		if err != nil {
			return v, err
		}
		v.People = append(v.People, schema.Party{Name: p.Name, Role: orWord(p.Role, f.role), Firm: orWord(p.Firm, f.firm)})
	}
	for _, text := range f.instrument {
		in, err := intake.ParseInstrument(text)
		if err != nil {
			return v, usage(c, err)
		}
		v.Instruments = append(v.Instruments, in)
	}
	return v, nil
}

func readTable(path string, columns []table.Column, leaveOut ...string) (*table.Table, error) {
	// A sheet of a workbook is named behind its file: "job.xlsx#units".
	file := path
	if i := strings.LastIndexByte(path, '#'); i >= 0 && strings.EqualFold(filepath.Ext(path[:i]), ".xlsx") && !here(path) {
		file = path[:i]
	}
	data, err := readFile(file, tableFile)
	if err != nil {
		return nil, err
	}
	return table.Read(path, data, columns, leaveOut...)
}

// withRows adds to the problems of tables that cannot be read those of the rows
// of all others, so that all come in one go.
func (f *intakeFlags) withRows(base intake.Base, in intake.Input, unread error) error {
	if f.units != "" && in.Units == nil {
		in.Floor = nil // of rooms that nobody can know
	}
	_, err := intake.Bring(base, in, false)
	var rows schema.Problems
	errors.As(err, &rows)
	rows = slices.DeleteFunc(rows, func(p schema.Problem) bool { return p.Words == "" })
	if len(rows) == 0 {
		return unread
	}
	return errors.Join(unread, rows)
}

// bring adds what the tables hold to base and lists what was skipped.
func (f *intakeFlags) bring(base intake.Base, in intake.Input, stderr io.Writer) (*intake.Outcome, error) {
	out, err := intake.Bring(base, in, f.skipBadRows)
	var problems schema.Problems
	if errors.As(err, &problems) {
		mend := "put the rows right, or leave bad ones out with --skip-bad-rows"
		if unplannedInstruments(problems) {
			mend = "put all of that right"
		}
		if !f.skipBadRows {
			return nil, errors.Join(err, hinted{fmt.Errorf("%s: nothing was written", base.Name), mend})
		}
	}
	if err != nil {
		return nil, err
	}
	if out.Rows > 0 {
		say(stderr, out.Skipped)
		say(stderr, fmt.Errorf("%s skipped", plaintext.Count(out.Rows, "row")))
	}
	return out, nil
}

// unplannedInstruments tells of instruments of --instrument that nobody planned how they
// are planned; it reports whether there are any.
func unplannedInstruments(problems schema.Problems) (some bool) {
	for i := range problems {
		p := &problems[i]
		steps := schema.Steps(p.Pointer)
		if p.Words != "" || p.Kind != schema.Unknown || len(steps) != 5 || steps[3] != "instruments" {
			continue
		}
		some, p.Words, p.Pointer = true, "--instrument", ""
		p.Mend += ", or bring it along in a table with --instruments"
	}
	return some
}

// sayAdded says what was added to the record named path.
func sayAdded(w io.Writer, path string, added []string) error {
	what := "nothing new"
	if len(added) > 0 {
		what = "added " + strings.Join(added, ", ")
	}
	_, err := fmt.Fprintf(w, "%s: %s\n", plaintext.Visible(path), plaintext.Visible(what))
	return err
}

// here reports whether a file of that name is there, a link that leads nowhere too.
func here(path string) bool {
	_, err := os.Lstat(path)
	return err == nil
}
