package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"setline.example/checks"
	"setline.example/report/fieldsheet"
	"setline.example/report/fieldsheet/collect"
	"setline.example/report/fieldsheet/filledpdf"
	"setline.example/report/fieldsheet/webpage"
	"setline.example/schema"
	"setline.example/schema/plaintext"
)

func newCollect() *cobra.Command {
	var prefer string
	var asRead []string
	var corrects correctsFlags
	var another, backup bool
	c := &cobra.Command{
		Use:   "collect RECORD SHEET...",
		Short: "Read filled field sheets back into the record",
		Long: `Collect reads field sheets that "setline sheet" wrote and that were filled in, as
PDF (.pdf), as a page (.html) or Markdown (.md), and adds what they say to the
record as a new visit. Photographs taken on a page are written beside the
record. A box left blank is not observed: it is simply not in the visit. A
number alone is in the unit beside its box; a value with a unit is taken as
written.

Sheets that "setline count" wrote to count a delivery on become counts of what
arrived, one for each packing list.

Sheets of the same date and people become one visit. Where they disagree on
something both values are shown and nothing is taken, until the sheets are
mended or --prefer says whose values count. A sheet that was collected before
adds nothing. A sheet of another job, or of a plan that has changed since, is
refused, and what differs is named.

A sheet of a visit that the record has, of the same people and day, with other
values is refused with what differs: --corrects says why it was corrected, --by
who did and --date when, and then the visit has the new values and keeps the old
ones beside them; --another-visit says that they came twice that day.

A value so far from those beside it that it is likely a slip is refused, with
the slip it looks like: a unit, a digit, another line. Where it stands as read,
--as-read names its box, each box by itself.

The record is rewritten whole or not at all, and only the lines of the new
visit are added; with --backup what was there is kept as RECORD.bak.

Two at once on one record do not lose anything: the second waits, up to 10
seconds, and works on what the first has made.

Exit codes: 0 all that the sheets say is in the record, 2 something is wrong,
and the record is as it was; 4 the record was changed, and telling so failed.`,
		Example: `  setline collect job.json sheet.pdf
  setline collect job.json left.pdf right.pdf --prefer right.pdf --backup
  setline collect job.json sheet.pdf --corrects "tape was hooked at 1 in" --by "Ingrid Sørlie, inspector" --date 2026-10-09`,
		ValidArgsFunction: files("json", "pdf", "html", "md"),
		RunE: func(c *cobra.Command, args []string) error {
			if len(args) < 2 {
				return usage(c, fmt.Errorf("found %s, expected a job record and at least one filled sheet", plaintext.Count(len(args), "file")))
			}
			correction, err := corrects.correction(c)
			if err != nil {
				return err
			}
			return collectSheets(c, args[0], args[1:], collect.Options{Prefer: prefer, AsRead: asRead, Correction: correction, Another: another}, backup)
		},
	}
	c.Flags().StringVar(&prefer, "prefer", "", "of sheets that disagree, take the values of this one")
	c.Flags().StringArrayVar(&asRead, "as-read", nil, "box whose doubted value stands, named as the message names it (FILE:BOX); may be given more than once")
	c.Flags().BoolVar(&another, "another-visit", false, "sheets of the people and day of a visit that the record has are of another visit")
	corrects.add(c, "corrects")
	c.Flags().BoolVar(&backup, "backup", false, "keep what is replaced as RECORD.bak")
	return c
}

