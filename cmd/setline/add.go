package main

import (
	"errors"
	"io"

	"github.com/spf13/cobra"
	"setline.example/schema/intake"
)

func newAdd() *cobra.Command {
	var flags intakeFlags
	var backup bool
	c := &cobra.Command{
		Use:   "add FILE",
		Short: "Add units, packing lists or floor readings from tables to a record",
		Long: `Add reads tables, as spreadsheets save them (.xlsx, or CSV: commas, semicolons or tabs),
and adds to the job record FILE what is new in them, in place. Everything else
in the record stays as it is, letter for letter. What the record has already is
not added again; what contradicts it is refused. Nothing is written until every
row is right, or --skip-bad-rows is given. README.md lists the headings.

Two at once on one record do not lose anything: the second waits, up to 10
seconds, and works on what the first has made.

A reading so far from those beside it that it is likely a slip is refused, with
the slip it looks like: a unit, a digit, another line. Where it stands as read,
--as-read names its row, each row by itself.

Exit codes: 0 the record has it all now, 2 a table, the record or the call is
wrong, and nothing was written; 4 the record was changed, and telling so failed.`,
		Example: `  setline add job.json --packing-list examples/annex/csv/packing-list.csv --backup
  setline add job.json --floor examples/annex/csv/floor.csv --date 2026-10-05 --by "Marek Łuczak" --role installer`,
		Args: oneRecord,
		RunE: func(c *cobra.Command, args []string) error {
			path := args[0]
			if path != stdinName && !flags.any() {
				return usage(c, errors.New("found no table, expected at least one of --units, --packing-list, --floor, --instruments, --screws"))
			}
			rec, src, release, err := readHeld(c, path)
			if err != nil {
				return err
			}
			defer release()
			base := intake.Base{Name: path, Text: src.Data, Record: rec}
			in, err := flags.input(c)
			if err != nil {
				return flags.withRows(base, in, err)
			}
			out, err := flags.bring(base, in, c.ErrOrStderr())
			if err != nil {
				return err
			}
			if len(out.Added) == 0 {
				return sayAdded(c.OutOrStdout(), path, out.Added)
			}
			return change(c, path, src.Data, out.Text, backup, func(w io.Writer) error { return sayAdded(w, path, out.Added) })
		},
	}
	addIntakeFlags(c, &flags)
	c.Flags().BoolVar(&backup, "backup", false, "keep what is replaced as FILE.bak")
	return c
}
