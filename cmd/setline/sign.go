package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"time"

	"github.com/spf13/cobra"
	"setline.example/report"
	"setline.example/report/sign"
	"setline.example/schema/plaintext"
)

// signFlags are the flags of sign.
type signFlags struct {
	identity, as, output, timestamp, passphraseFile, picture string
	inspection                                               bool
}

func newSign() *cobra.Command {
	var f signFlags
	c := &cobra.Command{
		Use:   "sign REPORT.pdf --identity FILE --as ROLE",
		Short: "Sign a turnover report",
		Long: `Sign adds a signature to a turnover report (PAdES): the inspector first, then
the installer, then the general contractor, each to what the others signed.
Earlier signatures stay valid; any other change is seen by "setline verify".

Before it signs, it takes the record out of the report and makes the report
again: what is signed must be what the record says. A report that is NOT READY
is signed only with --inspection, as a report of what was found, and the
signature says so.

A report of another version of Setline, whose pages this one draws otherwise,
cannot be made again. It is signed only where others have signed it before and
all their signatures are intact; what was not compared is told.

The report keeps a place for each role, which then shows what the signature
says. With --picture a picture of a handwritten signature is shown there too; it
proves nothing, and the page says so.

The report is signed in place, whole or not at all, unless -o names another
file.

Exit codes: 0 the report is signed, 2 it is not, and nothing is written.`,
		Example: `  setline sign turnover.pdf --identity me.p12 --as inspector
  setline sign turnover.pdf --identity me.p12 --as installer --picture hand.png -o signed.pdf
  setline sign turnover.pdf --identity me.p12 --as inspector --inspection`,
		ValidArgsFunction: files("pdf"),
		Args:              oneReport,
		RunE:              func(c *cobra.Command, args []string) error { return f.sign(c, args[0]) },
	}
	c.Flags().StringVar(&f.identity, "identity", "", "PKCS#12 or PEM file with key and certificate")
	c.Flags().StringVar(&f.as, "as", "", "inspector, installer or contractor")
	c.Flags().StringVarP(&f.output, "output", "o", "", "file to write instead of signing in place")
	c.Flags().StringVar(&f.picture, "picture", "", "picture of a handwritten signature, PNG or JPEG, to show beside what is signed")
	c.Flags().StringVar(&f.timestamp, "timestamp", "", "address of an RFC 3161 time-stamp authority")
	c.Flags().StringVar(&f.passphraseFile, "passphrase-file", "", "file whose first line is the passphrase")
	c.Flags().BoolVar(&f.inspection, "inspection", false, "sign a report that is NOT READY, as a report of what was found")
	return c
}

// sign signs the report named path.
func (f *signFlags) sign(c *cobra.Command, path string) error {
	if !knownRole(f.as) {
		return usage(c, fmt.Errorf("found --as %q, expected inspector, installer or contractor", f.as))
	}
	if f.identity == "" {
		return usage(c, errors.New("found no identity, expected --identity with a PKCS#12 or PEM file"))
	}
	data, err := readFile(path, reportFile)
	if err != nil {
		return err
	}
	reason, made, err := reasonFor(c.ErrOrStderr(), path, data, f.inspection)
	if err != nil {
		return err
	}
	id, _, err := openIdentity(c, f.identity, f.passphraseFile)
	if err != nil {
		return err
	}
	hand, err := handwritten(f.picture)
	if err != nil {
		return err
	}
	again, release, err := f.holdToSign(c, path, data)
	if err != nil {
		return err
	}
	defer release()
	if !bytes.Equal(again, data) {
		// Another has signed since it was read, or someone has changed it.
		data = again
		if reason, made, err = reasonFor(c.ErrOrStderr(), path, data, f.inspection); err != nil {
			return err
		}
	}
	signed, err := sign.Sign(data, sign.Request{Identity: id, As: sign.Role(f.as), Reason: reason, Time: time.Now(), TSA: f.timestamp, Picture: hand,
		Made: func(first []byte) bool { return made != nil && bytes.Equal(first, made) }})
	if err != nil {
		return hinted{fmt.Errorf("%s: %w", path, err), `see what "setline verify" says of the file, and that the identity is valid today`}
	}
	if f.inPlace(path) {
		_, err := replaceFile(c.ErrOrStderr(), path, data, signed, false)
		return err
	}
	return writeFile(c.ErrOrStderr(), f.output, nil, these(signed))
}