func collectSheets(c *cobra.Command, path string, sheets []string, o collect.Options, backup bool) error {
	rec, src, release, err := readHeld(c, path)
	if err != nil {
		return err
	}
	defer release()
	asks, err := collect.Asked(rec, src)
	if err != nil {
		return err
	}
	boxes := collect.NewBoxes(asks)
	var filled, counts []*fieldsheet.Filled
	var wrong []error
	for _, name := range sheets {
		f, err := readSheet(name, boxes)
		if err != nil {
			wrong = append(wrong, err)
			continue
		}
		if f.IsDelivery() {
			counts = append(counts, f)
		} else {
			filled = append(filled, f)
		}
	}
	if len(wrong) > 0 {
		return errors.Join(wrong...)
	}
	result, err := collect.Add(rec, src, asks, filled, o)
	if err != nil {
		return err
	}
	text, counted, err := collect.AddCounts(path, result.Record, counts)
	if err != nil {
		return err
	}
	tell := func(w io.Writer) error {
		for _, line := range counted {
			if _, err := fmt.Fprintln(w, plaintext.Visible(line)); err != nil {
				return err
			}
		}
		return sayCollected(w, path, result)
	}
	if string(text) == string(src.Data) {
		return tell(c.OutOrStdout())
	}
	if err := bringPhotos(c.ErrOrStderr(), path, filled); err != nil {
		return err
	}
	result.Record = text
	err = change(c, path, src.Data, text, backup, tell)
	// What was seen may call for more than was agreed: a concession given for
	// what was found before. The record holds what was seen all the same.
	if done := (*afterDone)(nil); err != nil && !errors.As(err, &done) {
		return err
	}
	if again, src, err := schema.Read(path, result.Record); err == nil {
		if _, err := checks.Run(again, src); err != nil {
			say(c.ErrOrStderr(), err)
		}
	}
	return err
}

// bringPhotos writes the photographs that came in sheets beside the record. One
// that is there already stays; another file of that name is never overwritten.
func bringPhotos(stderr io.Writer, path string, sheets []*fieldsheet.Filled) error {
	for _, f := range sheets {
		for _, p := range f.Photos {
			to := filepath.Join(filepath.Dir(path), p.File)
			if !here(to) {
				if err := writeFresh(stderr, to, 0o644, p.Data); err != nil {
					return err
				}
				continue
			}
			if there, err := readFile(to, pictureFile); err != nil || !bytes.Equal(there, p.Data) {
				return errors.Join(err, hinted{fmt.Errorf("%s: found another file of that name beside the record (%s), expected none, since it would be overwritten", f.File, to), "move it away"})
			}
		}
	}
	return nil
}

// sayCollected says what came of the sheets.
func sayCollected(w io.Writer, path string, result *collect.Result) error {
	var b strings.Builder
	for _, a := range result.Added {
		fmt.Fprintf(&b, "%s: added the visit of %s, %s, from %s\n", plaintext.Visible(path), a.Date, plaintext.Count(a.Observations, "observation"), plaintext.Visible(strings.Join(a.Files, ", ")))
	}
	for _, a := range result.Corrected {
		fmt.Fprintf(&b, "%s: corrected %s of the visit of %s, from %s\n", plaintext.Visible(path), plaintext.Count(a.Values, "value"), a.Date, plaintext.Visible(strings.Join(a.Files, ", ")))
		for _, kept := range a.Kept {
			fmt.Fprintf(&b, "%s: %s\n", plaintext.Visible(path), plaintext.Visible(kept))
		}
	}
	for _, what := range result.Missing {
		fmt.Fprintf(&b, "%s; they stay not observed\n", plaintext.Visible(what))
	}
	for _, why := range result.Nothing {
		fmt.Fprintf(&b, "%s; nothing added\n", plaintext.Visible(why))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// sheetReader is what reads a filled sheet, by the ending of its name; nil where
// none does.
func sheetReader(name string, boxes collect.Boxes) func(string, []byte) (*fieldsheet.Filled, error) {
	switch strings.ToLower(filepath.Ext(name)) {
	case ".pdf":
		return filledpdf.Read
	case ".md":
		return func(name string, data []byte) (*fieldsheet.Filled, error) {
			return collect.ReadMarkdown(name, data, boxes)
		}
	case ".html", ".htm":
		return webpage.Read
	}
	return nil
}

func readSheet(name string, boxes collect.Boxes) (*fieldsheet.Filled, error) {
	read := sheetReader(name, boxes)
	if read == nil {
		return nil, hinted{fmt.Errorf("%s: found a name with another ending, expected a filled sheet ending in .pdf, .md or .html", name), "name the sheet as its kind is"}
	}
	data, err := readFile(name, sheetFile)
	if err != nil {
		return nil, err
	}
	return read(name, data)
}
