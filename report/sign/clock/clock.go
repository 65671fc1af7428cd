// Package clock is an RFC 3161 time-stamp authority on loopback, openssl ts
// behind HTTP, for tests. It is no part of the program.
package clock

import (
	"crypto/x509"
	"encoding/pem"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
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

// Start starts an authority, which ends with the test, and returns its address
// and its certificate. spoil, which may be nil, may change question and answer.
func Start(t testing.TB, spoil func(question, answer []byte) []byte) (url string, cert *x509.Certificate) {
	t.Helper()
	dir := t.TempDir()
	t.Setenv("TSADIR", dir)
	for name, content := range map[string]string{"tsa.cnf": tsaConfig, "serial": "01\n"} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(content), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	made, err := exec.CommandContext(t.Context(), "openssl", "req", "-x509", "-nodes", "-newkey", "rsa:2048", "-days", "9", "-subj", "/CN=Loopback clock",
		"-config", dir+"/tsa.cnf", "-extensions", "ext", "-keyout", dir+"/key.pem", "-out", dir+"/cert.pem").CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, made)
	}
	inPEM, err := os.ReadFile(filepath.Join(dir, "cert.pem"))
	if err != nil {
		t.Fatal(err)
	}
	block, _ := pem.Decode(inPEM)
	cert, err = x509.ParseCertificate(block.Bytes)
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
