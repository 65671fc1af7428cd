package main

import (
	"bytes"
	"crypto/x509"
	"encoding/pem"
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"setline.example/report/sign"
	"setline.example/schema/plaintext"
)

// renewBefore is how long before its end an identity is said to expire soon:
// time enough to tell a new fingerprint to all who need it.
const renewBefore = 90 * 24 * time.Hour

func newIdentityShow() *cobra.Command {
	var file, format, at string
	c := &cobra.Command{
		Use:   "show FILE",
		Short: "Show whose an identity is, and the fingerprint to trust it by",
		Long: `Show prints name, firm, validity and fingerprint of an identity in PKCS#12 or
PEM, or of a certificate in PEM, which needs no passphrase. Read the fingerprint
to those who are to trust it, over a telephone or face to face: sixteen groups
of four digits, which the block of a signature on the page and "setline verify"
show in the same way.

It warns of an identity that has expired, or will within 90 days of today or of
the day named with --at.

Exit codes: 0 it is shown, 2 it cannot be read.`,
		Example: `  setline identity show me.p12
  setline identity show certificate.pem --format json`,
		Args: oneIdentity,
		RunE: func(c *cobra.Command, args []string) error {
			if err := knownFormat(format); err != nil {
				return usage(c, err)
			}
			day, err := dayNamed(c, at)
			if err != nil {
				return err
			}
			cert, err := certificateIn(c, args[0], file)
			if err != nil {
				return err
			}
			shown := shownOf(cert, day)
			if format == "json" {
				return writeJSON(c.OutOrStdout(), shown)
			}
			return shown.print(c.OutOrStdout())
		},
	}
	c.Flags().StringVar(&file, "passphrase-file", "", "file whose first line is the passphrase")
	c.Flags().StringVar(&at, "at", "", "day to warn at, YYYY-MM-DD, instead of today")
	addFormatFlag(c, &format)
	return c
}

// certificateIn reads the certificate of an identity, for which a passphrase is
// asked only where it takes one.
func certificateIn(c *cobra.Command, path, file string) (*x509.Certificate, error) {
	data, err := readFile(path, identityFile)
	if err != nil {
		return nil, err
	}
	if bytes.Contains(data, []byte("-----BEGIN ")) && !bytes.Contains(data, []byte("PRIVATE KEY-----")) {
		block, _ := pem.Decode(data)
		if block == nil || block.Type != "CERTIFICATE" {
			return nil, hinted{fmt.Errorf("%s: found no certificate, expected an identity or a certificate in PEM", path), "check the file"}
		}
		cert, err := x509.ParseCertificate(block.Bytes)
		if err != nil {
			return nil, hinted{fmt.Errorf("%s: found a certificate that cannot be read: %w", path, err), "ask for it again"}
		}
		return cert, nil
	}
	id, _, err := openIdentity(c, path, file)
	return id.Certificate, err
}

// shownIdentity is what show says, in its machine form version 1. Its members
// are called as in a trust list.
type shownIdentity struct {
	Format      int    `json:"setline_identity"`
	Name        string `json:"name"`
	Firm        string `json:"firm,omitempty"`
	Fingerprint string `json:"fingerprint"`
	From        string `json:"from"`             // RFC 3339
	Until       string `json:"until"`            // the same
	Issuer      string `json:"issuer,omitempty"` // none where it is signed with its own key
	State       string `json:"state"`            // "in force", "expires soon", "expired" or "not yet in force"
	warning     string
}

func shownOf(c *x509.Certificate, at time.Time) shownIdentity {
	s := shownIdentity{
		Format: 1, Name: c.Subject.CommonName, Firm: strings.Join(c.Subject.Organization, ", "),
		Fingerprint: sign.FingerprintOf(c).String(), State: "in force",
		From: c.NotBefore.UTC().Format(time.RFC3339), Until: c.NotAfter.UTC().Format(time.RFC3339),
	}
	if !bytes.Equal(c.RawIssuer, c.RawSubject) {
		s.Issuer = c.Issuer.String()
	}
	switch left := c.NotAfter.Sub(at); {
	case at.Before(c.NotBefore):
		s.State, s.warning = "not yet in force", "nothing can be signed with it yet"
	case left < 0:
		s.State, s.warning = "expired", "nothing can be signed with it any more; renew it"
	case left < renewBefore:
		s.State, s.warning = "expires soon", fmt.Sprintf("it expires in %s; renew it, and tell its new fingerprint", plaintext.Count(int(left/(24*time.Hour)), "day"))
	}
	return s
}

func (s shownIdentity) print(w io.Writer) error {
	var b strings.Builder
	who := s.Name
	if s.Firm != "" {
		who += " (" + s.Firm + ")"
	}
	fmt.Fprintf(&b, "%s\n%s\n", plaintext.Visible(who), s.Fingerprint)
	fmt.Fprintf(&b, "%s, from %s until %s\n", s.State, s.From, s.Until)
	if s.Issuer == "" {
		b.WriteString("signed with its own key: only the fingerprint tells whose it is\n")
	} else {
		fmt.Fprintf(&b, "issued by %s\n", plaintext.Visible(s.Issuer))
	}
	if s.warning != "" {
		fmt.Fprintf(&b, "warning: %s\n", s.warning)
	}
	_, err := io.WriteString(w, b.String())
	return err
}
