package main

import (
	"bytes"
	"crypto/x509"
	"errors"
	"fmt"
	"io"
	"slices"
	"time"

	"github.com/spf13/cobra"
	"setline.example/report"
	"setline.example/report/sign"
	"setline.example/schema"
)

func newVerify() *cobra.Command {
	var trust, templates, format, extract string
	var expect []string
	c := &cobra.Command{
		Use:   "verify REPORT.pdf",
		Short: "Check a signed turnover report without trusting whoever sent it",
		Long: `Verify says, line by line, whether a signed turnover report can be believed:
each signature is intact, and by whom and when; nothing was changed but by
signatures; the record inside is one, and the rules, run again, give the answer
that the report states; the pages are what the record gives.

With --trust, a file of certificates in PEM, every signer must be on that list
or lead to it. Without it, who signed is told and not checked. With --expect,
someone must have signed in each of these roles: a signature taken off the end
of the file leaves no trace that could be seen.

Exit codes: 0 everything holds, 1 something does not, 2 the file cannot be
read. A report that holds can still be NOT READY: read its answer.`,
		Example: `  setline verify turnover.pdf
  setline verify turnover.pdf --trust signers.pem --expect inspector,installer,contractor
  setline verify turnover.pdf --extract record.json`,
		ValidArgsFunction: files("pdf"),
		Args:              oneReport,
		RunE: func(c *cobra.Command, args []string) error {
			if err := knownFormat(format); err != nil {
				return usage(c, err)
			}
			for _, role := range expect {
				if !knownRole(role) {
					return usage(c, fmt.Errorf("found --expect %q, expected inspector, installer or contractor", role))
				}
			}
			v, record, err := verify(args[0], trust, templates, expect)
			if err != nil {
				return err
			}
			if extract != "" && record != nil {
				if err := writeFile(extract, args, these(record)); err != nil {
					return err
				}
			}
			if format == "json" {
				err = writeJSON(c.OutOrStdout(), v)
			} else {
				err = v.print(c.OutOrStdout(), args[0])
			}
			return settled(v.Holds, err)
		},
	}
	c.Flags().StringVar(&trust, "trust", "", "PEM file with the certificates you trust")
	c.Flags().StringSliceVar(&expect, "expect", nil, "roles that must have signed: inspector, installer, contractor")
	c.Flags().StringVar(&templates, "templates", "", "folder with the templates the report was made with")
	addFormatFlag(c, &format)
	c.Flags().StringVar(&extract, "extract", "", "file to write the record to")
	return c
}

// verification is what verify says, in its machine form version 1.
type verification struct {
	Format int     `json:"setline_verification"`
	Holds  bool    `json:"holds"`
	Answer string  `json:"answer"` // "READY", "NOT READY", or "" where it cannot be told
	Checks []check `json:"checks"`
}

// check is one line: what was looked at, whether it holds, and what was found.
type check struct {
	What  string `json:"what"`
	Holds bool   `json:"holds"`
	Found string `json:"found"`
}

func (v *verification) add(what string, holds bool, found string) {
	v.Checks = append(v.Checks, check{what, holds, found})
	v.Holds = v.Holds && holds
}

func verify(path, trust, templates string, expect []string) (*verification, []byte, error) {
	data, err := readFile(path, reportFile)
	if err != nil {
		return nil, nil, err
	}
	var pool *x509.CertPool
	if trust != "" {
		certificates, err := readFile(trust, certificatesFile)
		if err != nil {
			return nil, nil, err
		}
		pool = x509.NewCertPool()
		if !pool.AppendCertsFromPEM(certificates) {
			return nil, nil, hinted{fmt.Errorf("%s: found no certificate, expected some in PEM", trust), "check the file"}
		}
	}
	l, err := letterhead(templates)
	if err != nil {
		return nil, nil, err
	}
	v := &verification{Format: 1, Holds: true}
	signed, err := sign.Verify(data, pool)
	if errors.Is(err, sign.ErrFile) && bytes.HasPrefix(data, []byte("%PDF-")) {
		// A PDF, and broken, or changed where nothing may be: that is an answer.
		v.add("the file is whole", false, err.Error())
		return v, nil, nil
	}
	if err != nil {
		return nil, nil, hinted{fmt.Errorf("%s: %w", path, err), `name a report that "setline report" wrote`}
	}
	for i, s := range signed.Signatures {
		v.signature(i+1, s, pool != nil)
	}
	v.expected(expect, signed.Signatures, pool != nil)
	if len(signed.Problems) == 0 {
		v.add("nothing else was changed", true, "every revision adds only what its signature needs, and the last covers the whole file")
	}
	for _, p := range signed.Problems {
		v.add("nothing else was changed", false, p)
	}
	record := v.pages(signed, data, l)
	return v, record, nil
}

