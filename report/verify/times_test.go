package verify

import (
	"crypto/rand"
	"crypto/x509"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"

	"setline.example/report/sign"
	"setline.example/report/sign/clock"
)

func TestTimes(t *testing.T) {
	long(t)
	id, other := ada(t), yuri(t)
	trust := &sign.Trust{Signers: []sign.Trusted{trusting(id), trusting(other)}}
	day := 24 * time.Hour
	for _, c := range []struct {
		name          string
		first, second time.Time // second is zero for one signature
		at            time.Time // zero is a week later
		remarks       string
	}{
		{"in order", noon, noon.Add(time.Hour), time.Time{}, ""},
		{"at one time", noon, noon, time.Time{}, ""},
		{"the report's day begins in the east", dated.Add(-13 * time.Hour), time.Time{}, time.Time{}, ""},
		{"before the report", dated.Add(-15 * time.Hour), time.Time{}, time.Time{}, "time-after-report"},
		{"before the last visit", dated.Add(-3 * day), time.Time{}, time.Time{}, "time-after-visits time-after-report"},
		{"out of order", noon, noon.Add(-time.Second), time.Time{}, "times-in-order"},
		{"in the future", noon.AddDate(1, 0, 0), time.Time{}, time.Time{}, "time-not-in-future"},
		{"in the future by the day", noon, time.Time{}, noon.Add(-day), "time-not-in-future"},
		{"clock a little behind", noon, time.Time{}, noon.Add(-4 * time.Minute), ""},
		{"expired since", noon, time.Time{}, noon.AddDate(3, 0, 0), "certificate-in-force"},
		{"not expired yet", noon, time.Time{}, id.Certificate.NotAfter, ""},
		{"verified before it is in force", noon, time.Time{}, id.Certificate.NotBefore.Add(-time.Second), "time-not-in-future certificate-in-force"},
	} {
		t.Run(c.name, func(t *testing.T) {
			file := signed(t, reportOf(t, metric), id, sign.Inspector, c.first)
			if !c.second.IsZero() {
				file = signed(t, file, other, sign.Installer, c.second)
			}
			v := verified(t, file, Options{Trust: trust, At: c.at})
			if got := having(v, Remark); !v.Holds || got != c.remarks {
				t.Errorf("%s, remarks %q, want %q", v.Verdict, got, c.remarks)
			}
			if v := verified(t, file, Options{Trust: trust, At: c.at, Strict: true}); v.Holds != (c.remarks == "") {
				t.Errorf("strict: %s", v.Verdict)
			}
		})
	}
}

// TestTrustThatEnded: whoever has a key after it was lost can claim any time.
func TestTrustThatEnded(t *testing.T) {
	long(t)
	id := ada(t)
	e := trusting(id)
	e.Until = dated.AddDate(0, 0, 3)
	file := signed(t, reportOf(t, metric), id, sign.Inspector, noon)
	for at, remarks := range map[time.Time]string{noon: "", e.Until.Add(-time.Second): "", e.Until: "trust-not-ended"} {
		v := verified(t, file, Options{Trust: &sign.Trust{Signers: []sign.Trusted{e}}, At: at})
		if got := having(v, Remark); !v.Holds || got != remarks {
			t.Errorf("%s: %s, remarks %q, want %q", at, v.Verdict, got, remarks)
		}
	}
}

// needTool skips a test where an outside program is missing, and fails in CI.
func needTool(t testing.TB, name string) {
	t.Helper()
	if _, err := exec.LookPath(name); err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatalf("the program %s is missing; install it", name)
		}
		t.Skipf("the program %s is missing, so this was not checked", name)
	}
}

// TestTimeStamps: only the time of an authority on the list of authorities is
// taken for the time. The authority's clock is this machine's, so that only
// what the stamp itself tells is looked at.
func TestTimeStamps(t *testing.T) {
	long(t)
	needTool(t, "openssl")
	url, authority := clock.Start(t, nil)
	now := time.Now()
	id, err := sign.NewIdentity("Žofie Brázdilová", "", now.Add(-time.Hour), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	stamped := func(claimed time.Time) []byte {
		file, err := sign.Sign(reportOf(t, metric), sign.Request{Identity: id, As: sign.Inspector, Reason: accepted, Time: claimed, TSA: url})
		if err != nil {
			t.Fatal(err)
		}
		return file
	}
	list := func(name string, of *x509.Certificate) []sign.Trusted {
		return []sign.Trusted{{Fingerprint: sign.FingerprintOf(of), Name: name}}
	}
	file := stamped(now)
	for _, c := range []struct {
		name    string
		trust   *sign.Trust
		timeBy  Source
		trusted bool
	}{
		{"no list", nil, BySigner, false},
		{"not on the list", &sign.Trust{Signers: []sign.Trusted{trusting(id)}}, BySigner, false},
		{"on the list", &sign.Trust{Signers: []sign.Trusted{trusting(id)}, Stamps: list("Loopback clock", authority)}, ByStamp, true},
		{"under another name", &sign.Trust{Signers: []sign.Trusted{trusting(id)}, Stamps: list("Another clock", authority)}, BySigner, false},
		{"on the list of signers", &sign.Trust{Signers: append(list("Loopback clock", authority), trusting(id))}, BySigner, false},
		{"a signer on the list of clocks", &sign.Trust{Signers: []sign.Trusted{trusting(id)}, Stamps: list("", id.Certificate)}, BySigner, false},
	} {
		v := verified(t, file, Options{Trust: c.trust, At: now})
		s := v.Signatures[0]
		if s.TimeBy != c.timeBy || (s.Stamp.Trust.Standing == "trusted") != c.trusted || strings.Contains(having(v, Remark), "time-stamp-trusted") == c.trusted {
			t.Errorf("%s: %+v, %s", c.name, s, having(v, Remark))
		}
		if strings.Contains(having(v, Remark), "time-stamp-near-claim") {
			t.Errorf("%s: the stamp at %s is said to be far from %s", c.name, s.Stamp.Time, s.Claimed)
		}
	}
	far := verified(t, stamped(now.Add(2*time.Hour)), Options{Trust: &sign.Trust{Signers: []sign.Trusted{trusting(id)}, Stamps: list("", authority)}})
	if s := far.Signatures[0]; !strings.Contains(having(far, Remark), "time-stamp-near-claim") || s.Time != s.Stamp.Time || s.Time == s.Claimed {
		t.Errorf("a time stamp far from the time claimed is not said: %+v", s)
	}

	// A stamp of its own time keeps trust and certificate that ended later.
	e := trusting(id)
	e.Until = now.AddDate(0, 0, 1)
	trust := &sign.Trust{Signers: []sign.Trusted{e}, Stamps: list("", authority)}
	if v := verified(t, file, Options{Trust: trust, At: now.AddDate(0, 0, 2)}); !strings.Contains(having(v, Good), "trust-not-ended") {
		t.Errorf("%s; %s", having(v, Good), having(v, Remark))
	}
}
