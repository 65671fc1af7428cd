package sign

import (
	"bytes"
	"encoding/pem"
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"
)

func TestSignOnceTwiceThreeTimes(t *testing.T) {
	b := report()
	for i, r := range people(t) {
		before := b
		b = sign(t, before, r)
		if !bytes.HasPrefix(b, before) {
			t.Fatalf("signature %d changed bytes that were there", i+1)
		}
		v, err := Verify(b, pool(r.Certificate))
		if err != nil || !v.Sound() || len(v.Signatures) != i+1 || !bytes.Equal(v.FirstRevision, report()) {
			t.Fatalf("signature %d: %v\n%s", i+1, err, faults(b))
		}
		s := v.Signatures[i]
		if s.Revision != i+2 || s.Role != r.As || s.Name != r.Certificate.Subject.CommonName || s.Firm != "Brightwater Casework (Žižkov) Ltd" ||
			s.Reason != r.Reason || !s.Time.Equal(r.Time) || s.TimeFrom != "claimed" || !s.Intact || !s.Trusted || !s.CoversWholeRevision ||
			s.TrustedBy != "the trust list, which holds this certificate" {
			t.Errorf("signature %d reads %+v", i+1, s)
		}
		for _, earlier := range v.Signatures[:i] {
			if earlier.Trusted || !strings.HasPrefix(earlier.TrustedBy, "nobody on the trust list; ") {
				t.Errorf("trusted without being on the list: %+v", earlier)
			}
		}
	}
	v, _ := Verify(b, nil)
	for _, s := range v.Signatures {
		if !s.Intact || s.Trusted || s.TrustedBy != "not checked" {
			t.Errorf("without a trust list: %+v", s)
		}
	}
}

func TestNoSignature(t *testing.T) {
	if v, err := Verify(report(), nil); err != nil || v.Sound() || fmt.Sprint(v.Problems) != "[there is no signature]" {
		t.Errorf("%v, %v", v.Problems, err)
	}
}

// poppler and qpdf know nothing of this package.
func TestOthersAgree(t *testing.T) {
	long(t)
	b := report()
	for i, r := range people(t) {
		b = sign(t, b, r)
		name := save(t, "x.pdf", b)
		t.Run(fmt.Sprint("qpdf ", i+1), func(t *testing.T) {
			out := tool(t, "qpdf", "--check", name)
			if !strings.Contains(out, "No syntax or stream encoding errors found") || strings.Contains(out, "WARNING") {
				t.Error(out)
			}
		})
		t.Run(fmt.Sprint("pdfsig ", i+1), func(t *testing.T) {
			out := tool(t, "pdfsig", "-nocert", name)
			if n := strings.Count(out, "Signature Validation: Signature is Valid."); n != i+1 {
				t.Errorf("%d valid signatures, expected %d\n%s", n, i+1, out)
			}
			if n := strings.Count(out, "Signature Type: ETSI.CAdES.detached"); n != i+1 {
				t.Errorf("%d PAdES signatures, expected %d\n%s", n, i+1, out)
			}
			// All but the last one are followed by others.
			if n := strings.Count(out, "Total document signed"); n != 1 {
				t.Errorf("%d signatures of the whole document, expected 1\n%s", n, out)
			}
			last := out[strings.LastIndex(out, "Signature #"):]
			if !strings.Contains(last, "Total document signed") || !strings.Contains(last, r.Certificate.Subject.CommonName) {
				t.Errorf("the last signature reads\n%s", last)
			}
		})
	}
}

// openssl verifies the signature taken out of the file (RFC 5652), with its
// own reading of RFC 5035 (-cades).
func TestOpensslAgrees(t *testing.T) {
	b, who := signed(t, 2)
	f, err := read(b)
	if err != nil {
		t.Fatal(err)
	}
	for i, r := range who {
		c := f.later(i + 1).found.Get("Contents")
		cms, err := signatureBytes(b[c.Start:c.End])
		if err != nil {
			t.Fatal(err)
		}
		covered := bytes.Join([][]byte{b[:c.Start], b[c.End:f.Revisions[i+1].End]}, nil)
		out := tool(t, "openssl", "cms", "-verify", "-cades", "-binary", "-inform", "DER", "-in", save(t, "s.der", cms),
			"-content", save(t, "content", covered), "-out", save(t, "out", nil), "-no_check_time", "-purpose", "any",
			"-CAfile", save(t, "ca.pem", pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: r.Certificate.Raw})))
		if !strings.Contains(out, "Verification successful") {
			t.Errorf("signature %d: %s", i+1, out)
		}
	}
}

func TestSignRefuses(t *testing.T) {
	once, who := signed(t, 1)
	good := who[0]
	with := func(change func(*Request)) Request {
		r := good
		change(&r)
		return r
	}
	other := identity(t, "Somebody Else")
	for _, c := range []struct {
		name string
		pdf  []byte
		r    Request
		is   error
		want string
	}{
		{"expired", report(), with(func(r *Request) { r.Time = day.AddDate(4, 0, 0) }), ErrIdentity, "expired on 2029-02-02"},
		{"not yet valid", report(), with(func(r *Request) { r.Time = day.AddDate(-1, 0, 0) }), ErrIdentity, "valid only from 2026-02-02"},
		{"key of another", report(), with(func(r *Request) { r.Key = other.Key }), ErrIdentity, "is not that of the certificate"},
		{"no key", report(), Request{As: Inspector, Time: day}, ErrIdentity, "missing"},
		{"unknown role", report(), with(func(r *Request) { r.As = "owner" }), nil, `sign as "owner": expected one of [inspector installer contractor]`},
		{"no time", report(), with(func(r *Request) { r.Time = time.Time{} }), nil, "expected a time"},
		{"no PDF", []byte("hello"), good, ErrFile, "does not begin with %PDF"},
		{"empty", nil, good, ErrFile, "does not begin with %PDF"},
		{"changed before", append(bytes.Clone(once[:len(once)-1]), "\nx"...), good, ErrFile, "after the end"},
		{"signed and changed", bytes.Replace(once, []byte("/M (D:2026"), []byte("/M (D:2025"), 1), good, ErrChanged, "changed after signing"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := Sign(c.pdf, c.r)
			if err == nil || c.is != nil && !errors.Is(err, c.is) || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, want %q", err, c.want)
			}
		})
	}
}
