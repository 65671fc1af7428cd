package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"golang.org/x/term"
	"setline.example/checks"
	"setline.example/report/findings"
)

func newCheck() *cobra.Command {
	var all bool
	var format, only, baseline string
	g := new(gate)
	c := &cobra.Command{
		Use:   "check PATH...",
		Short: "Hold job records against the rules of the trade",
		Long: `Check reads job records, holds each against the schema and then against every
rule of the trade, and says for each room whether it is ready, and if not, why.

A PATH is a file, "-" for standard input, or a folder. In a folder and all below
it, *.json files that claim to be job records are checked: those with a
top-level "setline", and those in which nothing is left. Names that begin with a
dot are passed over, and links to folders are not followed. --include takes
other files than *.json, --exclude leaves files and folders out. Both are
patterns: * and ? within a name, [a-z], {a,b}, and ** for any folders. One with
a slash is held against the path below PATH, one without against the name. Files
that are named are always checked.

Records are checked on all processors (GOMAXPROCS) and told in order. A record
that cannot be read does not stop the others.

Formats:
` + formatList() + `
What nobody looked at is told place by place where it is more than a few things,
and a reading for which several results wait is told once, with all of them: text
grows with what is wrong. --all and --rule list each, and so does every other
format.

What is not shown does not count: --rule, --room and --baseline narrow the exit
code to what they leave. The answer READY or NOT READY of a room stays that of
all rules, and that of a record that of all rooms.
--baseline names what --format json wrote in an earlier run. What it has is
known and does not count, unless it has become worse. A record that cannot be
used always counts.

Exit codes: 0 every room of every record is ready, 1 a room is not ready, 2 a
record cannot be used; all its problems are listed. The worst one counts.`,
		Example: `  setline check examples/annex/job.json
  setline check --all examples/annex/job.json
  setline check - < examples/metric/job.json
  setline check --format sarif -o findings.sarif examples`,
		ValidArgsFunction: files("json"),
		Args: func(c *cobra.Command, args []string) error {
			if len(args) == 0 {
				return usage(c, errors.New("found no file, expected at least one job record or a folder"))
			}
			if i := slices.Index(args, stdinName); i >= 0 && slices.Contains(args[i+1:], stdinName) {
				return usage(c, errors.New(`found "-" twice, expected it once: standard input can be read once`))
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			g.stdin, g.stderr = c.InOrStdin(), c.ErrOrStderr()
			g.selection.All, g.selection.Room = all, g.asked.name
			if err := g.configure(c, format, only); err != nil {
				return err
			}
			if baseline != "" {
				b, err := readBaseline(baseline)
				if err != nil {
					return err
				}
				g.selection.Baseline = b
			}
			g.many = len(args) > 1 || isFolder(args[0])
			return g.write(args, c.OutOrStdout())
		},
	}
	f := c.Flags()
	f.BoolVar(&all, "all", false, "list also what passes")
	f.StringVar(&format, "format", findings.FormatNames()[0], "one of "+strings.Join(findings.FormatNames(), ", "))
	f.StringVarP(&g.output, "output", "o", "", "file to write instead of standard output, whole or not at all")
	f.StringArrayVar(&g.selection.Rules, "rule", nil, "show, and count, results of this rule only; may be given again for more")
	f.StringVar(&g.asked.name, "room", "", "show, and count, results of this room only")
	f.StringVar(&only, "only", "", "not-ready: list only records and rooms that are not ready")
	f.StringVar(&baseline, "baseline", "", "findings of an earlier run (--format json); only what is new or worse counts")
	f.StringArrayVar(&g.patterns.include, "include", []string{"*.json"}, "files to take in folders; may be given again")
	f.StringArrayVar(&g.patterns.exclude, "exclude", nil, "files and folders to leave out in folders; may be given again")
	return c
}

func formatList() string {
	var b strings.Builder
	for _, f := range findings.Formats() {
		fmt.Fprintf(&b, "  %-6s %s\n", f.Name, f.About)
	}
	return b.String()
}

// configure takes the options that can be wrong.
func (g *gate) configure(c *cobra.Command, format, only string) error {
	var ok bool
	if g.format, ok = findings.FindFormat(format); !ok {
		return usage(c, fmt.Errorf("found --format %q, expected one of %s", format, strings.Join(findings.FormatNames(), ", ")))
	}
	if only != "" && only != "not-ready" {
		return usage(c, fmt.Errorf(`found --only %q, expected "not-ready"`, only))
	}
	g.selection.NotReadyOnly = only != ""
	for _, name := range g.selection.Rules {
		if checks.Find(name) == nil {
			expected, mend := checks.ExpectedRule(name)
			return hinted{fmt.Errorf("found --rule %q, expected %s", name, expected), mend}
		}
	}
	if pattern, bad := g.patterns.bad(); bad {
		return usage(c, fmt.Errorf("found the pattern %q, expected one like rooms/**/*.json", pattern))
	}
	return nil
}

// write runs the gate, and writes to the output file or to w.
func (g *gate) write(args []string, w io.Writer) error {
	exit := exitReady
	run := func(w io.Writer) (err error) {
		exit, err = g.run(args, version(), w)
		return err
	}
	var err error
	if g.output == "" {
		g.colour, g.width = wantsColour(w), columns(w)
		err = run(w)
	} else {
		err = writeFile(g.stderr, g.output, args, run)
	}
	switch {
	case err != nil:
		return err
	case exit == exitInput:
		return errSaid
	case exit == exitNotReady:
		return errNotReady
	}
	return nil
}

func isFolder(path string) bool {
	info, err := os.Stat(path)
	return path != stdinName && err == nil && info.IsDir()
}

// columns says how wide the terminal is that w is, 0 where it is none.
func columns(w io.Writer) int {
	f, ok := w.(*os.File)
	if !ok {
		return 0
	}
	width, _, err := term.GetSize(int(f.Fd()))
	if err != nil {
		return 0
	}
	return width
}

// wantsColour reports whether w is a terminal that wants colour beside words
// (NO_COLOR, see no-color.org).
func wantsColour(w io.Writer) bool {
	f, ok := w.(*os.File)
	return ok && term.IsTerminal(int(f.Fd())) && os.Getenv("NO_COLOR") == "" && os.Getenv("TERM") != "dumb"
}
