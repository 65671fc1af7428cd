package main

import (
	"fmt"
	"io"
	"maps"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"setline.example/checks"
	"setline.example/report/fieldsheet"
	"setline.example/report/fieldsheet/paper"
	"setline.example/schema"
	"setline.example/schema/plaintext"
)

func newCount() *cobra.Command {
	var o fieldsheet.CountSheet
	var output, by, date, paperSize string
	c := &cobra.Command{
		Use:   "count FILE -o OUTPUT",
		Short: "Write a sheet to count a delivery on",
		Long: `Count writes the lines of packing lists that have not all come whole yet, in the
order in which the parts are carried to their places: room, elevation, left to
right; lines without a room come last. As PDF it can be printed, or filled in on
a tablet; as Markdown in any editor; as CSV (RFC 4180) in a spreadsheet.

Fill in what came whole, what came damaged, and remarks; leave blank what was not
counted. Then "setline collect FILE SHEET.pdf" reads it back, of a CSV "setline
add FILE --packing-list SHEET.csv", and "setline check" says what is short, over
or damaged before anything is set.

Exit codes: 0 the sheet is written, 2 it is not.`,
		Example: `  setline count job.json -o count.pdf
  setline count job.json -o count.csv --by "Rosa Ibáñez" --date 2026-10-20
  setline count examples/annex/job.json --packing-list PL-2207 --all -o count.csv`,
		Args:              oneRecord,
		ValidArgsFunction: files("json"),
		RunE: func(c *cobra.Command, args []string) error {
			kind := strings.ToLower(filepath.Ext(output))
			if !slices.Contains([]string{".csv", ".pdf", ".md"}, kind) {
				return usage(c, fmt.Errorf("found output %q, expected -o with a file name ending in .pdf, .md or .csv", output))
			}
			o.By, o.On = by, date
			if date != "" {
				if _, err := dated("--date", date); err != nil {
					return err
				}
			}
			return writeCount(c, args[0], output, o, paperSize)
		},
	}
	c.Flags().StringVarP(&output, "output", "o", "", "sheet to write, ending in .pdf, .md or .csv")
	c.Flags().StringVar(&o.PackingList, "packing-list", "", "number of the packing list; all without it")
	c.Flags().BoolVar(&o.All, "all", false, "lines too of which all came whole")
	c.Flags().StringVar(&by, "by", "", "who counts, filled in on every line")
	c.Flags().StringVar(&date, "date", "", "on what day, YYYY-MM-DD, filled in on every line")
	c.Flags().StringVar(&paperSize, "paper", "", `"letter" or "a4"; without it, letter for records in inches and A4 for metric ones`)
	return c
}

func writeCount(c *cobra.Command, path, output string, o fieldsheet.CountSheet, paperSize string) error {
	rec, src, err := read(path, c.InOrStdin())
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
	lines := fieldsheet.CarriedLines(rec, o)
	if len(lines) == 0 {
		return hinted{fmt.Errorf("%s: found no line left to count, expected one that has not all come whole", path), "with --all the sheet has every line"}
	}
	day, err := reportDate("")
	if err != nil {
		return err
	}
	size, err := paperFor(paperSize, &checks.Findings{Record: rec})
	if err != nil {
		return err
	}
	sheet := fieldsheet.NewDelivery(rec, lines, o.By, o.On, fieldsheet.Options{Date: day, Version: version()})
	write := map[string]func(io.Writer) error{
		".pdf": func(w io.Writer) error { return paper.WriteDelivery(w, sheet, size) }, ".md": sheet.Markdown,
		".csv": func(w io.Writer) error { _, err := fieldsheet.CountCSV(w, rec, o); return err },
	}[strings.ToLower(filepath.Ext(output))]
	if err := writeBeside(c.ErrOrStderr(), output, []string{path}, notCollected(output, rec, src), write); err != nil {
		return err
	}
	_, err = fmt.Fprintf(c.OutOrStdout(), "%s: %s to count\n", plaintext.Visible(output), plaintext.Count(len(lines), "line"))
	return told(output, err)
}
