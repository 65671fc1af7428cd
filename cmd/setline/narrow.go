package main

import (
	"strings"
	"text/template"
	"unicode/utf8"

	"github.com/spf13/cobra"
)

// helpWidth is how many columns help takes: a terminal has as many.
const helpWidth = 80

func init() {
	cobra.AddTemplateFuncs(template.FuncMap{"filled": filled, "continued": continued})
}

// narrowHelp makes all help of c and its commands as wide as a terminal.
func narrowHelp(c *cobra.Command) {
	c.SetHelpTemplate(strings.ReplaceAll(c.HelpTemplate(), "{{. | trimTrailingWhitespaces}}", "{{. | trimTrailingWhitespaces | filled}}"))
	c.SetUsageTemplate(strings.NewReplacer(".FlagUsages", ".FlagUsagesWrapped 80", "{{.Example}}", "{{continued .Example}}").Replace(c.UsageTemplate()))
}

// filled fills the paragraphs of a text that have a line too long; one with
// indented lines is a list and stays.
func filled(text string) string {
	paragraphs := strings.Split(text, "\n\n")
	for i, p := range paragraphs {
		if tooLong(p) && !strings.Contains("\n"+p, "\n ") {
			paragraphs[i] = strings.Join(lines(strings.Fields(p), "", ""), "\n")
		}
	}
	return strings.Join(paragraphs, "\n\n")
}

// continued breaks commands that are too long, in a way that a shell reads on.
func continued(commands string) string {
	var out []string
	for line := range strings.SplitSeq(commands, "\n") {
		if !tooLong(line) {
			out = append(out, line)
			continue
		}
		out = append(out, lines(unbroken(strings.TrimSpace(line)), "  ", ` \`)...)
	}
	return strings.Join(out, "\n")
}

func tooLong(text string) bool {
	for line := range strings.SplitSeq(text, "\n") {
		if utf8.RuneCountInString(line) > helpWidth {
			return true
		}
	}
	return false
}

// lines puts words on lines that begin with indent, those after the first with
// two more of it, and end with more where another one follows.
func lines(words []string, indent, more string) []string {
	var all []string
	line := indent
	for i, w := range words {
		if i > 0 {
			if utf8.RuneCountInString(line+" "+w+more) > helpWidth {
				all = append(all, line+more)
				line = strings.Repeat(indent, 3) + w
				continue
			}
			line += " "
		}
		line += w
	}
	return append(all, line)
}

// unbroken parts a command at spaces, but for those between double quotes; a
// flag stays with its value.
func unbroken(command string) []string {
	var words []string
	quoted := false
	begin := 0
	for i, c := range command {
		switch {
		case c == '"':
			quoted = !quoted
		case c == ' ' && !quoted:
			words = append(words, command[begin:i])
			begin = i + 1
		}
	}
	words = append(words, command[begin:])
	var together []string
	for _, w := range words {
		if n := len(together); n > 0 && strings.HasPrefix(together[n-1], "-") && !strings.Contains(together[n-1], " ") && !strings.HasPrefix(w, "-") {
			together[n-1] += " " + w
			continue
		}
		together = append(together, w)
	}
	return together
}
