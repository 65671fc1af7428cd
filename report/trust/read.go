package trust

import (
	"bytes"
	"crypto/x509"
	"encoding/pem"
	"fmt"
	"sync"
	"time"

	"setline.example/report/sign"
	"setline.example/schema"
	"setline.example/schema/plaintext"
)

// kind is the list's kind of file.
var kind = sync.OnceValue(func() *schema.Kind {
	return schema.NewKind(schema.Kind{
		What: "a trust list", This: "the trust list", Member: "setline_trust", Version: Form, ID: SchemaID, JSON: schemaJSON,
		Start: `begin it with {"setline_trust": 1, "signers": []}`,
	})
})

// Read reads the file named name with the bytes data: a trust list, or
// certificates in PEM. The error is [schema.Problems].
func Read(name string, data []byte) (*sign.Trust, error) {
	if bytes.HasPrefix(bytes.TrimSpace(data), []byte("{")) {
		return readList(name, data)
	}
	return readPEM(name, data)
}

// reader turns a list into what signatures are held against.
type reader struct {
	src      *schema.Source
	problems schema.Problems
	seen     map[sign.Fingerprint]string // pointer to where each stands
	keys     map[string]owner            // of the certificates that stand in the list
}

// owner is where a key stands first, and under whose name.
type owner struct{ at, name string }

func readList(name string, data []byte) (*sign.Trust, error) {
	var l List
	src, err := kind().Read(name, data, &l)
	if err != nil {
		return nil, err
	}
	r := reader{src: src, seen: map[sign.Fingerprint]string{}, keys: map[string]owner{}}
	t := &sign.Trust{}
	for i, s := range l.Signers {
		entry := r.certificate(schema.Pointer("/signers", fmt.Sprint(i)), s.Certificate)
		entry.Firm = s.Firm
		for _, role := range s.Roles {
			entry.Roles = append(entry.Roles, sign.Role(role))
		}
		t.Signers = append(t.Signers, entry)
	}
	for i, c := range l.TimeStamps {
		t.Stamps = append(t.Stamps, r.certificate(schema.Pointer("/time_stamp_authorities", fmt.Sprint(i)), c))
	}
	if len(r.problems) > 0 {
		return nil, r.problems
	}
	return t, nil
}

// out says when and why a certificate was taken out of the list for all that it
// ever signed, or before it was trusted at all; "" where it was not.
func out(c Certificate) string {
	if c.Removed == nil || !c.Removed.Never && (c.From == "" || c.Removed.Date >= c.From) {
		return ""
	}
	return fmt.Sprintf("%s, on %s", plaintext.Visible(c.Removed.Reason), c.Removed.Date)
}

func (r *reader) add(kind schema.ProblemKind, at, found, expected, mend string) {
	r.problems = append(r.problems, r.src.Problem(kind, at, found, expected, mend))
}

func (r *reader) certificate(at string, c Certificate) sign.Trusted {
	t := sign.Trusted{Name: c.Name, Issues: c.Issues, Out: out(c)}
	var err error
	if t.Fingerprint, err = sign.ParseFingerprint(c.Fingerprint); err != nil {
		r.add(schema.WrongForm, at+"/fingerprint", "a fingerprint of "+err.Error(), "64 hexadecimal digits, the SHA-256 of the certificate", "copy it again")
	} else if first, twice := r.seen[t.Fingerprint]; twice {
		r.add(schema.Twice, at+"/fingerprint", "a fingerprint that stands at "+first+" too", "each certificate once, as a signer's or as a time-stamp authority's", "join the two entries, or remove one")
	}
	if err == nil {
		r.seen[t.Fingerprint] = at
	}
	t.From, t.Until = dayOf(c.From), dayOf(c.Until)
	if !t.Until.IsZero() {
		t.Until = t.Until.AddDate(0, 0, 1) // until the end of that day
		if !t.From.Before(t.Until) {
			r.add(schema.Contradiction, at+"/until", string(c.Until), "a day not before "+string(c.From), "correct one of the two")
		}
	}
	if r := c.Removed; r != nil {
		if last := dayOf(r.Date).AddDate(0, 0, 1); t.Until.IsZero() || last.Before(t.Until) {
			t.Until = last
		}
	}
	if c.Certificate != "" {
		t.Certificate = r.pem(at+"/certificate", c, t.Fingerprint)
	}
	r.oneName(at, t)
	return t
}

