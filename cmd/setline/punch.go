package main

import (
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"
	"setline.example/checks"
	"setline.example/report"
)

func newPunch() *cobra.Command {
	var output string
	var all bool
	c := &cobra.Command{
		Use:   "punch FILE",
		Short: "Write the punch list as CSV",
		Long: `Punch writes what is left to put right or to look at as CSV (RFC 4180), which
spreadsheets open: number, room, place, rule, result, what was found, value,
limit, source, what to do, and since which visit. Faults come first and keep
their numbers from one visit to the next. What nobody observed has none: it is
counted in one row for each room, and listed with --all. A list that has the
output's name and that somebody wrote into is kept beside it as NAME-former.

Exit codes: 0 nothing is left, 1 something is, 2 the record cannot be used.`,
		Example: `  setline punch examples/annex/job.json
  setline punch examples/annex/job.json -o punch.csv`,
		ValidArgsFunction: files("json"),
		Args:              oneRecord,
		RunE: func(c *cobra.Command, args []string) error {
			if output != "" && !strings.EqualFold(filepath.Ext(output), ".csv") {
				return usage(c, fmt.Errorf("found output %q, expected a file name ending in .csv", output))
			}
			found, src, err := load(args[0], c.InOrStdin())
			if err != nil {
				return err
			}
			faults, err := checks.History(found.Record, src)
			if err != nil {
				return err
			}
			write := func(w io.Writer) error { return report.PunchCSV(w, found, faults, all) }
			if output == "" {
				return settled(found.Ready(), write(c.OutOrStdout()))
			}
			return settled(found.Ready(), writeBeside(c.ErrOrStderr(), output, args, noted(write), write))
		},
	}
	c.Flags().StringVarP(&output, "output", "o", "", "file to write instead of standard output, ending in .csv")
	c.Flags().BoolVar(&all, "all", false, "list everything that nobody observed, too")
	return c
}