func (f *signFlags) inPlace(path string) bool { return f.output == "" || sameFile(f.output, path) }

// holdToSign locks the report where it is signed in place, and reads it again:
// while a passphrase was typed another may have signed. Nothing is locked while
// a person is asked.
func (f *signFlags) holdToSign(c *cobra.Command, path string, data []byte) (again []byte, release func(), err error) {
	if !f.inPlace(path) {
		return data, func() {}, nil
	}
	release, err = hold(c.Context(), path, c.CommandPath(), c.ErrOrStderr())
	if err != nil {
		return nil, nil, err
	}
	if again, err = readFile(path, reportFile); err != nil {
		release()
	}
	return again, release, err
}

// oneReport wants the name of one report as the argument.
func oneReport(c *cobra.Command, args []string) error {
	if len(args) != 1 {
		return usage(c, errors.New("found "+plaintext.Count(len(args), "file")+", expected one report"))
	}
	return nil
}

func knownRole(role string) bool {
	switch sign.Role(role) {
	case sign.Inspector, sign.Installer, sign.Contractor:
		return true
	}
	return false
}

// handwritten reads a picture of a signature, "" for none.
func handwritten(path string) (*sign.Picture, error) {
	if path == "" {
		return nil, nil
	}
	data, err := readFile(path, pictureFile)
	if err != nil {
		return nil, err
	}
	p, err := sign.ParsePicture(data)
	if err != nil {
		return nil, hinted{fmt.Errorf("%s: %w", path, err), "name a PNG or JPEG picture, or sign without one"}
	}
	return p, nil
}

// reasonFor says what a signature on the report is for. It refuses a report
// that is not what its record says, and one that is not ready unless it is
// signed as an inspection. The pages of another format cannot be compared; such
// a report is countersigned only, and told is what was not compared. made are the
// bytes of the report as it was made, where it was made again and is the same.
func reasonFor(stderr io.Writer, path string, data []byte, inspection bool) (reason string, made []byte, err error) {
	var r *report.Rebuilt
	v, unread := sign.VerifyMade(data, nil, func(first []byte) bool {
		if r, err = report.Rebuild(first); err == nil && r.Compared && r.Differs == "" {
			made = first
		}
		return made != nil
	})
	if unread != nil || len(v.Signatures) == 0 && len(v.FirstRevision) < len(data) {
		made = nil
		r, err = report.Rebuild(data)
	}
	if err != nil {
		return "", nil, hinted{fmt.Errorf("%s: %w", path, err), `sign a report that "setline report" wrote`}
	}
	switch {
	case r.Differs != "":
		return "", nil, hinted{fmt.Errorf("%s: found pages that its record does not give (%s), expected those it gives", path, r.Differs), "make the report again from its record"}
	case r.Compared:
	case !v.Sound():
		return "", nil, hinted{fmt.Errorf("%s: found a report without a signature that is intact, and with pages of format %d by Setline %q, expected pages of format %d, which can be held against its record", path, r.Format, r.Version, report.PageFormat()), "make the report again from its record, or sign it first with that version"}
	case r.Contradiction() != "":
		return "", nil, hinted{fmt.Errorf("%s: found two answers: %s; expected one", path, r.Contradiction()), "make the report again from its record"}
	default:
		note(stderr, fmt.Sprintf("%s: its pages are of format %d, by Setline %q, and this Setline draws format %d: they were not held against the record; signatures intact: %d; results that this Setline judges otherwise: %d",
			path, r.Format, r.Version, report.PageFormat(), len(v.Signatures), len(r.Otherwise)))
	}
	if r.Ready || inspection {
		return r.Reason(), made, nil
	}
	return "", nil, hinted{fmt.Errorf("%s: found a report that is NOT READY, expected one that is ready to accept", path), "sign it as a report of what was found with --inspection"}
}
