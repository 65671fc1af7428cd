package main

import (
	"encoding/pem"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"setline.example/report/sign"
	"setline.example/report/trust"
	"setline.example/schema"
	"setline.example/schema/plaintext"
)

func newTrust() *cobra.Command {
	c := &cobra.Command{
		Use:   "trust",
		Short: "Keep the list of those whose signatures you trust",
		Long: `Trust keeps a trust list, which "setline verify --trust" holds signatures
against: certificates by their fingerprints, with name, firm and roles, and from
when until when each is trusted. Get a fingerprint from the person, over a
telephone or face to face, and never from a report.

Exit codes: 0 it is done, 2 it is not, and the list is as it was; 4 the list was
changed, and telling so failed.`,
		Example: `  setline trust add trust.json --name "Ingrid Sørlie" --as inspector --fingerprint "5C1E 0B7A ..."
  setline trust show trust.json
  setline trust remove trust.json --of "Ingrid Sørlie" --date 2027-03-01 --reason "left the firm"`,
		Args: noArgs,
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	c.AddCommand(newTrustAdd(), newTrustRemove(), newTrustShow())
	return c
}

// trustFlags are what an entry of a trust list is made of.
type trustFlags struct {
	name, firm, fingerprint, from, until string
	as                                   []string
	issues, stamps                       bool
}

func newTrustAdd() *cobra.Command {
	var f trustFlags
	c := &cobra.Command{
		Use:   "add LIST [CERTIFICATE]",
		Short: "Add a certificate to a trust list, or begin one",
		Long: `Add puts a certificate into LIST, which is made if it is not there. CERTIFICATE,
in PEM as "setline identity certificate" writes it, or your own identity, gives
name, firm and fingerprint; without it --name and --fingerprint say them, as the
person read them to you. --as says in which roles the person may sign.

The same key under another name is refused, and so is one that was taken out. A
renewed certificate, of the same name and key, comes beside the old one.

Exit codes: 0 it is done, 2 it is not, and the list is as it was; 4 the list was
changed, and telling so failed.`,
		Example: `  setline trust add trust.json ingrid.pem --as inspector
  setline trust add trust.json --name "Ingrid Sørlie" --firm "Halden Quality Services" --as inspector,installer --fingerprint "5C1E 0B7A ..." --until 2029-09-30
  setline trust add trust.json authority.pem --as contractor --issues
  setline trust add trust.json clock.pem --time-stamps`,
		ValidArgsFunction: files("json", "pem"),
		Args: func(c *cobra.Command, args []string) error {
			if len(args) == 0 || len(args) > 2 {
				return usage(c, fmt.Errorf("found %s, expected a trust list, and at most one certificate", plaintext.Count(len(args), "file")))
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error { return f.add(c, args) },
	}
	c.Flags().StringVar(&f.name, "name", "", "name that the certificate bears")
	c.Flags().StringVar(&f.firm, "firm", "", "firm that the certificate has to name")
	c.Flags().StringVar(&f.fingerprint, "fingerprint", "", "SHA-256 of the certificate, as the person read it to you")
	c.Flags().StringSliceVar(&f.as, "as", nil, "roles in which the person may sign: inspector, installer, contractor")
	c.Flags().StringVar(&f.from, "from", "", "first day on which it is trusted, YYYY-MM-DD")
	c.Flags().StringVar(&f.until, "until", "", "last day on which it is trusted, YYYY-MM-DD")
	c.Flags().BoolVar(&f.issues, "issues", false, "it may issue the certificates of others")
	c.Flags().BoolVar(&f.stamps, "time-stamps", false, "it is an authority for time stamps, and signs no reports")
	return c
}

func (f *trustFlags) add(c *cobra.Command, args []string) error {
	e, err := f.entry(c, args[1:])
	if err != nil {
		return err
	}
	return changeTrust(c, args[0], true, func(data []byte) ([]byte, string, error) {
		now, err := trust.Add(args[0], data, e)
		return now, fmt.Sprintf("%s is trusted %s", e.Name, trustedAs(e)), err
	})
}

// entry is what is to be added.
func (f *trustFlags) entry(c *cobra.Command, certificates []string) (e trust.Entry, err error) {
	e = trust.Entry{Stamps: f.stamps}
	e.Name, e.Firm, e.Fingerprint, e.Roles, e.Issues = f.name, f.firm, f.fingerprint, f.as, f.issues
	if len(f.as) > 0 == f.stamps {
		return e, usage(c, errors.New("found no role or two kinds of entry, expected either --as with roles or --time-stamps"))
	}
	for _, role := range f.as {
		if !slices.Contains(signers, role) {
			return e, usage(c, fmt.Errorf("found --as %q, expected %s", role, strings.Join(signers, ", ")))
		}
	}
	for _, day := range []struct {
		flag, text string
		to         *schema.Date
	}{{"--from", f.from, &e.From}, {"--until", f.until, &e.Until}} {
		if day.text == "" {
			continue
		}
		if *day.to, err = dated(day.flag, day.text); err != nil {
			return e, err
		}
	}
	if e.From != "" && e.Until != "" && e.Until < e.From {
		return e, usage(c, fmt.Errorf("found --until %s, expected a day not before --from, %s", e.Until, e.From))
	}
	if len(certificates) > 0 {
		err = f.certified(c, &e, certificates[0])
	} else if f.name == "" || f.fingerprint == "" {
		err = usage(c, errors.New("found no certificate, expected one in PEM, or --name and --fingerprint"))
	}
	return e, err
}

// certified takes from a certificate what stands in it, which what was said has
// to agree with.
func (f *trustFlags) certified(c *cobra.Command, e *trust.Entry, path string) error {
	cert, err := certificateIn(c, path, "")
	if err != nil {
		return err
	}
	name, firm, print := cert.Subject.CommonName, strings.Join(cert.Subject.Organization, ", "), sign.FingerprintOf(cert)
	said, wrong := sign.ParseFingerprint(f.fingerprint)
	switch {
	case f.fingerprint != "" && (wrong != nil || said != print):
		return hinted{fmt.Errorf("%s: found the fingerprint %s, expected the one that was said", path, print), "ask for the certificate again; do not trust this one"}
	case f.name != "" && !sign.SameName(f.name, name):
		return hinted{fmt.Errorf("%s: found the certificate of %q, expected that of %q", path, name, f.name), "ask whose it is"}
	case f.firm != "" && !sign.SameName(f.firm, firm):
		return hinted{fmt.Errorf("%s: found the firm %q, expected %q", path, firm, f.firm), "ask whose it is"}
	}
	e.Name, e.Firm, e.Fingerprint = name, firm, print.String()
	e.Certificate.Certificate = string(pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: cert.Raw}))
	return nil
}

func newTrustRemove() *cobra.Command {
	var of, date, reason string
	var never bool
	c := &cobra.Command{
		Use:   "remove LIST --of NAME --date DAY --reason WHY",
		Short: "Take a certificate out of a trust list",
		Long: `Remove takes a certificate out: it is trusted until --date and no longer. What it
signed by then stays trusted; with --never, as where somebody else may have had
the key, nothing does that it ever signed. The entry stays in the list with day
and reason, so that nobody adds it again.

--of is the name, or the fingerprint where several bear it.

Exit codes: 0 it is done, 2 it is not, and the list is as it was; 4 the list was
changed, and telling so failed.`,
		Example: `  setline trust remove trust.json --of "Ingrid Sørlie" --date 2027-03-01 --reason "left the firm"
  setline trust remove trust.json --of "Ingrid Sørlie" --date 2027-03-01 --reason "laptop stolen" --never`,
		ValidArgsFunction: files("json"),
		Args:              oneTrustList,
		RunE: func(c *cobra.Command, args []string) error {
			if of == "" || reason == "" {
				return usage(c, errors.New("found no name or no reason, expected --of, --date and --reason"))
			}
			day, err := dated("--date", date)
			if err != nil {
				return err
			}
			return changeTrust(c, args[0], false, func(data []byte) ([]byte, string, error) {
				e, err := entryOf(args[0], data, of)
				if err != nil {
					return nil, "", err
				}
				now, err := trust.Remove(args[0], data, e, trust.Removed{Date: day, Reason: reason, Never: never})
				return now, fmt.Sprintf("%s was taken out", e.Name), err
			})
		},
	}
	c.Flags().StringVar(&of, "of", "", "name or fingerprint of what is to be taken out")
	c.Flags().StringVar(&date, "date", "", "last day on which it is trusted, YYYY-MM-DD")
	c.Flags().StringVar(&reason, "reason", "", "why")
	c.Flags().BoolVar(&never, "never", false, "nothing that it ever signed is trusted any more")
	return c
}

// entryOf finds what is trusted by a name or a fingerprint.
func entryOf(path string, data []byte, of string) (found trust.Entry, err error) {
	all, err := trust.Entries(path, data)
	if err != nil {
		return found, err
	}
	var names, prints []string
	print, wrong := sign.ParseFingerprint(of)
	for _, e := range all {
		if e.Removed != nil {
			continue
		}
		names = append(names, e.Name)
		if own, err := sign.ParseFingerprint(e.Fingerprint); err == nil && (wrong == nil && own == print || sign.SameName(e.Name, of)) {
			found = e
			prints = append(prints, own.String())
		}
	}
	switch {
	case len(prints) == 0:
		mend := `see "setline trust show"`
		if near := schema.Nearest(of, names); near != "" {
			mend = fmt.Sprintf("write %q if that is meant", near)
		}
		return found, hinted{fmt.Errorf("%s: found --of %q, expected the name or fingerprint of one that is trusted", path, of), mend}
	case len(prints) > 1:
		return found, hinted{fmt.Errorf("%s: found %d entries of %q, expected one", path, len(prints), of), "name the fingerprint: " + strings.Join(prints, " or ")}
	}
	return found, nil
}

func newTrustShow() *cobra.Command {
	return &cobra.Command{
		Use:   "show LIST",
		Short: "Show whom a trust list trusts, and what for",
		Long: `Show prints each entry of a trust list: name, firm, what it is trusted for, from
when until when, its fingerprint, and what was taken out, when and why.

Exit codes: 0 it is shown, 2 it cannot be read.`,
		Example: `  setline trust show trust.json
  setline trust show north/trust.json`,
		ValidArgsFunction: files("json"),
		Args:              oneTrustList,
		RunE: func(c *cobra.Command, args []string) error {
			data, err := readFile(args[0], trustFile)
			if err != nil {
				return err
			}
			all, err := trust.Entries(args[0], data)
			if err != nil {
				return err
			}
			return printTrust(c.OutOrStdout(), all)
		},
	}
}

func printTrust(w io.Writer, all []trust.Entry) error {
	var out strings.Builder
	if len(all) == 0 {
		out.WriteString("nobody is trusted\n")
	}
	for _, e := range all {
		firm := ""
		if e.Firm != "" {
			firm = " (" + plaintext.Visible(e.Firm) + ")"
		}
		fmt.Fprintf(&out, "%s%s: trusted %s\n", plaintext.Visible(e.Name), firm, trustedAs(e))
		if r := e.Removed; r != nil {
			what := "what it signed until then stays trusted"
			if r.Never {
				what = "nothing that it signed is trusted"
			}
			fmt.Fprintf(&out, "    taken out on %s: %s; %s\n", r.Date, plaintext.Visible(r.Reason), what)
		}
		print, err := sign.ParseFingerprint(e.Fingerprint)
		if err != nil {
			return err
		}
		fmt.Fprintf(&out, "    %s\n", print)
	}
	_, err := io.WriteString(w, out.String())
	return err
}

// trustedAs says what an entry is trusted for.
func trustedAs(e trust.Entry) string {
	words := "for time stamps"
	if !e.Stamps {
		words = "as " + strings.Join(e.Roles, ", ")
	}
	if e.Issues {
		words += ", and may issue others"
	}
	if e.From != "" {
		words += ", from " + string(e.From)
	}
	if e.Until != "" {
		words += ", until " + string(e.Until)
	}
	return words
}

func oneTrustList(c *cobra.Command, args []string) error {
	if len(args) != 1 {
		return usage(c, fmt.Errorf("found %s, expected one trust list", plaintext.Count(len(args), "file")))
	}
	return nil
}

// changeTrust changes a trust list in place under its lock; begins says that it
// may not be there yet.
func changeTrust(c *cobra.Command, path string, begins bool, to func([]byte) (now []byte, said string, err error)) error {
	release, err := hold(c.Context(), path, c.CommandPath(), c.ErrOrStderr())
	if err != nil {
		return err
	}
	defer release()
	if _, err := os.Lstat(path); begins && errors.Is(err, fs.ErrNotExist) {
		now, said, err := to(nil)
		if err != nil {
			return err
		}
		if err := writeFresh(c.ErrOrStderr(), path, 0o644, now); err != nil {
			return err
		}
		return told(path, sayTrust(c.OutOrStdout(), path, said))
	}
	was, err := readFile(path, trustFile)
	if err != nil {
		return err
	}
	now, said, err := to(was)
	if err != nil {
		return err
	}
	return change(c, path, was, now, false, func(w io.Writer) error { return sayTrust(w, path, said) })
}

func sayTrust(w io.Writer, path, said string) error {
	_, err := fmt.Fprintf(w, "%s: %s\n", plaintext.Visible(path), plaintext.Visible(said))
	return err
}
