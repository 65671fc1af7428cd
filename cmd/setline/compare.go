package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"setline.example/checks"
	"setline.example/checks/compare"
	"setline.example/schema"
	"setline.example/schema/plaintext"
)

func newCompare() *cobra.Command {
	var visits, since, format string
	var all bool
	c := &cobra.Command{
		Use:   "compare OLD NEW",
		Short: "Say what changed between two records, or two visits of one",
		Long: `Compare says what changed from one record of a job to another, or within one
record from one visit to another: the verdict of every room; what is planned
otherwise; what arrived; how far top corners moved, and how well that is known;
faults that were opened and closed, by their numbers; results whose outcome
changed; what was observed, first, again, or corrected; and what was agreed.
"-" reads standard input.

--visits 2,4 compares what one record held after its second visit with what it
held after its fourth, in time order as the report counts them; 0 is before
any visit. --since 2026-09-20 tells what came on that date or later. Counts of
parts and concessions belong to their dates; what has no date, the plan and
open items, is taken as it is now.

Exit codes: 0 nothing changed, 1 something changed, 2 a record cannot be used.`,
		Example: `  setline compare monday.json friday.json
  setline compare examples/annex/job.json --visits 2,4
  setline compare examples/annex/job.json --since 2026-09-20 --format json`,
		ValidArgsFunction: files("json"),
		Args: func(c *cobra.Command, args []string) error {
			within := visits != "" || since != ""
			switch {
			case visits != "" && since != "":
				return usage(c, errors.New("found both --visits and --since, expected one of the two"))
			case within && len(args) != 1:
				return usage(c, fmt.Errorf("found %s, expected one job record with --visits or --since", plaintext.Count(len(args), "file")))
			case !within && len(args) != 2:
				return usage(c, fmt.Errorf("found %s, expected two job records, or one with --visits or --since", plaintext.Count(len(args), "file")))
			case len(args) == 2 && args[0] == stdinName && args[1] == stdinName:
				return usage(c, errors.New(`found "-" twice, expected standard input for one record only`))
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			if err := knownFormat(format); err != nil {
				return usage(c, err)
			}
			then, now, err := twoSides(c, args, visits, since)
			if err != nil {
				return err
			}
			found, err := compare.Compare(then.Known, now.Known)
			if err != nil {
				return err
			}
			if format == "json" {
				err = compareJSON(c.OutOrStdout(), then.name, now.name, found)
			} else {
				err = printComparison(plaintext.Lines(c.OutOrStdout()), then.name, now.name, found, all)
			}
			return settled(found.Same(), err)
		},
	}
	c.Flags().StringVar(&visits, "visits", "", `two visits of one record, by their numbers in time order: "2,4"`)
	c.Flags().StringVar(&since, "since", "", "compare one record with what it held before this date, YYYY-MM-DD")
	c.Flags().BoolVar(&all, "all", false, "list every observation and result, not only how many there are")
	addFormatFlag(c, &format)
	return c
}

// aSide is one of the two that are compared, and how it is called.
type aSide struct {
	checks.Known
	name string
}

func twoSides(c *cobra.Command, args []string, visits, since string) (then, now aSide, err error) {
	rec, src, err := read(args[0], c.InOrStdin())
	if err != nil {
		return then, now, err
	}
	switch {
	case visits != "":
		a, b, err := visitNumbers(visits, len(rec.Measured.Visits))
		if err != nil {
			return then, now, usage(c, err)
		}
		side := func(n int) aSide { return aSide{checks.KnownAfter(rec, src, n), args[0] + " " + afterVisit(rec, n)} }
		return side(a), side(b), nil
	case since != "":
		if _, err := time.Parse(time.DateOnly, since); err != nil {
			return then, now, usage(c, fmt.Errorf("found --since %q, expected a date written YYYY-MM-DD", since))
		}
		then = aSide{checks.KnownBefore(rec, src, schema.Date(since)), args[0] + " before " + since}
		return then, aSide{checks.AllKnown(rec, src), args[0] + " " + afterVisit(rec, len(rec.Measured.Visits))}, nil
	}
	later, laterSrc, err := read(args[1], c.InOrStdin())
	if err != nil {
		return then, now, err
	}
	return aSide{checks.AllKnown(rec, src), args[0]}, aSide{checks.AllKnown(later, laterSrc), args[1]}, nil
}

// visitNumbers reads "2,4".
func visitNumbers(text string, most int) (a, b int, err error) {
	first, second, found := strings.Cut(text, ",")
	a, err1 := strconv.Atoi(strings.TrimSpace(first))
	b, err2 := strconv.Atoi(strings.TrimSpace(second))
	if !found || err1 != nil || err2 != nil || min(a, b) < 0 || max(a, b) > most {
		return 0, 0, fmt.Errorf(`found --visits %q, expected two numbers from 0 to %d, the visits of the record, such as "1,2"`, text, most)
	}
	return a, b, nil
}

func afterVisit(rec *schema.Record, n int) string {
	if n == 0 {
		return "before any visit"
	}
	order := rec.Measured.VisitsInTime()
	return fmt.Sprintf("after visit %d, %s", n, rec.Measured.Visits[order[n-1]].Date)
}

// compareJSON writes a comparison in its machine form version 1.
func compareJSON(w io.Writer, then, now string, found *compare.Comparison) error {
	return writeJSON(w, struct {
		Format  int    `json:"setline_comparison"`
		From    string `json:"from"`
		To      string `json:"to"`
		Same    bool   `json:"same"`
		SameJob bool   `json:"same_job"`
		*compare.Comparison
	}{1, then, now, found.Same(), found.SameJob(), found})
}

func writeJSON(w io.Writer, value any) error {
	text, err := json.MarshalIndent(value, "", "  ")
	if err != nil {
		return err
	}
	_, err = w.Write(append(plaintext.JSON(text), '\n'))
	return err
}

func knownFormat(format string) error {
	if format != "text" && format != "json" {
		return fmt.Errorf("found --format %q, expected text or json", format)
	}
	return nil
}

func addFormatFlag(c *cobra.Command, format *string) {
	c.Flags().StringVar(format, "format", "text", "text or json")
}
