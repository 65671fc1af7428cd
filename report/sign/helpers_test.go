package sign

import (
	"bytes"
	"crypto/rand"
	"crypto/x509"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"setline.example/report/pdf"
)

var day = time.Date(2026, 3, 2, 10, 30, 0, 0, time.UTC)

// report is a PDF of several pages with links and attachments.
var report = sync.OnceValue(func() []byte {
	rows := strings.Repeat("| A101/E1/B1 | tops flush | 1/64 in | 1/16 in | pass |\n", 80)
	var b bytes.Buffer
	err := pdf.Write(&b, pdf.Document{
		Parts: [][]byte{
			[]byte("# Room A101\n\n> **Ready.** See [the results](#results).\n\n<https://example.org/>\n"),
			[]byte("## Results\n\n| Unit | Rule | Value | Limit | Result |\n|---|---|--:|--:|:-:|\n" + rows),
		},
		Title: "Room A101", Lang: "en", Date: day,
		Attachments: []pdf.Attachment{{Name: "job-record.json", Description: "the record", Content: []byte("{\"a\": 1}\n")}},
	})
	if err != nil {
		panic(err)
	}
	return b.Bytes()
})

func identity(t testing.TB, name string) Identity {
	t.Helper()
	id, err := NewIdentity(name, "Brightwater Casework (Žižkov) Ltd", day.AddDate(0, -1, 0), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	return id
}

// people returns three requests that differ in all that can differ.
func people(t testing.TB) []Request {
	return []Request{
		{Identity: identity(t, "Ada Fitter"), As: Inspector, Reason: "accepted (with 2 \\ concessions)", Time: day},
		{Identity: identity(t, "Žofie Κώστα"), As: Installer, Reason: "ověřeno ½ in", Time: day.Add(time.Hour)},
		{Identity: identity(t, "G. C. (site) Builder"), As: Contractor, Time: day.Add(2 * time.Hour).In(time.FixedZone("west", -5*3600))},
	}
}

func sign(t testing.TB, b []byte, r Request) []byte {
	t.Helper()
	out, err := Sign(b, r)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// signed returns the report with n signatures, and the requests.
func signed(t testing.TB, n int) ([]byte, []Request) {
	t.Helper()
	b, who := report(), people(t)[:n]
	for _, r := range who {
		b = sign(t, b, r)
	}
	return b, who
}

// pool is a trust list of certificates that vouch for themselves alone.
func pool(certs ...*x509.Certificate) *Trust {
	t := &Trust{}
	for _, c := range certs {
		t.Signers = append(t.Signers, Trusted{Fingerprint: FingerprintOf(c), Certificate: c})
	}
	return t
}

// authorities is a trust list of certificates that may issue others.
func authorities(certs ...*x509.Certificate) *Trust {
	t := pool(certs...)
	for i := range t.Signers {
		t.Signers[i].Issues = true
	}
	return t
}

// withClocks adds time-stamp authorities to a list.
func withClocks(t *Trust, certs ...*x509.Certificate) *Trust {
	t.Stamps = pool(certs...).Signers
	return t
}

// faults returns all that Verify has to say against a file.
func faults(b []byte) string { return faultsOf(Verify(b, nil)) }

// faultsBehind is faults of a file whose report is known to be as it was made, so
// that it need not be held to its form each of thousands of times.
func faultsBehind(b []byte) string {
	return faultsOf(VerifyMade(b, nil, func([]byte) bool { return true }))
}

func faultsOf(v Verification, err error) string {
	if err != nil {
		return err.Error()
	}
	all := v.Problems
	for i, s := range v.Signatures {
		if s.Problem != "" {
			all = append(all, fmt.Sprintf("signature %d: %s", i+1, s.Problem))
		}
	}
	if v.Sound() != (len(all) == 0) {
		all = append(all, "Sound and what is said do not agree")
	}
	return strings.Join(all, "\n")
}

// needTool returns when the outside program is there. Without it the test is
// skipped, but fails where CI=true: a check nobody ran is not a check passed.
func needTool(t testing.TB, name string) {
	t.Helper()
	if _, err := exec.LookPath(name); err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatalf("the program %s is missing; install it", name)
		}
		t.Skipf("the program %s is missing, so this was not checked", name)
	}
}

// tool runs an outside program and returns what it prints.
func tool(t testing.TB, program string, args ...string) string {
	t.Helper()
	needTool(t, program)
	out, err := exec.CommandContext(t.Context(), program, args...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s %s: %v\n%s", program, strings.Join(args, " "), err, out)
	}
	return string(out)
}

// save writes a file and returns its name.
func save(t testing.TB, name string, b []byte) string {
	t.Helper()
	name = filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(name, b, 0o600); err != nil {
		t.Fatal(err)
	}
	return name
}
