package main

import (
	"fmt"

	"github.com/spf13/cobra"
	"setline.example/report/findings"
	"setline.example/schema"
)

func newSchema() *cobra.Command {
	var output, of string
	c := &cobra.Command{
		Use:   "schema",
		Short: "Print the JSON Schema of the job record",
		Long: `Schema prints the JSON Schema (draft 2020-12) of the job record. An editor that
is told of it, by "$schema" in a record, completes and explains every field.
With --of findings it prints that of what "check --format json" writes.

Exit codes: 0 the schema is written, 2 the call is wrong or it cannot be.`,
		Example: `  setline schema
  setline schema -o record.schema.json
  setline schema --of findings`,
		Args: noArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			schemas := map[string]func() []byte{"record": schema.JSON, "findings": findings.Schema}
			get, ok := schemas[of]
			if !ok {
				return usage(c, fmt.Errorf("found --of %q, expected record or findings", of))
			}
			write := these(get())
			if output == "" {
				return write(c.OutOrStdout())
			}
			return writeFile(output, nil, write)
		},
	}
	c.Flags().StringVarP(&output, "output", "o", "", "file to write instead of standard output")
	c.Flags().StringVar(&of, "of", "record", "record or findings")
	return c
}
