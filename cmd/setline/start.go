package main

import (
	"bufio"
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"maps"
	"os"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"golang.org/x/term"
	"setline.example/schema"
	"setline.example/schema/intake"
	"setline.example/schema/length"
	"setline.example/schema/table"
)

// startFlags are what start is told of the job.
type startFlags struct {
	intakeFlags
	output    string
	project   schema.Project
	spec      string
	lengths   string
	body      map[string]*string // lengths that all cabinets share, by flag
	gauge     int
	threads   int
	signs     map[string]*string // who signs, as "NAME, FIRM" or "NAME", by part
	firstUnit map[string]*string // the first unit, where no table gives units, by column
}

// bodyFlags are the flags for what all cabinets share.
var bodyFlags = []struct{ name, says string }{
	{"height", "height of every cabinet's body, without levelers and top"},
	{"depth", "depth of every cabinet"},
	{"front-rail-depth", "depth of every cabinet's vertical front rail"},
	{"leveler-least", "extension of every leveler with its bolt fully in"},
	{"leveler-greatest", "greatest extension of every leveler"},
	{"leveler-pitch", "pitch of every leveler's bolt, where it is metric"},
	{"leveler-reserve", "how far every leveler must still be able to come down"},
	{"width-tolerance", "how much wider or narrower every cabinet may come"},
}

// signRoles are those who sign, in the order of signing.
var signRoles = []string{"inspector", "installer", "contractor"}

// unitFlags are the flags for a first unit, by the column of the table of
// units that each stands for.
var unitFlags = []struct{ name, says string }{
	{"room", "room of a first unit, where there is no --units"},
	{"elevation", "its elevation"},
	{"tag", "its tag"},
	{"part", "its part number"},
	{"kind", "what it is: cabinet or filler"},
	{"width", "its width"},
	{"front", `its front, such as "1 drawer / 2 doors"`},
}

func newStart() *cobra.Command {
	flags := startFlags{body: map[string]*string{}, signs: map[string]*string{}, firstUnit: map[string]*string{}}
	c := &cobra.Command{
		Use:   "start -o FILE",
		Short: "Begin a job record from spreadsheets, or from a few answers",
		Long: `Start writes a new job record from what it is told of the job and from tables,
as spreadsheets save them (.xlsx, or CSV: commas, semicolons or tabs): units as drawn,
instruments, screws, packing lists, floor readings. README.md lists their
headings. What all cabinets share is given once, by --height and its like; who
signs, which the report then names, by --sign-inspector and its like. At a
terminal, without --name, it asks. A record needs a room with a unit: without
--units, name a first one. It never overwrites a file, and writes nothing until
every row is right, or --skip-bad-rows is given.

Exit codes: 0 the record is written, 2 a table or the call is wrong.`,
		Example: `  setline start -o job.json --name "Science Annex" --height "34 in" --depth "22 in" --leveler-least "1/2 in" --leveler-greatest "2 in" --units examples/annex/csv/units.csv
  setline start -o room.json --name "Store" --room S-1 --elevation A --tag A1 --part F3 --kind filler --width "3 in"`,
		Args: noArgs,
		RunE: func(c *cobra.Command, _ []string) error { return flags.run(c) },
	}
	addIntakeFlags(c, &flags.intakeFlags)
	c.Flags().StringVarP(&flags.output, "output", "o", "", "record to write")
	c.Flags().StringVar(&flags.project.Name, "name", "", "name of the job")
	c.Flags().StringVar(&flags.project.Number, "number", "", "job number")
	c.Flags().StringVar(&flags.project.Address, "address", "", "where the building stands")
	c.Flags().StringVar(&flags.project.Installer, "installer", "", "firm that installs the cabinets")
	c.Flags().StringVar(&flags.project.Contractor, "contractor", "", "general contractor, who receives the room")
	for _, role := range signRoles {
		flags.signs[role] = c.Flags().String("sign-"+role, "", "who signs as "+role+`, "NAME" or "NAME, FIRM"`)
	}
	c.Flags().StringVar(&flags.spec, "spec-section", "", "specification section the work is done under")
	c.Flags().StringVar(&flags.lengths, "lengths", "", "how sheets and reports write lengths, in or mm; without it mm where all that are given are metric")
	for _, f := range bodyFlags {
		flags.body[f.name] = c.Flags().String(f.name, "", f.says)
	}
	c.Flags().IntVar(&flags.threads, "threads", 0, "threads per inch of every leveler's bolt")
	c.Flags().IntVar(&flags.gauge, "gauge", 0, "sheet gauge of every cabinet")
	for _, f := range unitFlags {
		flags.firstUnit[f.name] = c.Flags().String(f.name, "", f.says)
	}
	return c
}