// expected holds that someone has signed in each of these roles.
func (v *verification) expected(roles []string, signed []sign.Signature, trusting bool) {
	for _, role := range roles {
		good := slices.ContainsFunc(signed, func(s sign.Signature) bool {
			return string(s.Role) == role && s.Intact && s.CoversWholeRevision && s.Problem == "" && (s.Trusted || !trusting)
		})
		found := "someone has, as said above"
		if !good {
			found = "found no signature in that role that holds"
		}
		v.add("the "+role+" has signed", good, found)
	}
}

// named says where someone else has signed than the record names. People stand
// in for each other, so that it is told and for the reader to judge.
func (v *verification) named(who schema.SignOff, signed []sign.Signature) {
	for i, s := range signed {
		p := map[sign.Role]*schema.Signer{sign.Inspector: who.Inspector, sign.Installer: who.Installer, sign.Contractor: who.Contractor}[s.Role]
		if p != nil && p.Name != s.Name {
			v.add(fmt.Sprintf("signature %d", i+1), true, fmt.Sprintf("someone else signed than the record names as %s: %s; see that this is meant", s.Role, p.Name))
		}
	}
}

func (v *verification) signature(n int, s sign.Signature, trusting bool) {
	who := s.Name
	if s.Firm != "" {
		who += " (" + s.Firm + ")"
	}
	found := fmt.Sprintf("%s as %s, %s (%s), for %q", who, s.Role, s.Time.UTC().Format(time.DateTime+" UTC"), s.TimeFrom, s.Reason)
	what := fmt.Sprintf("signature %d is intact", n)
	intact := s.Intact && s.CoversWholeRevision && s.Problem == ""
	if s.WithPicture {
		found += "; the page shows a picture beside it, which proves nothing"
	}
	if s.Problem != "" {
		found += "; " + s.Problem
	}
	v.add(what, intact, found)
	if trusting {
		v.add(fmt.Sprintf("signature %d is trusted", n), s.Trusted, s.TrustedBy)
	} else {
		v.add(fmt.Sprintf("signature %d", n), true, "trust not checked; name the certificates you trust with --trust")
	}
}

// pages holds record, answer and pages together.
func (v *verification) pages(signed sign.Verification, data []byte, l *report.Letterhead) []byte {
	first := signed.FirstRevision
	if first == nil {
		first = data
	}
	r, err := report.Rebuild(first, l)
	if err != nil {
		v.add("the record is one, and gives this report", false, err.Error())
		if r == nil {
			return nil
		}
		return r.Record
	}
	v.Answer = "NOT READY"
	if r.Ready {
		v.Answer = "READY"
	}
	v.named(r.SignOff, signed.Signatures)
	v.add("the record is one", true, "it fits the schema, and the rules run again say "+v.Answer)
	switch {
	case r.Differs == "":
		v.add("the pages are what the record gives", true, "made again, the report is the same byte for byte")
	case r.Version != version():
		v.add("the pages are what the record gives", false,
			fmt.Sprintf("%s; the report was made by Setline %s and this is %s, which may account for it: verify with that version", r.Differs, r.Version, version()))
	default:
		v.add("the pages are what the record gives", false, r.Differs)
	}
	return r.Record
}

func (v *verification) print(w io.Writer, path string) error {
	answer := "HOLDS"
	if !v.Holds {
		answer = "DOES NOT HOLD"
	}
	text := fmt.Sprintf("%s: %s", visible(path), answer)
	if v.Answer != "" {
		text += "; its answer is " + v.Answer
	}
	text += "\n"
	for _, c := range v.Checks {
		word := "holds"
		if !c.Holds {
			word = "DOES NOT"
		}
		text += fmt.Sprintf("  %-9s %s\n            %s\n", word, visible(c.What), visible(c.Found))
	}
	_, err := io.WriteString(w, text)
	return err
}
