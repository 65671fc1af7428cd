package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// newMan writes the manual pages. It is for whoever packs the program, and
// hidden from those who use it.
func newMan() *cobra.Command {
	var folder string
	c := &cobra.Command{
		Use:   "man -o FOLDER",
		Short: "Write the manual pages of all commands into a folder",
		Long: `Man writes a manual page for every command, setline.1, setline-check.1 and so
on, into a folder that is there. Pages are dated with SOURCE_DATE_EPOCH where
that is set, else with today; the same date and version give the same bytes.

Exit codes: 0 the pages are written, 2 they cannot be.`,
		Example: `  setline man -o .
  SOURCE_DATE_EPOCH=0 setline man -o .`,
		Args:   noArgs,
		Hidden: true,
		RunE: func(c *cobra.Command, _ []string) error {
			if folder == "" {
				return usage(c, errors.New("found no folder, expected -o with one"))
			}
			if info, err := os.Stat(folder); err != nil || !info.IsDir() {
				return hinted{fmt.Errorf("%s: found no folder of that name, expected one to write into", folder), "make it first"}
			}
			date, err := reportDate("")
			if err != nil {
				return usage(c, err)
			}
			return eachCommand(c.Root(), func(c *cobra.Command) error {
				path := filepath.Join(folder, pageName(c)+".1")
				return writeFile(c.ErrOrStderr(), path, nil, func(w io.Writer) error {
					_, err := io.WriteString(w, manPage(c, date))
					return err
				})
			})
		},
	}
	c.Flags().StringVarP(&folder, "output", "o", "", "folder to write into")
	return c
}

// eachCommand goes through all commands that are no secret, from c down.
func eachCommand(c *cobra.Command, do func(*cobra.Command) error) error {
	if err := do(c); err != nil {
		return err
	}
	for _, sub := range c.Commands() {
		if !sub.IsAvailableCommand() {
			continue
		}
		if err := eachCommand(sub, do); err != nil {
			return err
		}
	}
	return nil
}

func pageName(c *cobra.Command) string { return strings.ReplaceAll(c.CommandPath(), " ", "-") }

// manPage is the manual page of a command in the macros of man(7).
func manPage(c *cobra.Command, date time.Time) string {
	c.InitDefaultHelpFlag()
	c.InitDefaultVersionFlag()
	var p page
	p.title(strings.ToUpper(pageName(c)), date.Format(time.DateOnly), "Setline "+version(), "Setline manual")
	p.macro("SH", "NAME")
	p.text(pageName(c) + " - " + lowered(c.Short))
	p.macro("SH", "SYNOPSIS")
	p.macro("B", c.CommandPath())
	p.text(strings.TrimSpace(strings.TrimPrefix(c.UseLine(), c.CommandPath())))
	p.macro("SH", "DESCRIPTION")
	exit := ""
	for i, paragraph := range strings.Split(c.Long, "\n\n") {
		if codes, found := strings.CutPrefix(paragraph, exitWords); found {
			exit = codes
			continue
		}
		if i > 0 {
			p.macro("PP")
		}
		p.paragraph(paragraph)
	}
	if subs := subcommands(c); len(subs) > 0 {
		p.macro("SH", "COMMANDS")
		for _, sub := range c.Commands() {
			if sub.IsAvailableCommand() {
				p.macro("TP")
				p.macro("B", sub.Name())
				p.text(sub.Short + ".")
			}
		}
	}
	p.macro("SH", "OPTIONS")
	c.Flags().VisitAll(p.flag)
	p.macro("SH", "EXIT STATUS")
	p.text(strings.TrimSpace(exit))
	p.macro("SH", "EXAMPLES")
	p.macro("EX")
	for line := range strings.Lines(c.Example) {
		p.line(roff(strings.TrimSpace(line))) // what is typed keeps its lines
	}
	p.macro("EE")
	p.seeAlso(c)
	return p.String()
}

// exitWords open the paragraph of every command's help that tells how it ends.
const exitWords = "Exit codes:"

func lowered(s string) string { return strings.ToLower(s[:1]) + s[1:] }

// page is a manual page being written.
type page struct{ strings.Builder }

func (p *page) macro(name string, args ...string) {
	p.WriteString("." + name)
	for _, a := range args {
		p.WriteString(` "` + strings.ReplaceAll(roff(a), `"`, `\(dq`) + `"`)
	}
	p.WriteByte('\n')
}

// title opens the page. A date is written as ISO 8601 has it, with plain
// hyphens: readers of pages take it apart.
func (p *page) title(name, date, source, manual string) {
	fmt.Fprintf(p, ".TH \"%s\" \"1\" \"%s\" \"%s\" \"%s\"\n", roff(name), date, roff(source), roff(manual))
}

// paragraph writes a paragraph of help: lines that are set in keep their shape.
func (p *page) paragraph(s string) {
	before, table, found := strings.Cut(s, "\n ")
	p.text(before)
	if !found {
		return
	}
	p.macro("nf")
	for line := range strings.Lines(" " + table) {
		p.line(roff(strings.TrimSuffix(line, "\n")))
	}
	p.macro("fi")
}

// text writes lines that will be filled, of no more than 80 bytes where they
// have spaces to break at.
func (p *page) text(s string) {
	const most = 80
	for line := range strings.Lines(s) {
		line = roff(strings.TrimSuffix(line, "\n"))
		for len(line) > most {
			at := strings.LastIndexByte(line[:most+1], ' ')
			if at <= 0 || strings.TrimSpace(line[:at]) == "" {
				break
			}
			p.line(line[:at])
			line = line[at+1:]
		}
		p.line(line)
	}
}

// line writes a line that is no request, whatever it begins with.
func (p *page) line(s string) {
	if strings.HasPrefix(s, ".") || strings.HasPrefix(s, "'") {
		p.WriteString(`\&`)
	}
	p.WriteString(s + "\n")
}

// roff writes characters that mean something to it by their names, and those
// beyond ASCII by their code points, so that a page needs no encoding.
func roff(s string) string {
	var b strings.Builder
	for _, r := range s {
		switch {
		case r == '\\':
			b.WriteString(`\e`)
		case r == '-':
			b.WriteString(`\-`)
		case r == '~':
			b.WriteString(`\(ti`)
		case r == '^':
			b.WriteString(`\(ha`)
		case r == '`':
			b.WriteString(`\(ga`)
		case r == '\'':
			b.WriteString(`\(aq`)
		case r > 0x7e:
			fmt.Fprintf(&b, `\[u%04X]`, r)
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

func (p *page) flag(f *pflag.Flag) {
	if f.Hidden {
		return
	}
	name := "--" + f.Name
	if f.Shorthand != "" {
		name = "-" + f.Shorthand + ", " + name
	}
	kind, says := pflag.UnquoteUsage(f)
	if kind != "" {
		name += " " + strings.ToUpper(kind)
	}
	p.macro("TP")
	p.macro("B", name)
	if f.DefValue != "" && f.DefValue != "false" {
		says += " (default " + f.DefValue + ")"
	}
	p.text(says + ".")
}

// seeAlso names the pages of the command above and those below.
func (p *page) seeAlso(c *cobra.Command) {
	var pages []*cobra.Command
	if c.HasParent() {
		pages = append(pages, c.Parent())
	}
	for _, sub := range c.Commands() {
		if sub.IsAvailableCommand() {
			pages = append(pages, sub)
		}
	}
	p.macro("SH", "SEE ALSO")
	for i, other := range pages {
		comma := ","
		if i == len(pages)-1 {
			comma = ""
		}
		p.macro("BR", pageName(other), "(1)"+comma)
	}
}
