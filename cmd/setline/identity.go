package main

import (
	"crypto/rand"
	"errors"
	"fmt"
	"os"
	"time"

	"github.com/spf13/cobra"
	"setline.example/report/sign"
)

func newIdentity() *cobra.Command {
	c := &cobra.Command{
		Use:   "identity",
		Short: "Make an identity to sign with",
		Long: `Identity makes what a person signs reports with: a key, and a certificate that
says whose it is.

Exit codes: 0 it is made, 2 it is not, and nothing is written.`,
		Example: `  setline identity new -o me.p12 --name "Ingrid Sørlie"
  setline identity new --help`,
		Args: noArgs,
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	c.AddCommand(newIdentityNew())
	return c
}

func newIdentityNew() *cobra.Command {
	var output, name, firm, file string
	c := &cobra.Command{
		Use:   "new -o FILE --name NAME",
		Short: "Make a key and a certificate signed with it, protected by a passphrase",
		Long: `New makes a key (ECDSA P-256) and a certificate signed with that key, and writes
both to a PKCS#12 file under a passphrase. Those who shall trust the signatures
need the certificate, from you and not from the report; print it with
"openssl pkcs12 -in FILE -nokeys". An identity from a company's own authority,
PKCS#12 or PEM, serves as well and needs no such hand-over.

The passphrase is asked for at the terminal, or read from --passphrase-file or
from SETLINE_PASSPHRASE; it is never an argument.

Exit codes: 0 the identity is written, 2 it is not, and nothing is written.`,
		Example: `  setline identity new -o me.p12 --name "Ingrid Sørlie" --firm "Halden Quality Services"
  setline identity new -o me.p12 --name "Marek Łuczak" --passphrase-file secret.txt`,
		Args: noArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			if output == "" || name == "" {
				return usage(c, errors.New("found no file or no name, expected -o and --name"))
			}
			if _, err := os.Lstat(output); err == nil {
				return hinted{fmt.Errorf("%s: found a file, expected none, since an identity cannot be made again", output), "name another file"}
			}
			secret, err := passphrase(file, true, c.InOrStdin(), c.ErrOrStderr())
			if err != nil {
				return err
			}
			if secret == "" {
				return hinted{errors.New("found an empty passphrase, expected one that protects the key"), "choose one"}
			}
			id, err := sign.NewIdentity(name, firm, time.Now(), rand.Reader)
			if err != nil {
				return err
			}
			data, err := id.PKCS12(secret)
			if err != nil {
				return err
			}
			return writeFileMode(output, nil, 0o600, these(data))
		},
	}
	c.Flags().StringVarP(&output, "output", "o", "", "PKCS#12 file to write")
	c.Flags().StringVar(&name, "name", "", "your name")
	c.Flags().StringVar(&firm, "firm", "", "your firm")
	c.Flags().StringVar(&file, "passphrase-file", "", "file whose first line is the passphrase")
	return c
}
