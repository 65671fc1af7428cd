package main

import (
	"errors"
	"fmt"
	"os"
	"time"

	"github.com/spf13/cobra"
	"setline.example/report/sign"
	"setline.example/report/trust"
	"setline.example/report/verify"
)

// verifyFlags are the flags of verify.
type verifyFlags struct {
	trust, format, extract, extractReport, photos, at string
	expect                                            []string
	strict                                            bool
	rooms                                             []string
}

func newVerify() *cobra.Command {
	var f verifyFlags
	c := &cobra.Command{
		Use:   "verify REPORT.pdf",
		Short: "Check a signed turnover report without trusting whoever sent it",
		Long: `Verify says, line by line, whether a signed turnover report can be believed:
each signature is intact, and by whom and when; nothing was changed but by
signatures; the record inside is one, and the rules, run again, give the answer
that the report states; the pages are what the record gives.

There are three verdicts: the report HOLDS, it DOES NOT HOLD, or it is
INDETERMINATE: nothing speaks against it, and its pages are not proven. Only
one that holds has an answer, which can still be NOT READY: read it. A report of
some rooms of a job says so in its answer, and is remarked on unless --room names
the rooms that must be handed over.

With --trust, a trust list ("setline schema --of trust") or certificates in PEM,
every signer must be on that list, or have been issued by one on it that may.
Without it, who signed is told and not checked. With --expect, someone must have
signed in each of these roles: a signature taken off the end of the file leaves
no trace that could be seen.

Other software may have signed behind the signatures of Setline. Then it is told
up to which revision everything holds and what was added; the report is
indeterminate, and --extract-report gives back the part that holds.

A remark is for you to judge: a time that cannot be, a certificate that has
expired, one key in two roles. With --strict nothing may be remarked on. Whether
a certificate has expired, and what is in the future, is told by today or by
--at; nothing else depends on the day. Revocation is never checked.

Whoever has no terminal opens a page that says the same, in a browser, from disk:
setline_VERSION_verify.html among the files of a release, whose SHA-256 stands in
SHA256SUMS there. A page that comes along with a report proves nothing.

With --extract, another file of that name is kept beside the one taken out, as
NAME-former.

Exit codes: 0 it holds, 1 it does not, 2 the file cannot be read, 3 it is
indeterminate.`,
		Example: `  setline verify turnover.pdf
  setline verify turnover.pdf --trust trust.json --expect inspector,installer,contractor
  setline verify turnover.pdf --extract record.json
  setline verify signed-elsewhere.pdf --extract-report turnover.pdf`,
		ValidArgsFunction: files("pdf"),
		Args:              oneReport,
		RunE:              func(c *cobra.Command, args []string) error { return f.verify(c, args[0]) },
	}
	c.Flags().StringVar(&f.trust, "trust", "", "trust list in JSON, or PEM file with the certificates of signers you trust")
	c.Flags().StringSliceVar(&f.expect, "expect", nil, "roles that must have signed: inspector, installer, contractor")
	c.Flags().StringArrayVar(&f.rooms, "room", nil, "room that must be handed over; may be given again for more")
	c.Flags().BoolVar(&f.strict, "strict", false, "let nothing hold that there is a remark on")
	c.Flags().StringVar(&f.at, "at", "", "day to verify at, YYYY-MM-DD, instead of today")
	c.Flags().StringVar(&f.photos, "photos", "", "folder with the files of the photographs, to hold those in the report against")
	addFormatFlag(c, &f.format)
	c.Flags().StringVar(&f.extract, "extract", "", "file to write the record to")
	c.Flags().StringVar(&f.extractReport, "extract-report", "", "file to write the report to, up to the last revision up to which everything holds")
	return c
}

// verify verifies the report named path.
func (f *verifyFlags) verify(c *cobra.Command, path string) error {
	o, err := f.options(c)
	if err != nil {
		return err
	}
	data, err := readFile(path, reportFile)
	if err != nil {
		return err
	}
	found, err := verify.Report(data, o)
	if err != nil {
		return hinted{fmt.Errorf("%s: %w", path, err), `name a report that "setline report" wrote`}
	}
	tell := func(err error) error { return err }
	if f.extract != "" && found.Record != nil {
		if err := writeBeside(c.ErrOrStderr(), f.extract, []string{path}, anythingElse(these(found.Record)), these(found.Record)); err != nil {
			return err
		}
		tell = func(err error) error { return told(f.extract, err) }
	}
	if f.extractReport != "" && found.Part != nil {
		if err := writeBeside(c.ErrOrStderr(), f.extractReport, []string{path}, anythingElse(these(found.Part)), these(found.Part)); err != nil {
			return err
		}
	}
	if f.format == "json" {
		err = writeJSON(c.OutOrStdout(), found.Verification)
	} else {
		err = found.Text(c.OutOrStdout(), path)
	}
	if err == nil && found.Verdict == verify.Indeterminate {
		return errIndeterminate
	}
	return settled(found.Holds, tell(err))
}

// options reads what the flags say and name.
func (f *verifyFlags) options(c *cobra.Command) (verify.Options, error) {
	o := verify.Options{Strict: f.strict, Rooms: f.rooms, Version: version()}
	if err := knownFormat(f.format); err != nil {
		return o, usage(c, err)
	}
	for _, role := range f.expect {
		if !knownRole(role) {
			return o, usage(c, fmt.Errorf("found --expect %q, expected inspector, installer or contractor", role))
		}
		o.Expect = append(o.Expect, sign.Role(role))
	}
	var err error
	if o.At, err = dayNamed(c, f.at); err != nil {
		return o, err
	}
	if o.Trust, err = trustList(f.trust); err != nil {
		return o, err
	}
	if f.photos != "" {
		root, err := os.OpenRoot(f.photos)
		if err != nil {
			return o, hinted{fmt.Errorf("%s: cannot be opened: %w", f.photos, err), "name the folder of the photographs with --photos"}
		}
		o.Photos = root.FS() // closed when the program ends
	}
	return o, nil
}

// dayNamed is the end, in UTC, of the day that --at names; now where it names none.
func dayNamed(c *cobra.Command, at string) (time.Time, error) {
	if at == "" {
		return time.Now(), nil
	}
	day, err := time.Parse(time.DateOnly, at)
	if err != nil {
		return day, usage(c, fmt.Errorf("found --at %q, expected a day such as 2026-10-02", at))
	}
	return day.Add(24*time.Hour - time.Second), nil
}

// trustList reads whom the reader trusts; nil where no file is named.
func trustList(path string) (*sign.Trust, error) {
	if path == "" {
		return nil, nil
	}
	data, err := readFile(path, trustFile)
	if err != nil {
		return nil, err
	}
	return trust.Read(path, data)
}

// errIndeterminate ends a command whose input is good and whose answer nobody
// can tell.
var errIndeterminate = errors.New("indeterminate")
