package sign

import (
	"bytes"
	"crypto/x509"
	"encoding/pem"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

const tsaConfig = `
[tsa]
default_tsa = tsa1
[tsa1]
serial = $ENV::TSADIR/serial
signer_digest = sha256
default_policy = 1.2.3.4.1
digests = sha256, sha384, sha512
accuracy = secs:1
ordering = yes
tsa_name = yes
ess_cert_id_chain = no
ess_cert_id_alg = sha256
[req]
distinguished_name = dn
[dn]
[ext]
extendedKeyUsage = critical, timeStamping
keyUsage = critical, digitalSignature
basicConstraints = critical, CA:false
`

// authority is an RFC 3161 authority on loopback: openssl ts behind HTTP.
// spoil may change question and answer.
func authority(t *testing.T, spoil func(question, answer []byte) []byte) (url string, cert *x509.Certificate) {
	t.Helper()
	needTool(t, "openssl")
	dir := t.TempDir()
	t.Setenv("TSADIR", dir)
	for name, content := range map[string]string{"tsa.cnf": tsaConfig, "serial": "01\n"} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(content), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	tool(t, "openssl", "req", "-x509", "-nodes", "-newkey", "rsa:2048", "-days", "9", "-subj", "/CN=Loopback clock",
		"-config", dir+"/tsa.cnf", "-extensions", "ext", "-keyout", dir+"/key.pem", "-out", dir+"/cert.pem")
	block, _ := pem.Decode(readFile(t, dir, "cert.pem"))
	cert, err := x509.ParseCertificate(block.Bytes)
	if err != nil {
		t.Fatal(err)
	}
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		question, err := io.ReadAll(r.Body)
		if err != nil || r.Header.Get("Content-Type") != "application/timestamp-query" {
			http.Error(w, "no question", http.StatusBadRequest)
			return
		}
		query := filepath.Join(dir, "query")
		if err := os.WriteFile(query, question, 0o600); err != nil {
			http.Error(w, err.Error(), http.StatusInternalServerError)
			return
		}
		cmd := exec.CommandContext(r.Context(), "openssl", "ts", "-reply", "-config", dir+"/tsa.cnf", "-section", "tsa1",
			"-queryfile", query, "-signer", dir+"/cert.pem", "-inkey", dir+"/key.pem")
		answer, err := cmd.Output()
		if err != nil {
			http.Error(w, err.Error(), http.StatusInternalServerError)
			return
		}
		if spoil != nil {
			answer = spoil(question, answer)
		}
		w.Header().Set("Content-Type", "application/timestamp-reply")
		_, _ = w.Write(answer)
	}))
	t.Cleanup(server.Close)
	return server.URL, cert
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
