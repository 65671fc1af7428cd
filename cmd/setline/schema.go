package main

import (
	"fmt"

	"github.com/spf13/cobra"
	"setline.example/report/findings"
	"setline.example/report/results"
	"setline.example/report/trust"
	"setline.example/report/verify"
	"setline.example/schema"
)

// schemas are those that can be printed, by what they are of.
var schemas = map[string]func() []byte{
	"record": schema.JSON, "findings": findings.Schema, "trust": trust.Schema,
	"verification": verify.Schema, "results": results.Schema,
}

func newSchema() *cobra.Command {
	var output, of string
	c := &cobra.Command{
		Use:   "schema",
		Short: "Print the JSON Schema of the job record",
		Long: `Schema prints the JSON Schema (draft 2020-12) of the job record. An editor that
is told of it, by "$schema" in a record, completes and explains every field.
With --of it prints another: findings, what "check --format json" writes;
verification, what "verify --format json" writes; trust, the list that
"verify --trust" reads; results, what each rule said, as it travels in a report.

Exit codes: 0 the schema is written, 2 the call is wrong or it cannot be.`,
		Example: `  setline schema
  setline schema -o record.schema.json
  setline schema --of findings
  setline schema --of trust -o trust.schema.json`,
		Args: noArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			get, ok := schemas[of]
			if !ok {
				return usage(c, fmt.Errorf("found --of %q, expected record, findings, trust, verification or results", of))
			}
			write := these(get())
			if output == "" {
				return write(c.OutOrStdout())
			}
			return writeFile(c.ErrOrStderr(), output, nil, write)
		},
	}
	c.Flags().StringVarP(&output, "output", "o", "", "file to write instead of standard output")
	c.Flags().StringVar(&of, "of", "record", "record, findings, trust, verification or results")
	return c
}
