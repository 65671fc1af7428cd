package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"time"

	"github.com/spf13/cobra"
	"setline.example/report"
	"setline.example/report/sign"
)

// maxReport limits the PDF files that are read.
const maxReport = 256 << 20

func newSign() *cobra.Command {
	var identity, as, output, timestamp, file, templates, picture string
	var inspection bool
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
		Args: func(c *cobra.Command, args []string) error {
			if len(args) != 1 {
				return usage(c, errors.New("found "+count(len(args), "file")+", expected one report"))
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			path := args[0]
			if !knownRole(as) {
				return usage(c, fmt.Errorf("found --as %q, expected inspector, installer or contractor", as))
			}
			if identity == "" {
				return usage(c, errors.New("found no identity, expected --identity with a PKCS#12 or PEM file"))
			}
			data, err := readReport(path)
			if err != nil {
				return err
			}
			reason, err := reasonFor(path, data, templates, inspection)
			if err != nil {
				return err
			}
			key, err := os.ReadFile(identity)
			if err != nil {
				return hinted{fmt.Errorf("%s: cannot be read: %w", identity, err), "name a PKCS#12 or PEM file"}
			}
			secret, err := passphrase(file, false, c.InOrStdin(), c.ErrOrStderr())
			if err != nil {
				return err
			}
			id, err := sign.ParseIdentity(key, secret)
			if err != nil {
				return fmt.Errorf("%s: %w", identity, err)
			}
			hand, err := handwritten(picture)
			if err != nil {
				return err
			}
			signed, err := sign.Sign(data, sign.Request{Identity: id, As: sign.Role(as), Reason: reason, Time: time.Now(), TSA: timestamp, Picture: hand})
			if err != nil {
				return fmt.Errorf("%s: %w", path, err)
			}
			if output == "" {
				output = path
			}
			return writeFile(output, nil, func(w io.Writer) error {
				_, err := w.Write(signed)
				return err
			})
		},
	}
	c.Flags().StringVar(&identity, "identity", "", "PKCS#12 or PEM file with key and certificate")
	c.Flags().StringVar(&as, "as", "", "inspector, installer or contractor")
	c.Flags().StringVarP(&output, "output", "o", "", "file to write instead of signing in place")
	c.Flags().StringVar(&picture, "picture", "", "picture of a handwritten signature, PNG or JPEG, to show beside what is signed")
	c.Flags().StringVar(&timestamp, "timestamp", "", "address of an RFC 3161 time-stamp authority")
	c.Flags().StringVar(&file, "passphrase-file", "", "file whose first line is the passphrase")
	c.Flags().StringVar(&templates, "templates", "", "folder with the templates the report was made with")
	c.Flags().BoolVar(&inspection, "inspection", false, "sign a report that is NOT READY, as a report of what was found")
	completes(c, "as", oneOf(string(sign.Inspector), string(sign.Installer), string(sign.Contractor)))
	return c
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
	data, err := readSmall(path, "a picture")
	if err != nil {
		return nil, err
	}
	p, err := sign.ParsePicture(data)
	if err != nil {
		return nil, hinted{fmt.Errorf("%s: %w", path, err), "name a PNG or JPEG picture, or sign without one"}
	}
	return p, nil
}

// readReport reads a PDF.
func readReport(path string) ([]byte, error) { return readSmall(path, "a report in PDF") }

// readSmall reads a file that is held in memory; what says what it should be.
func readSmall(path, what string) ([]byte, error) {
	info, err := os.Stat(path)
	if err == nil && !info.Mode().IsRegular() {
		return nil, hinted{fmt.Errorf("%s: found %s, expected %s", path, kindOfFile(info), what), "name the file itself"}
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, hinted{fmt.Errorf("%s: cannot be read: %w", path, err), "check the name and the folder"}
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, maxReport+1))
	if err == nil && len(data) > maxReport {
		err = fmt.Errorf("found more than %d MiB, expected %s, which is far smaller", maxReport>>20, what)
	}
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return data, nil
}

// reasonFor says what a signature on the report is for. It refuses a report
// that is not what its record says, and one that is not ready unless it is
// signed as an inspection.
func reasonFor(path string, data []byte, templates string, inspection bool) (string, error) {
	first := data
	if v, err := sign.Verify(data, nil); err == nil && len(v.Signatures) > 0 {
		first = v.FirstRevision
	}
	l, err := letterhead(templates)
	if err != nil {
		return "", err
	}
	r, err := report.Rebuild(first, l)
	if err != nil {
		return "", hinted{fmt.Errorf("%s: %w", path, err), `sign a report that "setline report" wrote`}
	}
	switch {
	case r.Same == report.Different && r.Version == version():
		return "", hinted{fmt.Errorf("%s: found pages that its record does not give (%s), expected those it gives", path, r.Differs), "make the report again from its record, with the templates it is to have"}
	case r.Same == report.Different:
		return "", hinted{fmt.Errorf("%s: found a report of Setline %s, expected one of this Setline, %s, which can hold pages and record together", path, r.Version, version()), "make the report again, or sign with that version"}
	case r.Ready:
		return "accepted: READY", nil
	case inspection:
		return "inspection report: NOT READY", nil
	}
	return "", hinted{fmt.Errorf("%s: found a report that is NOT READY, expected one that is ready to accept", path), "sign it as a report of what was found with --inspection"}
}
