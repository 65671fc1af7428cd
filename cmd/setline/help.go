package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"
	"setline.example/schema"
)

func newHelp() *cobra.Command {
	return &cobra.Command{
		Use:   "help [COMMAND]",
		Short: "Explain a command",
		Long: `Help explains a command, its flags and its exit codes, as --help does.

Exit codes: 0 the command is explained, 2 there is no such command.`,
		Example: `  setline help check
  setline help identity new`,
		ValidArgsFunction: func(c *cobra.Command, args []string, word string) ([]string, cobra.ShellCompDirective) {
			at, _, err := c.Root().Find(args)
			if err != nil {
				return nil, cobra.ShellCompDirectiveNoFileComp
			}
			return starting(subcommands(at), word), cobra.ShellCompDirectiveNoFileComp
		},
		RunE: func(c *cobra.Command, args []string) error {
			at, rest, err := c.Root().Find(args)
			if err != nil || len(rest) > 0 {
				return noCommand(c, strings.Join(args, " "), subcommands(c.Root()))
			}
			at.InitDefaultHelpFlag()
			return at.Help()
		},
	}
}

// subcommands are the names of the commands below c that are no secret.
func subcommands(c *cobra.Command) []string {
	var names []string
	for _, sub := range c.Commands() {
		if sub.IsAvailableCommand() {
			names = append(names, sub.Name())
		}
	}
	return names
}

// noCommand refuses a command that is none.
func noCommand(c *cobra.Command, name string, names []string) error {
	err := fmt.Errorf("found the command %q, expected one of %s", name, strings.Join(names, ", "))
	if near := schema.Nearest(name, names); near != "" {
		return hinted{err, fmt.Sprintf("write %q if that is meant", near)}
	}
	return usage(c, err)
}