func (f *startFlags) run(c *cobra.Command) error {
	if f.output == "" {
		return usage(c, errors.New("found no file to write, expected -o with its name"))
	}
	if here(f.output) {
		return hinted{fmt.Errorf("%s: found a file, expected none, since start begins a new record", f.output), `name another file, or add to this one with "setline add"`}
	}
	stdin := c.InOrStdin()
	if file, ok := stdin.(*os.File); f.project.Name == "" && ok && term.IsTerminal(int(file.Fd())) {
		if err := f.ask(bufio.NewReader(stdin), c.ErrOrStderr()); err != nil {
			return err
		}
	}
	if err := f.complete(c); err != nil {
		return err
	}
	rec, text, err := f.begin(c)
	if err != nil {
		return err
	}
	base := intake.Base{Name: f.output, Text: text, Record: rec}
	in, err := f.input(c)
	if err != nil {
		return f.withRows(base, in, err)
	}
	if f.units == "" {
		if in.Units, err = f.firstTable(); err != nil {
			return err
		}
	}
	out, err := f.bring(base, in, c.ErrOrStderr())
	if err != nil {
		return err
	}
	metric := false
	if f.lengths == "" {
		if out.Text, metric, err = lengthsAsWritten(out.Text); err != nil {
			return err
		}
	}
	if err := writeFresh(c.ErrOrStderr(), f.output, 0o644, out.Text); err != nil {
		return err
	}
	if metric {
		note(c.ErrOrStderr(), f.output+": sheets and reports are in mm, as all lengths here; --lengths in has them in inches")
	}
	hearClosedPipes()
	return told(f.output, sayAdded(c.OutOrStdout(), f.output, out.Added))
}

// complete says what is missing of a call.
func (f *startFlags) complete(c *cobra.Command) error {
	var missing []string
	if strings.TrimSpace(f.project.Name) == "" {
		missing = append(missing, "--name")
	}
	given := 0
	for _, name := range []string{"room", "elevation", "tag", "part", "kind", "width"} {
		if *f.firstUnit[name] != "" {
			given++
		} else if f.units == "" {
			missing = append(missing, "--"+name)
		}
	}
	switch {
	case f.units != "" && given > 0:
		return usage(c, errors.New("found --units and a first unit too, expected one of them"))
	case f.units == "" && given == 0 && len(missing) > 0:
		missing = append(missing[:len(missing)-6], "--units (or a first unit: --room, --elevation, --tag, --part, --kind, --width)")
	}
	if len(missing) > 0 {
		return usage(c, fmt.Errorf("found no %s, expected a name and at least one unit for the record", strings.Join(missing, ", ")))
	}
	return nil
}

// begin makes the record without its rooms, and its text.
func (f *startFlags) begin(c *cobra.Command) (*schema.Record, []byte, error) {
	for _, name := range slices.Sorted(maps.Keys(f.body)) {
		value := f.body[name]
		if *value == "" {
			continue
		}
		if _, err := lengthFlag(name, *value); err != nil {
			return nil, nil, err
		}
	}
	if f.lengths != "" && f.lengths != string(length.InchSystem) && f.lengths != string(length.Metric) {
		return nil, nil, usage(c, fmt.Errorf("found --lengths %q, expected in or mm", f.lengths))
	}
	if least, greatest := *f.body["leveler-least"], *f.body["leveler-greatest"]; (least == "") != (greatest == "") || f.threads != 0 && least == "" || *f.body["leveler-pitch"]+*f.body["leveler-reserve"] != "" && least == "" {
		return nil, nil, usage(c, errors.New("found part of the leveler, expected --leveler-least and --leveler-greatest, and --threads where known"))
	}
	signers := map[string]*schema.Signer{}
	for _, role := range signRoles {
		if typed := f.signs[role]; typed != nil && strings.TrimSpace(*typed) != "" {
			p, err := person("--sign-"+role, *typed)
			if err != nil {
				return nil, nil, err
			}
			signers[role] = &schema.Signer{Name: p.Name, Firm: p.Firm}
		}
	}
	return intake.Begin(intake.Job{
		SignOff: schema.SignOff{Inspector: signers["inspector"], Installer: signers["installer"], Contractor: signers["contractor"]},
		Project: f.project, SpecSection: f.spec, LengthsIn: length.System(f.lengths),
		Height: *f.body["height"], Depth: *f.body["depth"], FrontRailDepth: *f.body["front-rail-depth"], Gauge: f.gauge,
		LevelerLeast: *f.body["leveler-least"], LevelerGreatest: *f.body["leveler-greatest"], Threads: f.threads,
		LevelerPitch: *f.body["leveler-pitch"], LevelerReserve: *f.body["leveler-reserve"], WidthTolerance: *f.body["width-tolerance"],
	})
}

// firstTable is the table of units that the flags for a first unit make.
func (f *startFlags) firstTable() (*table.Table, error) {
	var text bytes.Buffer
	w := csv.NewWriter(&text)
	var head, row []string
	for _, u := range unitFlags {
		head, row = append(head, u.name), append(row, *f.firstUnit[u.name])
	}
	if err := w.WriteAll([][]string{head, row}); err != nil {
		return nil, err
	}
	return table.Read("the first unit", text.Bytes(), intake.UnitColumns())
}
