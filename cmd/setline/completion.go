package main

import (
	"bytes"
	_ "embed"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"setline.example/checks"
	"setline.example/schema"
)

// shells that completions are made for, and how.
var shells = []string{"bash", "zsh", "fish", "powershell"}

func newCompletion() *cobra.Command {
	return &cobra.Command{
		Use:   "completion SHELL",
		Short: "Print a script that lets a shell complete commands and flags",
		Long: `Completion prints a script for bash, zsh, fish or powershell. Once it is read,
the shell completes commands, flags, file names, and values such as rooms of a
record, names of rules, roles and formats.

To have it in every shell: bash reads it where ~/.bashrc sources it, or with the
package bash-completion, without which it works too, from the folder
~/.local/share/bash-completion/completions (file setline); zsh from a folder of
its $fpath (file _setline), fish from ~/.config/fish/completions (file
setline.fish), and PowerShell where $PROFILE runs it.

Exit codes: 0 the script is printed, 2 the call is wrong.`,
		Example: `  setline completion bash
  setline completion fish > setline.fish
  setline completion powershell`,
		ValidArgs: shells,
		Args: func(c *cobra.Command, args []string) error {
			if len(args) != 1 || !slices.Contains(shells, args[0]) {
				return usage(c, fmt.Errorf("found %q, expected one of %s", strings.Join(args, " "), strings.Join(shells, ", ")))
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			return writeCompletion(c.Root(), args[0], c.OutOrStdout())
		},
	}
}

func writeCompletion(root *cobra.Command, shell string, w io.Writer) error {
	switch shell {
	case "bash":
		return writeBashCompletion(root, w)
	case "zsh":
		return root.GenZshCompletion(w)
	case "fish":
		return root.GenFishCompletion(w, true)
	}
	return root.GenPowerShellCompletionWithDesc(w)
}

// bashAlone stands in for the package bash-completion, which many a shell has
// not got: macOS comes without it, and so do containers.
//
//go:embed completion.bash
var bashAlone []byte

// ofThePackage are the functions of that package that the script calls, and
// what calls them where they are, and does their work where they are not.
var ofThePackage = strings.NewReplacer("_get_comp_words_by_ref", "__setline_words", "_filedir", "__setline_files")

func writeBashCompletion(root *cobra.Command, w io.Writer) error {
	var script bytes.Buffer
	if err := root.GenBashCompletionV2(&script, true); err != nil {
		return err
	}
	heading, rest, _ := bytes.Cut(script.Bytes(), []byte("\n\n"))
	_, err := fmt.Fprintf(w, "%s\n\n%s%s", heading, bashAlone, ofThePackage.Replace(string(rest)))
	return err
}

func starting(values []string, word string) []string {
	return slices.DeleteFunc(slices.Clone(values), func(v string) bool { return !strings.HasPrefix(v, word) })
}

// files completes arguments with files of some endings.
func files(endings ...string) cobra.CompletionFunc {
	return func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return endings, cobra.ShellCompDirectiveFilterFileExt
	}
}

// recordOf reads the record among the arguments; a shell that completes wants
// no messages.
func recordOf(args []string) *schema.Record {
	if len(args) == 0 || args[0] == stdinName {
		return nil
	}
	rec, _, err := read(args[0], nil)
	if err != nil {
		return nil
	}
	return rec
}

// ruleNames completes the name of a rule, of which some words may stand
// already as arguments of their own.
func ruleNames(_ *cobra.Command, args []string, word string) ([]string, cobra.ShellCompDirective) {
	before := strings.Join(append(slices.Clone(args), ""), " ")
	names := starting(checks.Names(), before+word)
	for i := range names {
		names[i] = names[i][len(before):]
	}
	return names, cobra.ShellCompDirectiveNoFileComp
}
