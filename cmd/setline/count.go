package main

import (
	"errors"
	"fmt"
	"io"
	"maps"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"setline.example/report"
	"setline.example/schema"
	"setline.example/schema/plaintext"
)

func newCount() *cobra.Command {
	var o report.CountSheet
	var output, by, date string
	c := &cobra.Command{
		Use:   "count FILE -o SHEET.csv",
		Short: "Write a sheet to count a delivery on",
		Long: `Count writes the lines of packing lists that have not all come whole yet as CSV
(RFC 4180), which spreadsheets open: in the order in which the parts are carried
to their places, room, elevation, left to right; lines without a room come last.

Fill in good and damaged, and remarks; leave blank what was not counted. Then
"setline add FILE --packing-list SHEET.csv" reads it back, and "setline check"
says what is short, over or damaged before anything is set.

Exit codes: 0 the sheet is written, 2 it is not.`,
		Example: `  setline count job.json -o count.csv --by "Rosa Ibáñez" --date 2026-10-20
  setline count examples/annex/job.json --packing-list PL-2207 --all -o count.csv`,
		Args:              oneRecord,
		ValidArgsFunction: files("json"),
		RunE: func(c *cobra.Command, args []string) error {
			if !strings.EqualFold(filepath.Ext(output), ".csv") {
				return usage(c, fmt.Errorf("found output %q, expected -o with a file name ending in .csv", output))
			}
			o.By, o.On = by, date
			if date != "" {
				if _, err := dated("--date", date); err != nil {
					return err
				}
			}
			return writeCount(c, args[0], output, o)
		},
	}
	c.Flags().StringVarP(&output, "output", "o", "", "sheet to write, ending in .csv")
	c.Flags().StringVar(&o.PackingList, "packing-list", "", "number of the packing list; all without it")
	c.Flags().BoolVar(&o.All, "all", false, "lines too of which all came whole")
	c.Flags().StringVar(&by, "by", "", "who counts, filled in on every line")
	c.Flags().StringVar(&date, "date", "", "on what day, YYYY-MM-DD, filled in on every line")
	completes(c, "packing-list", func(_ *cobra.Command, args []string) []string {
		rec := recordOf(args)
		if rec == nil {
			return nil
		}
		return slices.Sorted(maps.Keys(rec.Arrived.PackingLists))
	})
	return c
}

func writeCount(c *cobra.Command, path, output string, o report.CountSheet) error {
	rec, _, err := read(path, c.InOrStdin())
	if err != nil {
		return err
	}
	known := slices.Sorted(maps.Keys(rec.Arrived.PackingLists))
	switch {
	case len(known) == 0:
		return hinted{fmt.Errorf("%s: found no packing list, expected one to count against", path), `bring it in with "setline add --packing-list"`}
	case o.PackingList != "" && !slices.Contains(known, o.PackingList):
		mend := ""
		if near := schema.Nearest(o.PackingList, known); near != "" {
			mend = fmt.Sprintf("write %q if that is meant", near)
		}
		return hinted{fmt.Errorf("%s: --packing-list: found %q, expected one of %s", path, o.PackingList, strings.Join(known, ", ")), mend}
	}
	lines := 0
	err = writeFile(c.ErrOrStderr(), output, []string{path}, func(w io.Writer) (err error) {
		if lines, err = report.CountCSV(w, rec, o); err == nil && lines == 0 {
			return hinted{errors.New("found no line left to count, expected one that has not all come whole"), "with --all the sheet has every line"}
		}
		return err
	})
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(c.OutOrStdout(), "%s: %s to count\n", plaintext.Visible(output), plaintext.Count(lines, "line"))
	return told(output, err)
}