// pem reads the certificate of an entry.
// oneName holds that a key, of which the list may have several certificates, is one
// person's.
func (r *reader) oneName(at string, t sign.Trusted) {
	if t.Certificate == nil {
		return
	}
	key := string(t.Certificate.RawSubjectPublicKeyInfo)
	first, known := r.keys[key]
	switch {
	case !known:
		r.keys[key] = owner{at, t.Name}
	case !sign.SameName(first.name, t.Name):
		r.add(schema.Contradiction, at+"/name", fmt.Sprintf("%q, and the same key under the name %q at %s", t.Name, first.name, first.at),
			"one name for a key", "ask both whose key it is: a key is one person's")
	}
}

func (r *reader) pem(at string, c Certificate, of sign.Fingerprint) *x509.Certificate {
	block, rest := pem.Decode([]byte(c.Certificate))
	if block == nil || block.Type != "CERTIFICATE" || len(bytes.TrimSpace(rest)) > 0 {
		r.add(schema.WrongForm, at, "something else", "one certificate in PEM, its line ends written as \\n", "leave it out, or copy it again")
		return nil
	}
	cert, err := x509.ParseCertificate(block.Bytes)
	switch {
	case err != nil:
		r.add(schema.Malformed, at, err.Error(), "a certificate", "leave it out, or copy it again")
	case sign.FingerprintOf(cert) != of:
		r.add(schema.Contradiction, at, "the certificate with the fingerprint "+sign.FingerprintOf(cert).String(), "the one with the fingerprint beside it", "ask whose each is; correct the one that is wrong")
	case c.Issues && !cert.IsCA:
		r.add(schema.NotAllowed, at, "a certificate that is no authority's", "one that may issue others, since the list says so", `remove "issues", or name the authority's certificate`)
	}
	return cert
}

// dayOf is when a day begins, in UTC; zero for no day.
func dayOf(d schema.Date) time.Time {
	t, _ := time.Parse(time.DateOnly, string(d)) // the schema holds it to be a date
	return t
}

// readPEM reads certificates, each of a signer.
func readPEM(name string, data []byte) (*sign.Trust, error) {
	t := &sign.Trust{}
	wrong := func(line int, found, mend string) (*sign.Trust, error) {
		return nil, schema.Problems{{Kind: schema.OtherFile, File: name, Line: line, Found: found, Expected: "a trust list in JSON, or certificates in PEM", Mend: mend}}
	}
	for rest := data; ; {
		block, after := pem.Decode(rest)
		if block == nil {
			break
		}
		line := 1 + bytes.Count(data[:bytes.Index(data, rest)], []byte("\n"))
		rest = after
		if block.Type != "CERTIFICATE" {
			return wrong(line, fmt.Sprintf("a block %q", block.Type), "keep certificates alone in this file; a key belongs to its owner")
		}
		c, err := x509.ParseCertificate(block.Bytes)
		if err != nil {
			return wrong(line, fmt.Sprintf("a certificate that cannot be read (%v)", err), "copy it again")
		}
		t.Signers = append(t.Signers, sign.Trusted{Fingerprint: sign.FingerprintOf(c), Certificate: c})
	}
	if len(t.Signers) > 0 {
		return t, nil
	}
	if _, err := x509.ParseCertificate(data); err == nil {
		return wrong(0, "no certificate in PEM but one in DER", `turn it into PEM with "openssl x509 -inform DER"`)
	}
	return wrong(0, "no certificate", "check the file")
}
