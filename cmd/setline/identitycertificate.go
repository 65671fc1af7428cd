package main

import (
	"encoding/pem"
	"io"

	"github.com/spf13/cobra"
)

func newIdentityCertificate() *cobra.Command {
	var file, output string
	c := &cobra.Command{
		Use:   "certificate FILE",
		Short: "Write the certificate to hand to those who are to trust you",
		Long: `Certificate writes the certificate of an identity in PKCS#12 or PEM, as PEM and
without the key. Whoever is to trust the signature puts it on a list with
"setline trust add", and holds it against the fingerprint that they were read
over a telephone or face to face: what came by mail proves nothing of itself.

Exit codes: 0 it is written, 2 it is not.`,
		Example: `  setline identity certificate me.p12
  setline identity certificate me.p12 -o me.pem`,
		Args: oneIdentity,
		RunE: func(c *cobra.Command, args []string) error {
			cert, err := certificateIn(c, args[0], file)
			if err != nil {
				return err
			}
			write := func(w io.Writer) error {
				return pem.Encode(w, &pem.Block{Type: "CERTIFICATE", Bytes: cert.Raw})
			}
			if output == "" {
				return write(c.OutOrStdout())
			}
			return writeFile(c.ErrOrStderr(), output, args, write)
		},
	}
	c.Flags().StringVar(&file, "passphrase-file", "", "file whose first line is the passphrase")
	c.Flags().StringVarP(&output, "output", "o", "", "file to write instead of standard output")
	return c
}
