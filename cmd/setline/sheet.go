package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"
	"setline.example/checks"
	"setline.example/report/fieldsheet"
	"setline.example/report/fieldsheet/paper"
	"setline.example/report/fieldsheet/webpage"
	"setline.example/report/pdf"
	"setline.example/schema/plaintext"
)

func newSheet() *cobra.Command {
	var output, room, elevation, date, paperSize string
	var all, each bool
	c := &cobra.Command{
		Use:   "sheet FILE -o OUTPUT",
		Short: "Write the field sheet: what nobody observed yet, as boxes to fill",
		Long: `Sheet writes what the rules need and nobody has observed yet, and what did not
hold when it was observed, as a sheet to fill in: a PDF (.pdf) that can be
printed or filled in as a form, a page (.html) for the browser of a tablet or
telephone, or Markdown (.md). A box left blank stays "not observed". "setline
collect" reads the filled sheet back into the record as one new visit.

The page is one file and needs no network. Its rules say after every entry what
holds and what to do; what is entered is kept on the device, photographs too, and
"Save" makes the copy that is sent back. A name that ends in "/" makes a folder
for a web server instead, which a device keeps for when there is no network.

What can be said of all of an elevation at once has one box, with room for what
is excepted: labels, levelers that bear, screws, fronts that work. The next sheet
asks for what was excepted, each by itself; --each asks so from the beginning.
Where along the floor to read, and over what a cabinet is read for plumb, is
printed; "1/64 over 24" says another length, and a place is left open.

A sheet of more than 20,000 boxes is split by room: sheet.pdf becomes
sheet-ROOM.pdf for every room, all of them or none. One "setline collect" takes
them all.

A number alone is in the unit beside its box, that of the record; another unit
is written with the number.

What stands under that name already is kept beside the new sheet as NAME-former,
unless it is a sheet in which nothing stands or all of which the record holds.

Exit codes: 0 the sheet is written, or nothing is left to observe and it says
so; 2 the record cannot be used, and nothing is written.`,
		Example: `  setline sheet examples/annex/job.json -o sheet.pdf
  setline sheet examples/annex/job.json --room S-104 -o sheet.html
  setline sheet examples/annex/job.json --room S-104 --elevation A --all -o sheet.md`,
		ValidArgsFunction: files("json"),
		Args:              oneRecord,
		RunE: func(c *cobra.Command, args []string) error {
			write, err := sheetWriter(output)
			if forServer(output) {
				err = nil
			}
			if err != nil {
				return usage(c, err)
			}
			day, err := reportDate(date)
			if err != nil {
				return usage(c, err)
			}
			o := fieldsheet.Options{All: all, Each: each, Date: day, Version: version()}
			rec, src, err := read(args[0], c.InOrStdin())
			if err != nil {
				return err
			}
			planned := &checks.Findings{Record: rec}
			size, err := paperFor(paperSize, planned)
			if err != nil {
				return usage(c, err)
			}
			if o.Keep, err = elevations(planned, room, elevation); err != nil {
				return usage(c, err)
			}
			parts, err := fieldsheet.Parts(rec, src, o)
			if err != nil {
				return err
			}
			if forServer(output) {
				return writeFolder(c.ErrOrStderr(), output, args, parts)
			}
			if len(parts) > 1 {
				paths, err := writeSheets(c.ErrOrStderr(), output, args, parts, notCollected(output, rec, src), func(p fieldsheet.Part, w io.Writer) error { return write(p.Sheet(), size, w) })
				if err == nil {
					fmt.Fprintf(c.ErrOrStderr(), "setline: %s: split by room, since one sheet holds %d boxes: %s to %s; \"setline collect\" takes any number of them at once\n",
						plaintext.Visible(args[0]), fieldsheet.MostBoxes, plaintext.Count(len(paths), "sheet")+", "+plaintext.Visible(paths[0]), plaintext.Visible(paths[len(paths)-1]))
				}
				return err
			}
			s := parts[0].Sheet()
			if err := writeBeside(c.ErrOrStderr(), output, args, notCollected(output, rec, src), func(w io.Writer) error { return write(s, size, w) }); err != nil {
				return err
			}
			if s.Open() == 0 {
				fmt.Fprintf(c.ErrOrStderr(), "setline: %s: nothing is left to observe there; %s says so\n", plaintext.Visible(args[0]), plaintext.Visible(output))
			}
			return nil
		},
	}
	c.Flags().StringVarP(&output, "output", "o", "", "file to write, ending in .pdf, .html or .md; or a folder, ending in /")
	c.Flags().StringVar(&room, "room", "", "only this room")
	c.Flags().StringVar(&elevation, "elevation", "", "only elevations of this name")
	c.Flags().BoolVar(&all, "all", false, "also what was observed and holds, and what no rule needs")
	c.Flags().BoolVar(&each, "each", false, "a box for each thing, also where all of an elevation can be said at once")
	c.Flags().StringVar(&date, "date", "", "date of the document, YYYY-MM-DD")
	c.Flags().StringVar(&paperSize, "paper", "", `"letter" or "a4"; without it, letter for records in inches and A4 for metric ones`)
	return c
}

// sheetWriter picks the format by the ending of the output's name.
func sheetWriter(output string) (func(*fieldsheet.Sheet, pdf.Paper, io.Writer) error, error) {
	switch strings.ToLower(filepath.Ext(output)) {
	case ".pdf":
		return func(s *fieldsheet.Sheet, size pdf.Paper, w io.Writer) error { return paper.Write(w, s, size) }, nil
	case ".html":
		return func(s *fieldsheet.Sheet, _ pdf.Paper, w io.Writer) error { return webpage.Write(w, s) }, nil
	case ".md":
		return func(s *fieldsheet.Sheet, _ pdf.Paper, w io.Writer) error { return s.Markdown(w) }, nil
	}
	if output == "" {
		return nil, errors.New("found no output, expected -o with a file name ending in .pdf, .html or .md")
	}
	return nil, fmt.Errorf("found output %q, expected a file name ending in .pdf, .html or .md", output)
}

// forServer reports whether an output names a folder for a web server.
func forServer(output string) bool { return strings.HasSuffix(output, "/") }

// writeFolder writes a sheet as a folder for a web server.
func writeFolder(stderr io.Writer, output string, inputs []string, parts []fieldsheet.Part) error {
	if len(parts) > 1 {
		return hinted{fmt.Errorf("found a sheet of more than %d boxes, expected one for a folder", fieldsheet.MostBoxes), "make one for each room with --room"}
	}
	files, err := webpage.Folder(parts[0].Sheet())
	if err != nil {
		return err
	}
	if err := os.MkdirAll(output, 0o755); err != nil {
		return fmt.Errorf("%s: cannot be made: %w", output, err)
	}
	for _, f := range files {
		if err := writeFile(stderr, filepath.Join(output, f.Name), inputs, these(f.Data)); err != nil {
			return err
		}
	}
	return nil
}
