package main

import (
	"errors"
	"io"

	"github.com/spf13/cobra"
)

// Exit codes, the same for every command.
const (
	exitReady    = 0
	exitNotReady = 1
	exitInput    = 2 // the input or the call is wrong, and nothing was written
	exitUnproven = 3 // of verify: nothing speaks against it, and not all is proven
	exitAfter    = 4 // what was to be written is, and something failed after that
)

// errSaid ends a command that has already said what is wrong with its input.
var errSaid = errors.New("the input is wrong")

// errNotReady ends a command whose input is good and whose answer is no.
var errNotReady = errors.New("not ready")

// run is the whole program: it takes the arguments and returns the exit code.
func run(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	spareMemory()
	root := newRoot()
	root.SetArgs(args)
	root.SetIn(stdin)
	root.SetOut(stdout)
	root.SetErr(stderr)
	switch err := root.Execute(); {
	case err == nil:
		return exitReady
	case errors.Is(err, errNotReady):
		return exitNotReady
	case errors.Is(err, errIndeterminate):
		return exitUnproven
	case errors.Is(err, errSaid):
		return exitInput
	default:
		say(stderr, err)
		if done := (*afterDone)(nil); errors.As(err, &done) {
			return exitAfter
		}
		return exitInput
	}
}

// knownCommand refuses a command that is none.
func knownCommand(c *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	return noCommand(c, args[0], subcommands(c))
}

func newRoot() *cobra.Command {
	root := &cobra.Command{
		Use:   "setline",
		Short: "Prove that a room of steel base cabinets is right, and hand it over",
		Long: `Setline takes a job record, what was planned, what arrived, what was measured
and seen, and what was agreed; holds it against the rules of the trade; and
writes the turnover report.

Exit codes: 0 every room is ready, 1 a room is not ready, 2 the input or the
call is wrong and nothing was written, 4 what was to be written is, and
something failed after that.`,
		Example: `  setline check examples/annex/job.json
  setline report examples/annex/job.json -o turnover.pdf`,
		Args: knownCommand,
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() },
		// All messages go through one voice, in message.go.
		SilenceErrors: true,
		SilenceUsage:  true,
		Version:       version(),
	}
	root.SetVersionTemplate("setline {{.Version}}\n")
	root.CompletionOptions.DisableDefaultCmd = true // ours has this program's voice
	root.SetHelpCommand(newHelp())
	narrowHelp(root)
	root.SetFlagErrorFunc(func(c *cobra.Command, err error) error { return usage(c, err) })
	root.AddCommand(newStart(), newAdd(), newCount(), newPlan(), newAgree(), newLayout(), newSheet(), newCollect(), newPhoto(), newRelease(), newCorrect(), newWithdraw(), newMerge(), newCheck(), newPunch(), newStatus(), newCompare(), newReport(), newIdentity(), newSign(), newTrust(), newVerify(), newSchema(), newRules(), newVersion(), newCompletion(), newMan())
	completeFlags(root)
	return root
}
