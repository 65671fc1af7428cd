package sign

import (
	"bytes"
	"crypto/x509"
	"strings"
	"testing"
	"time"

	"setline.example/report/sign/clock"
)

// authority is an RFC 3161 authority on loopback; spoil may change question and answer.
func authority(t *testing.T, spoil func(question, answer []byte) []byte) (url string, cert *x509.Certificate) {
	t.Helper()
	needTool(t, "openssl")
	return clock.Start(t, spoil)
}

// stampOf returns the first signature of a file, as bytes and read, and its time stamp.
func stampOf(t *testing.T, b []byte) (cms []byte, d, token *signedData) {
	t.Helper()
	g := gaps(t, b)[0]
	cms, err := signatureBytes(b[g[0]:g[1]])
	if err != nil {
		t.Fatal(err)
	}
	if d, err = readCMS(cms); err != nil {
		t.Fatal(err)
	}
	if token, err = readCMS(d.unsigned[oidTimeStamp.String()]); err != nil {
		t.Fatal(err)
	}
	return cms, d, token
}

func TestTimestamp(t *testing.T) {
	long(t)
	url, tsa := authority(t, nil)
	r := people(t)[0]
	r.TSA = url
	before := time.Now().Add(-time.Second).Truncate(time.Second)
	b := sign(t, report(), r)
	after := time.Now().Add(time.Second)
	for _, c := range []struct {
		name string
		pool *Trust
		from string
		by   string
	}{
		{"trust not checked", nil, "claimed", "not checked"},
		{"authority trusted", withClocks(pool(r.Certificate), tsa), "timestamp", "the trust list, which holds this certificate"},
		{"authority listed as a signer", pool(tsa, r.Certificate), "claimed", "nobody on the trust list; "},
		{"authority not trusted", pool(r.Certificate), "claimed", "nobody on the trust list; "},
	} {
		v, err := Verify(b, c.pool)
		if err != nil || !v.Sound() {
			t.Fatalf("%s: %v %s", c.name, err, faults(b))
		}
		s := v.Signatures[0]
		if s.TimeFrom != c.from || s.Stamp.By != "CN=Loopback clock" || !strings.HasPrefix(s.Stamp.Why, c.by) || s.Trusted != (c.pool != nil) {
			t.Errorf("%s: %+v", c.name, s)
		}
		if stamped := c.from == "timestamp"; stamped && (s.Time.Before(before) || s.Time.After(after)) || !stamped && !s.Time.Equal(r.Time) {
			t.Errorf("%s: the time is %v", c.name, s.Time)
		}
	}
	// Another signature follows, and poppler still agrees.
	second := people(t)[1]
	b = sign(t, b, second)
	if got := faults(b); got != "" {
		t.Error(got)
	}
	if out := tool(t, "pdfsig", "-nocert", save(t, "x.pdf", b)); strings.Count(out, "Signature is Valid.") != 2 {
		t.Error(out)
	}
	// Every byte of the time stamp's imprint, time and signature counts.
	cms, _, token := stampOf(t, b)
	for _, part := range [][]byte{token.content, token.attributes[4:], token.signature, token.certs[0].Raw} {
		at := bytes.Index(cms, part)
		if at < 0 {
			t.Fatal("a part of the time stamp is not found")
		}
		for i := at; i < at+len(part); i += 3 {
			changed := bytes.Clone(cms)
			changed[i] ^= 1
			copied := bytes.Clone(b)
			copy(copied[gaps(t, b)[0][0]+1:], appendHex(changed))
			if faults(copied) == "" {
				t.Errorf("byte %d of the time stamp changed, which was not noticed", i)
			}
		}
	}
}

func TestTimestampOfAnotherSignature(t *testing.T) {
	url, _ := authority(t, nil)
	r := people(t)[0]
	token, err := askStamp(url, []byte("another signature"))
	if err != nil {
		t.Fatal(err)
	}
	r.TSA = url // for the room it needs
	b := sign(t, report(), r)
	forged := resign(t, b, func(covered ...[]byte) []byte {
		cms, err := signCMS(r.Identity, func([]byte) ([]byte, error) { return token, nil }, covered...)
		if err != nil {
			t.Fatal(err)
		}
		return cms
	})
	if got := faults(forged); !strings.Contains(got, "its time stamp: it is of another signature") {
		t.Errorf("got %q", got)
	}
}

func TestTimestampRefused(t *testing.T) {
	long(t)
	var kept []byte
	var spoil func(question, answer []byte) []byte
	url, _ := authority(t, func(question, answer []byte) []byte { return spoil(question, answer) })
	for _, c := range []struct {
		name  string
		spoil func(question, answer []byte) []byte
		want  string
	}{
		{"no answer", func(_, _ []byte) []byte { return nil }, "no RFC 3161 response"},
		{"a page", func(_, _ []byte) []byte { return []byte("<html>") }, "no RFC 3161 response"},
		{"too long", func(_, a []byte) []byte { return append(a, make([]byte, maxStamp)...) }, "longer than"},
		{"refusal", func(_, _ []byte) []byte { return []byte{0x30, 5, 0x30, 3, 2, 1, 2} }, "the authority refused, status 2"},
		{"no stamp", func(_, _ []byte) []byte { return []byte{0x30, 5, 0x30, 3, 2, 1, 0} }, "no time stamp"},
		{"an old answer", func(_, a []byte) []byte {
			if kept == nil {
				kept = a
			}
			return kept
		}, "another signature"},
		{"a changed answer", func(_, a []byte) []byte { a[len(a)-3] ^= 1; return a }, "not that of the certificate's key"},
	} {
		t.Run(c.name, func(t *testing.T) {
			spoil = c.spoil
			r := people(t)[0]
			r.TSA = url
			_, err := Sign(report(), r)
			if c.name == "an old answer" && err == nil {
				_, err = Sign(report(), r)
			}
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, want %q", err, c.want)
			}
		})
	}
	r := people(t)[0]
	for _, url := range []string{"http://127.0.0.1:1/", "nonsense", "file:///etc/hosts"} {
		r.TSA = url
		if _, err := Sign(report(), r); err == nil || !strings.Contains(err.Error(), "time stamp") {
			t.Errorf("%s: %v", url, err)
		}
	}
}
