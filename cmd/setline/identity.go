package main

import (
	"bytes"
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"os"
	"time"

	"github.com/spf13/cobra"
	"setline.example/report/sign"
	"setline.example/schema/plaintext"
)

func newIdentity() *cobra.Command {
	c := &cobra.Command{
		Use:   "identity",
		Short: "Make, show and renew an identity to sign with",
		Long: `Identity is about what a person signs reports with: a key, and a certificate
that says whose it is.

Exit codes: 0 it is done, 2 it is not, and nothing is written.`,
		Example: `  setline identity new -o me.p12 --name "Ingrid Sørlie"
  setline identity show me.p12
  setline identity renew me.p12 -o me-2029.p12`,
		Args: noArgs,
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	c.AddCommand(newIdentityNew(), newIdentityShow(), newIdentityCertificate(), newIdentityRenew())
	return c
}

func newIdentityNew() *cobra.Command {
	var output, name, firm, file string
	c := &cobra.Command{
		Use:   "new -o FILE --name NAME",
		Short: "Make a key and its certificate, protected by a passphrase",
		Long: `New makes a key (ECDSA P-256) and a certificate signed with that key, and writes
both to a PKCS#12 file under a passphrase. Those who shall trust the signatures
need its fingerprint, from you and not from the report: "setline identity show"
prints it, to be read over a telephone. An identity from a company's own
authority, PKCS#12 or PEM, serves as well; then the authority is to be trusted.

Nobody can read the key without the passphrase, and nobody can reset it: with a
passphrase that is lost the identity is lost. It is for three years; renew it
before.

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
			if err := notThere(output); err != nil {
				return err
			}
			secret, err := passphrase(file, true, c.InOrStdin(), c.ErrOrStderr())
			if err != nil {
				return err
			}
			id, err := sign.NewIdentity(name, firm, time.Now(), rand.Reader)
			if err != nil {
				return err
			}
			return keepIdentity(c.ErrOrStderr(), output, id, secret)
		},
	}
	c.Flags().StringVarP(&output, "output", "o", "", "PKCS#12 file to write")
	c.Flags().StringVar(&name, "name", "", "your name")
	c.Flags().StringVar(&firm, "firm", "", "your firm")
	c.Flags().StringVar(&file, "passphrase-file", "", "file whose first line is the passphrase")
	return c
}

// notThere refuses to write an identity over a file.
func notThere(path string) error {
	if _, err := os.Lstat(path); err == nil {
		return hinted{fmt.Errorf("%s: found a file, expected none, since an identity cannot be made again", path), "name another file"}
	}
	return nil
}

// keepIdentity writes an identity for its owner alone.
func keepIdentity(stderr io.Writer, path string, id sign.Identity, secret string) error {
	if secret == "" {
		return hinted{errors.New("found an empty passphrase, expected one that protects the key"), "choose one"}
	}
	data, err := id.PKCS12(secret)
	if err != nil {
		return err
	}
	return writeFresh(stderr, path, 0o600, data)
}

// openIdentity reads an identity from a file, and returns with it the passphrase
// that opened it: "" for PEM, which has none.
func openIdentity(c *cobra.Command, path, passphraseFile string) (id sign.Identity, secret string, err error) {
	data, err := readFile(path, identityFile)
	if err != nil {
		return id, "", err
	}
	if !bytes.Contains(data, []byte("-----BEGIN ")) {
		if secret, err = passphrase(passphraseFile, false, c.InOrStdin(), c.ErrOrStderr()); err != nil {
			return id, "", err
		}
	}
	if id, err = sign.ParseIdentity(data, secret); err != nil {
		return id, "", hinted{fmt.Errorf("%s: %w", path, err), `check the passphrase and the file, or make an identity with "setline identity new"`}
	}
	return id, secret, nil
}

func newIdentityRenew() *cobra.Command {
	var output, file string
	c := &cobra.Command{
		Use:   "renew FILE -o FILE",
		Short: "Make a new certificate for an identity before the old one expires",
		Long: `Renew makes a certificate for three more years, of the same key and in the same
name, and writes it with the key to another file under the same passphrase. Its
fingerprint is another: tell it to those who are to trust it, before the old one
expires. What was signed with the old certificate stays as it is.

An identity that an authority issued is renewed by that authority.

Exit codes: 0 the identity is written, 2 it is not, and nothing is written.`,
		Example: `  setline identity renew me.p12 -o me-2029.p12
  setline identity renew me.p12 -o me-2029.p12 --passphrase-file secret.txt`,
		Args: oneIdentity,
		RunE: func(c *cobra.Command, args []string) error {
			if output == "" {
				return usage(c, errors.New("found no file to write, expected -o"))
			}
			if err := notThere(output); err != nil {
				return err
			}
			id, secret, err := openIdentity(c, args[0], file)
			if err != nil {
				return err
			}
			if secret == "" { // it was not protected yet
				if secret, err = passphrase(file, true, c.InOrStdin(), c.ErrOrStderr()); err != nil {
					return err
				}
			}
			if id, err = id.Renew(time.Now(), rand.Reader); err != nil {
				return hinted{fmt.Errorf("%s: %w", args[0], err), "ask the authority that issued it for a new one"}
			}
			return keepIdentity(c.ErrOrStderr(), output, id, secret)
		},
	}
	c.Flags().StringVarP(&output, "output", "o", "", "PKCS#12 file to write")
	c.Flags().StringVar(&file, "passphrase-file", "", "file whose first line is the passphrase")
	return c
}

func oneIdentity(c *cobra.Command, args []string) error {
	if len(args) != 1 {
		return usage(c, errors.New("found "+plaintext.Count(len(args), "file")+", expected one identity"))
	}
	return nil
}
