package main

import (
	"io"

	"github.com/spf13/cobra"
	"setline.example/schema"
)

func newSchema() *cobra.Command {
	var output string
	c := &cobra.Command{
		Use:   "schema",
		Short: "Print the JSON Schema of the job record",
		Long: `Schema prints the JSON Schema (draft 2020-12) of the job record. An editor that
is told of it, by "$schema" in a record, completes and explains every field.

Exit codes: 0 the schema is written, 2 the call is wrong or it cannot be.`,
		Example: `  setline schema
  setline schema -o record.schema.json`,
		Args: noArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			write := func(w io.Writer) error {
				_, err := w.Write(schema.JSON())
				return err
			}
			if output == "" {
				return write(c.OutOrStdout())
			}
			return writeFile(output, nil, write)
		},
	}
	c.Flags().StringVarP(&output, "output", "o", "", "file to write instead of standard output")
	return c
}
