package main

import (
	"bytes"
	"path/filepath"
	"strings"
	"testing"
)

// TestExtractReport: of a report that somebody signed with other software the
// part that holds is given back, byte for byte.
func TestExtractReport(t *testing.T) {
	const others = "../../report/verify/testdata/others/"
	report := fetch(t, others+"report.pdf")
	for _, software := range []string{"mutool", "poppler", "signpdf"} {
		folder := t.TempDir()
		signed, part := filepath.Join(folder, "signed.pdf"), filepath.Join(folder, "part.pdf")
		store(t, signed, append(bytes.Clone(report), fetch(t, others+software+".tail")...))
		var out, said bytes.Buffer
		code := run([]string{"verify", signed, "--extract-report", part}, strings.NewReader(""), &out, &said)
		if code != exitUnproven || !strings.Contains(out.String(), "up to revision 2 everything holds") {
			t.Errorf("%s: exit code %d\n%s%s", software, code, out.String(), said.String())
		}
		if !bytes.Equal(fetch(t, part), report) {
			t.Errorf("%s: what is given back is not the part that holds", software)
		}
	}
}
