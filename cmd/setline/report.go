package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"setline.example/checks"
	"setline.example/report"
	"setline.example/report/pdf"
	"setline.example/schema"
	"setline.example/schema/length"
	"setline.example/schema/plaintext"
)

func newReport() *cobra.Command {
	var output string
	var flags documentFlags
	var rooms []string
	c := &cobra.Command{
		Use:   "report FILE -o OUTPUT",
		Short: "Write the turnover report of a record, as PDF, HTML or Markdown",
		Long: `Report holds a job record against the rules and writes the turnover report. The
ending of the output says the format: .pdf, .html or .md. The record itself travels in
the PDF as an attachment. A record that is not ready gives a report too, which
says NOT READY on its first page.

With --room it hands over the rooms named and no other: it says which others the
job has, its answer is of the rooms named, and so are signatures. The record
inside is the whole one, as ever.

The report is dated with --date, else with SOURCE_DATE_EPOCH where that is set,
else with today. The same record, date and version give the same bytes. A PDF
that has the output's name and is not as Setline wrote it, such as a signed
report, is kept beside it as NAME-former.

Exit codes: 0 every room that it hands over is ready, 1 the report is written
and says NOT READY, 2 the record cannot be used, and nothing is written.`,
		Example: `  setline report examples/annex/job.json -o turnover.pdf
  setline report examples/metric/job.json -o turnover.md --date 2026-10-02
  setline report examples/annex/job.json -o S-104.pdf --room S-104`,
		ValidArgsFunction: files("json"),
		Args:              oneRecord,
		RunE: func(c *cobra.Command, args []string) error {
			write, err := writerFor(output)
			if err != nil {
				return usage(c, err)
			}
			found, src, o, err := document(c, args[0], flags)
			if err != nil {
				return err
			}
			if o.Covers, err = report.Cover(found.Record, rooms); err != nil {
				return hinted{fmt.Errorf("%s: %w", plaintext.Visible(args[0]), err), "name a room as the record does, or leave --room out to hand over all"}
			}
			faults, err := checks.History(found.Record, src)
			if err != nil {
				return err
			}
			r, err := report.New(found, faults, src.Data, o)
			if err != nil {
				return err
			}
			if err := writeFile(c.ErrOrStderr(), output, args, func(w io.Writer) error { return write(r, w) }); err != nil {
				return err
			}
			if !r.Ready() {
				fmt.Fprintf(c.ErrOrStderr(), "setline: %s: %s; the report is in %s\n", plaintext.Visible(args[0]), o.Covers.Answer(false), plaintext.Visible(output))
				return errNotReady
			}
			return nil
		},
	}
	c.Flags().StringVarP(&output, "output", "o", "", "file to write, ending in .pdf, .html or .md")
	c.Flags().StringArrayVar(&rooms, "room", nil, "hand over this room only; may be given again for more")
	addDocumentFlags(c, &flags)
	return c
}

// document loads a record and settles how a document of it is made.
func document(c *cobra.Command, path string, flags documentFlags) (found *checks.Findings, src *schema.Source, o report.Options, err error) {
	o.Version = version()
	if o.Date, err = reportDate(flags.date); err != nil {
		return nil, nil, o, usage(c, err)
	}
	if o.Letterhead, err = letterhead(flags.templates); err != nil {
		return nil, nil, o, err
	}
	if found, src, err = load(path, c.InOrStdin()); err != nil {
		return nil, nil, o, err
	}
	if path != stdinName {
		// Nothing outside the record's folder can be named by a record.
		root, err := os.OpenRoot(filepath.Dir(path))
		if err != nil {
			return nil, nil, o, err
		}
		defer root.Close()
		o.Photos = report.LoadPhotos(found.Record, root.FS())
	}
	if o.Paper, err = paperFor(flags.paper, found); err != nil {
		return nil, nil, o, usage(c, err)
	}
	return found, src, o, nil
}

// documentFlags are the flags of every command that makes a document.
type documentFlags struct{ date, paper, templates string }

// letterhead reads a folder of templates, "" for none.
func letterhead(folder string) (*report.Letterhead, error) {
	if folder == "" {
		return nil, nil
	}
	// Opening a pipe would wait for whoever writes to it.
	if info, err := os.Stat(folder); err == nil && !info.IsDir() {
		return nil, hinted{fmt.Errorf("%s: cannot be opened: found %s, expected a folder", folder, kindOfEntry(info)), "name a folder with --templates"}
	}
	root, err := os.OpenRoot(folder)
	if err != nil {
		return nil, hinted{fmt.Errorf("%s: cannot be opened: %w", folder, err), "name a folder with --templates"}
	}
	defer root.Close()
	l, err := report.NewLetterhead(root.FS())
	if err != nil {
		return nil, hinted{fmt.Errorf("%s: %w", folder, err), "mend or remove that file"}
	}
	return l, nil
}

func addDocumentFlags(c *cobra.Command, f *documentFlags) {
	c.Flags().StringVar(&f.templates, "templates", "", "folder with templates and a logo of your own")
	c.Flags().StringVar(&f.date, "date", "", "date of the document, YYYY-MM-DD")
	c.Flags().StringVar(&f.paper, "paper", "", `"letter" or "a4"; without it, letter for records in inches and A4 for metric ones`)
}

// writerFor picks the format by the ending of the output's name.
func writerFor(output string) (func(*report.Report, io.Writer) error, error) {
	switch strings.ToLower(filepath.Ext(output)) {
	case ".pdf":
		return (*report.Report).PDF, nil
	case ".md":
		return (*report.Report).Markdown, nil
	case ".html":
		return (*report.Report).HTML, nil
	}
	if output == "" {
		return nil, errors.New("found no output, expected -o with a file name ending in .pdf, .html or .md")
	}
	return nil, fmt.Errorf("found output %q, expected a file name ending in .pdf, .html or .md", output)
}

// reportDate is the date given, else that of SOURCE_DATE_EPOCH
// (reproducible-builds.org), else today's in UTC.
func reportDate(given string) (time.Time, error) {
	if given != "" {
		date, err := time.Parse(time.DateOnly, given)
		if err != nil {
			return time.Time{}, fmt.Errorf("found --date %q, expected a date written YYYY-MM-DD", given)
		}
		return date, nil
	}
	if epoch := os.Getenv("SOURCE_DATE_EPOCH"); epoch != "" {
		seconds, err := strconv.ParseInt(epoch, 10, 64)
		if err != nil || seconds < 0 || seconds > 253402300799 { // the end of the year 9999
			return time.Time{}, fmt.Errorf("found SOURCE_DATE_EPOCH %q, expected whole seconds since 1970", epoch)
		}
		return time.Unix(seconds, 0).UTC().Truncate(24 * time.Hour), nil
	}
	return time.Now().UTC().Truncate(24 * time.Hour), nil
}

func paperFor(given string, found *checks.Findings) (pdf.Paper, error) {
	switch given {
	case "":
		if found.Record.Planned.LengthsIn == length.Metric {
			return pdf.A4, nil
		}
		return pdf.Letter, nil
	case string(pdf.Letter), string(pdf.A4):
		return pdf.Paper(given), nil
	}
	return "", fmt.Errorf("found --paper %q, expected letter or a4", given)
}
