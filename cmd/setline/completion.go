package main

import (
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

To have it in every shell: bash reads it from the folder
~/.local/share/bash-completion/completions (file setline), zsh from a folder of
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
		return root.GenBashCompletionV2(w, true)
	case "zsh":
		return root.GenZshCompletion(w)
	case "fish":
		return root.GenFishCompletion(w, true)
	}
	return root.GenPowerShellCompletionWithDesc(w)
}

// completes lets a flag be completed with the values that of gives for the
// arguments so far.
func completes(c *cobra.Command, flag string, of func(c *cobra.Command, args []string) []string) {
	err := c.RegisterFlagCompletionFunc(flag, func(c *cobra.Command, args []string, word string) ([]string, cobra.ShellCompDirective) {
		return starting(of(c, args), word), cobra.ShellCompDirectiveNoFileComp
	})
	if err != nil {
		panic(err) // the flag is not there: a fault of this program, found by any test
	}
}

// oneOf gives the same values always.
func oneOf(values ...string) func(*cobra.Command, []string) []string {
	return func(*cobra.Command, []string) []string { return values }
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

// plannedRooms are the rooms of the record among the arguments.
func plannedRooms(_ *cobra.Command, args []string) []string {
	var names []string
	if rec := recordOf(args); rec != nil {
		for _, r := range rec.Planned.Rooms {
			names = append(names, r.Name)
		}
	}
	return names
}

// plannedElevations are the elevations of the record among the arguments, of
// the room that --room names or of all.
func plannedElevations(c *cobra.Command, args []string) []string {
	var names []string
	room, _ := c.Flags().GetString("room")
	if rec := recordOf(args); rec != nil {
		for _, r := range rec.Planned.Rooms {
			for _, e := range r.Elevations {
				if (room == "" || r.Name == room) && !slices.Contains(names, e.Name) {
					names = append(names, e.Name)
				}
			}
		}
	}
	return names
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
