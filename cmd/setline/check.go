package main

import (
	"errors"

	"github.com/spf13/cobra"
)

func newCheck() *cobra.Command {
	var all bool
	c := &cobra.Command{
		Use:   "check FILE...",
		Short: "Hold job records against the rules of the trade",
		Long: `Check reads job records, holds each against the schema and then against every
rule of the trade, and says for each room whether it is ready, and if not, why.
"-" reads standard input.

Exit codes: 0 every room of every record is ready, 1 a room is not ready, 2 a
record cannot be used; all its problems are listed. The worst one counts.`,
		Example: `  setline check examples/annex/job.json
  setline check --all examples/annex/job.json
  setline check - < examples/metric/job.json`,
		ValidArgsFunction: files("json"),
		Args: func(c *cobra.Command, args []string) error {
			if len(args) == 0 {
				return usage(c, errors.New("found no file, expected at least one job record"))
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			p := newPrinter(c.OutOrStdout())
			ready := true
			var broken []error
			for _, path := range args {
				found, _, err := load(path, c.InOrStdin())
				if err != nil {
					broken = append(broken, err)
					continue
				}
				p.findings(path, found, all)
				ready = ready && found.Ready()
			}
			if err := p.flush(); err != nil {
				return err
			}
			if len(broken) > 0 {
				return errors.Join(broken...)
			}
			if !ready {
				return errNotReady
			}
			return nil
		},
	}
	c.Flags().BoolVar(&all, "all", false, "list also what passes")
	return c
}
