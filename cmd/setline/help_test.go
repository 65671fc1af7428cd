package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// TestHelpIsNarrow: all of it within the width of a terminal, and an example that
// had to be broken is the same command to a shell.
func TestHelpIsNarrow(t *testing.T) {
	everyCommand(t, func(t *testing.T, c *cobra.Command) {
		var out strings.Builder
		c.SetOut(&out)
		if err := c.Help(); err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(out.String(), "Examples:") {
			t.Error("help has no examples")
		}
		for line := range strings.Lines(out.String()) {
			if n := utf8.RuneCountInString(strings.TrimRight(line, "\n")); n > helpWidth {
				t.Errorf("%d columns: %s", n, line)
			}
		}
		broken := regexp.MustCompile(` \\\n +`).ReplaceAllString(continued(c.Example), " ")
		if broken != c.Example {
			t.Errorf("broken, the examples are\n%s\nnot\n%s", broken, c.Example)
		}
	})
}

// everyCommand calls check for every command, those too that are hidden.
func everyCommand(t *testing.T, check func(*testing.T, *cobra.Command)) {
	root := newRoot()
	root.InitDefaultHelpCmd()
	n := 0
	var walk func(*cobra.Command)
	walk = func(c *cobra.Command) {
		n++
		t.Run(c.CommandPath(), func(t *testing.T) { check(t, c) })
		for _, sub := range c.Commands() {
			walk(sub)
		}
	}
	walk(root)
	if n < 15 {
		t.Errorf("found %d commands; is the walk whole?", n)
	}
}

var exitCodes = regexp.MustCompile(`(?m)^Exit codes: 0 [A-Za-z]`)

// TestEveryCommandExplainsItself: what it does in a line and at length, how it
// ends, and two examples at least that name a command and flags there are, and
// files of this repository where they are under examples.
func TestEveryCommandExplainsItself(t *testing.T) {
	everyCommand(t, func(t *testing.T, c *cobra.Command) {
		if c.Short == "" || strings.HasSuffix(c.Short, ".") || len(c.Short) > 80 {
			t.Errorf("short help %q, want one line without a full stop", c.Short)
		}
		if len(c.Long) <= len(c.Short) || !exitCodes.MatchString(c.Long) {
			t.Errorf("long help says no exit codes: %q", c.Long)
		}
		for line := range strings.Lines(c.Long) {
			if len(strings.TrimRight(line, "\n")) > 90 {
				t.Errorf("a line too long for a terminal: %q", line)
			}
		}
		seen := map[string]bool{}
		for line := range strings.Lines(c.Example) {
			line = strings.TrimSpace(line)
			seen[line] = true
			tryExample(t, c, line)
		}
		if len(seen) < 2 {
			t.Errorf("%d examples, want two at least", len(seen))
		}
		c.Flags().VisitAll(func(f *pflag.Flag) {
			if f.Usage == "" {
				t.Errorf("--%s is not explained", f.Name)
			}
		})
	})
}

// tryExample parses a line of a command's examples as the program would.
func tryExample(t *testing.T, c *cobra.Command, line string) {
	t.Helper()
	var args []string
	for _, word := range shellWords(t, line) {
		if strings.Contains(word, "=") && len(args) == 0 {
			continue // a variable of the environment
		}
		args = append(args, word)
	}
	if len(args) == 0 || args[0] != "setline" {
		t.Errorf("%q does not call setline", line)
		return
	}
	root := newRoot()
	root.InitDefaultHelpCmd()
	at, rest, err := root.Find(args[1:])
	if err != nil {
		t.Errorf("%q: %v", line, err)
		return
	}
	if path := at.CommandPath(); !strings.HasPrefix(path, c.CommandPath()) {
		t.Errorf("%q is an example of %s, not of %s", line, path, c.CommandPath())
	}
	at.InitDefaultHelpFlag()
	if err := at.ParseFlags(rest); err != nil {
		t.Errorf("%q: %v", line, err)
		return
	}
	if help, _ := at.Flags().GetBool("help"); !help {
		if err := at.ValidateArgs(at.Flags().Args()); err != nil {
			t.Errorf("%q: %v", line, err)
		}
	}
	for _, word := range args {
		if strings.HasPrefix(word, "examples") {
			if _, err := os.Stat(filepath.Join("../..", word)); err != nil {
				t.Errorf("%q: %v", line, err)
			}
		}
	}
}

// shellWords splits a line as a shell does, without what is sent elsewhere.
func shellWords(t *testing.T, line string) []string {
	t.Helper()
	var words []string
	skip := false
	for _, m := range regexp.MustCompile(`"([^"]*)"|(\S+)`).FindAllStringSubmatch(line, -1) {
		switch word := m[1] + m[2]; {
		case word == "<" || word == ">":
			skip = true
		case skip:
			skip = false
		default:
			words = append(words, word)
		}
	}
	return words
}

// TestManPagesSayWhatHelpSays: every word of a command's help is on its page,
// and no line of it is taken for a request by mistake.
func TestManPagesSayWhatHelpSays(t *testing.T) {
	requests := regexp.MustCompile(`^\.(TH|SH|B|BR|PP|TP|EX|EE|nf|fi)( .*)?\n$`)
	everyCommand(t, func(t *testing.T, c *cobra.Command) {
		page := manPage(c, time.Unix(0, 0).UTC())
		var plain strings.Builder
		for line := range strings.Lines(page) {
			if strings.HasPrefix(line, ".") && !requests.MatchString(line) || strings.HasPrefix(line, "'") {
				t.Errorf("a request by mistake: %q", line)
			}
			plain.WriteString(line)
		}
		text := strings.NewReplacer(`\-`, "-", `\e`, `\`, `\(aq`, "'", `\(ti`, "~", `\(dq`, `"`).Replace(plain.String())
		for word := range strings.FieldsSeq(strings.TrimPrefix(c.Long, "Exit codes:")) {
			if word != "Exit" && word != "codes:" && !strings.Contains(text, word) {
				t.Errorf("%q is not on the page", word)
			}
		}
		if !strings.Contains(page, `"1970-01-01"`) {
			t.Error("the page has another date")
		}
	})
	for text, want := range map[string]string{
		".SH no request": `\&.SH no request` + "\n",
		"'tis":           `\(aqtis` + "\n",
		`a\b Ł`:          `a\eb \[u0141]` + "\n",
	} {
		var p page
		if p.text(text); p.String() != want {
			t.Errorf("%q is written %q, want %q", text, p.String(), want)
		}
	}
}
