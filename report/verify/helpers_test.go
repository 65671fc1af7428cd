package verify

import (
	"bytes"
	"crypto/rand"
	"io/fs"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"setline.example/checks"
	"setline.example/report"
	"setline.example/report/pdf"
	"setline.example/report/sign"
	"setline.example/schema"
)

// metric is a record that is ready; its last visit is of 2026-10-01.
const metric = "../../examples/metric/job.json"

var (
	dated = time.Date(2026, 10, 2, 0, 0, 0, 0, time.UTC)
	noon  = dated.Add(12 * time.Hour)
)

// reportOf makes the report of an example, with edits to its text.
func reportOf(t testing.TB, path string, edit ...string) []byte {
	t.Helper()
	return reportWith(t, path, report.Options{}, nil, edit...)
}

// reportWith makes it with photographs from a folder, and what else o says.
func reportWith(t testing.TB, path string, o report.Options, photos fs.FS, edit ...string) []byte {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	data = []byte(strings.NewReplacer(edit...).Replace(string(data)))
	rec, src, err := schema.Read(path, data)
	if err != nil {
		t.Fatal(err)
	}
	found, err := checks.Run(rec, src)
	if err != nil {
		t.Fatal(err)
	}
	faults, err := checks.History(rec, src)
	if err != nil {
		t.Fatal(err)
	}
	o.Date, o.Version, o.Paper = dated, "v1.0.0", pdf.A4
	if photos != nil {
		o.Photos = report.LoadPhotos(rec, photos)
	}
	r, err := report.New(found, faults, data, o)
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := r.PDF(&out); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// identity is that of somebody, made a month before the report.
func identity(t testing.TB, name, firm string) sign.Identity {
	t.Helper()
	id, err := sign.NewIdentity(name, firm, dated.AddDate(0, -1, 0), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	return id
}

// accepted is what a report that is ready is signed for.
const accepted = "accepted: READY"

func signed(t testing.TB, file []byte, id sign.Identity, as sign.Role, at time.Time) []byte {
	t.Helper()
	reason := accepted
	if v, err := sign.Verify(file, nil); err == nil {
		if r, err := report.Rebuild(v.FirstRevision); err == nil {
			reason = r.Reason()
		}
	}
	out, err := sign.Sign(file, sign.Request{Identity: id, As: as, Reason: reason, Time: at})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// trusting is the entry of a list that trusts id for everything it says.
func trusting(id sign.Identity, roles ...sign.Role) sign.Trusted {
	c := id.Certificate
	e := sign.Trusted{Fingerprint: sign.FingerprintOf(c), Name: c.Subject.CommonName, Roles: roles}
	if len(c.Subject.Organization) > 0 {
		e.Firm = c.Subject.Organization[0]
	}
	return e
}

func verified(t testing.TB, file []byte, o Options) *Found {
	t.Helper()
	if o.At.IsZero() {
		o.At = noon.AddDate(0, 0, 7)
	}
	v, err := Report(file, o)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// having lists the checks that came out so, each once, as "code" or "code 2".
func having(v *Found, r Result) string {
	var all []string
	for _, c := range v.Checks {
		if c.Result == r && !slices.Contains(all, string(c.Code)) {
			all = append(all, string(c.Code))
		}
	}
	return strings.Join(all, " ")
}
