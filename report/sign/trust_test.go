package sign

import (
	"crypto"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/rsa"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/asn1"
	"errors"
	"math/big"
	"slices"
	"strings"
	"testing"
)

func onCurve(t testing.TB, c elliptic.Curve) crypto.Signer {
	t.Helper()
	k, err := ecdsa.GenerateKey(c, rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	return k
}

// certified issues a certificate to an authority, or to somebody who signs.
func certified(t testing.TB, by *Identity, name string, authority bool, key crypto.Signer) Identity {
	t.Helper()
	c := &x509.Certificate{Subject: pkix.Name{CommonName: name}, IsCA: authority, KeyUsage: x509.KeyUsageDigitalSignature}
	if authority {
		c.KeyUsage = x509.KeyUsageCertSign
	}
	id := issue(t, by, c, key)
	if by != nil {
		id.Chain = append(chainOf(*by), by.Chain...)
	}
	return id
}

// standing is what a list says of the one signature that id makes.
func standing(t testing.TB, id Identity, list *Trust) Signature {
	t.Helper()
	v, err := Verify(forceSign(t, report(), Request{Identity: id, As: Inspector, Time: day}, nil), list)
	if err != nil || !v.Sound() {
		t.Fatalf("%v %+v", err, v)
	}
	return v.Signatures[0]
}

// TestTakenOut: what was taken out of a list for ever is not let in again by an
// authority on it, under its own fingerprint, as a renewed certificate of the same
// key, or as one between.
func TestTakenOut(t *testing.T) {
	long(t)
	root := certified(t, nil, "Northfield root", true, onCurve(t, elliptic.P256()))
	ada := certified(t, &root, "Ada Fitter", false, onCurve(t, elliptic.P256()))
	renewed := certified(t, &root, "Ada Fitter", false, ada.Key)
	between := certified(t, &root, "Northfield people", true, onCurve(t, elliptic.P256()))
	eve := certified(t, &between, "Eve Fitter", false, onCurve(t, elliptic.P256()))
	listing := func(e Trusted) *Trust {
		list := authorities(root.Certificate)
		list.Signers = append(list.Signers, e)
		return list
	}
	out := func(id Identity) Trusted {
		return Trusted{Fingerprint: FingerprintOf(id.Certificate), Name: "Ada", Certificate: id.Certificate, Out: "laptop stolen, on 2026-03-01"}
	}
	bare := out(ada)
	bare.Certificate = nil // known by its fingerprint alone
	issues := out(between)
	issues.Issues = true
	for _, c := range []struct {
		name string
		id   Identity
		out  Trusted
	}{
		{"its own certificate", ada, out(ada)}, {"its fingerprint", ada, bare}, {"a renewed certificate", renewed, out(ada)},
		{"a certificate between", eve, out(between)}, {"an authority between", eve, issues},
	} {
		s := standing(t, c.id, listing(c.out))
		if s.Trusted || s.Standing != NotListed || !strings.Contains(s.TrustedBy, "has taken out Ada") || !strings.Contains(s.TrustedBy, "laptop stolen, on 2026-03-01") {
			t.Errorf("%s: %s, %s", c.name, s.Standing, s.TrustedBy)
		}
		if s := standing(t, c.id, authorities(root.Certificate)); !s.Trusted {
			t.Errorf("%s, not taken out: %s, %s", c.name, s.Standing, s.TrustedBy)
		}
	}
	// Beside another entry of the same key, what was taken out counts.
	list := listing(out(ada))
	list.Signers = append(list.Signers, pool(renewed.Certificate).Signers...)
	if s := standing(t, renewed, list); s.Trusted {
		t.Errorf("listed anew: %s, %s", s.Standing, s.TrustedBy)
	}
}

// TestPathsToIssuers: a path leads through nobody of whom the list says that they
// issue nothing, and through no key that holds nothing.
func TestPathsToIssuers(t *testing.T) {
	long(t)
	weak, err := rsa.GenerateKey(rand.Reader, 1024)
	if err != nil {
		t.Fatal(err)
	}
	root := certified(t, nil, "Northfield root", true, onCurve(t, elliptic.P521()))
	below := func(key crypto.Signer) Identity {
		by := certified(t, &root, "Northfield people", true, key)
		return certified(t, &by, "Ada Fitter", false, onCurve(t, elliptic.P256()))
	}
	ada := below(onCurve(t, elliptic.P384()))
	listed := authorities(root.Certificate)
	listed.Signers = append(listed.Signers, pool(ada.Chain[0]).Signers...)
	weakRoot := certified(t, nil, "Old root", true, weak)
	for _, c := range []struct {
		name string
		id   Identity
		list *Trust
		want string
	}{
		{"through an authority", ada, authorities(root.Certificate), ""},
		{"through a signer", ada, listed, "CN=Northfield people is on the list and may not issue others by it"},
		{"RSA of 1024 bits between", below(weak), authorities(root.Certificate), "RSA of 1024 bits, expected 2048"},
		{"P-224 between", below(onCurve(t, elliptic.P224())), authorities(root.Certificate), "ECDSA on P-224, expected P-256"},
		{"RSA of 1024 bits on the list", certified(t, &weakRoot, "Ada Fitter", false, onCurve(t, elliptic.P256())), authorities(weakRoot.Certificate), "RSA of 1024 bits, expected 2048"},
		{"a key that takes minutes", withHugeIssuer(t, root), authorities(root.Certificate), "RSA of 1048576 bits, expected 2048 to 8192"},
	} {
		s := standing(t, c.id, c.list)
		if s.Trusted != (c.want == "") || !strings.Contains(s.TrustedBy, c.want) {
			t.Errorf("%s: %s, %s", c.name, s.Standing, s.TrustedBy)
		}
	}

	// An authority that was renewed is on the list twice; the entry in force counts.
	twice := authorities(root.Certificate, certified(t, nil, "Northfield root", true, root.Key).Certificate)
	for i := range twice.Signers {
		twice.Signers[i].Until = day.AddDate(0, 0, -1)
		if s := standing(t, ada, twice); s.Trusted != (i == 0) || i == 1 && s.Standing != TooLate {
			t.Errorf("%d of 2 ended: %s, %s", i+1, s.Standing, s.TrustedBy)
		}
	}
}

// TestOneName: who signs has one name, which every reader shows.
func TestOneName(t *testing.T) {
	for _, names := range [][]string{{}, {"  "}, {"Eve Fitter", "Ada Fitter"}, {"Ada Fitter"}} {
		c := &x509.Certificate{KeyUsage: x509.KeyUsageDigitalSignature}
		for _, name := range names {
			c.Subject.ExtraNames = append(c.Subject.ExtraNames, pkix.AttributeTypeAndValue{Type: oidCommonName, Value: name})
		}
		r := Request{Identity: issue(t, nil, c, onCurve(t, elliptic.P256())), As: Inspector, Time: day}
		const want = "names nobody or several (common name), expected one name"
		_, err := Sign(report(), r)
		got := faults(forceSign(t, report(), r, nil))
		if good := slices.Equal(names, []string{"Ada Fitter"}); good != (err == nil) || good != (got == "") ||
			!good && (!errors.Is(err, ErrIdentity) || !strings.Contains(err.Error(), want) || !strings.Contains(got, want)) {
			t.Errorf("%q: %v; %s", names, err, got)
		}
	}
}

// withHugeIssuer is an identity that claims to be issued by the key of a million
// bits of an authority that root did issue. The claim is false, and to find that
// out is what would take minutes.
func withHugeIssuer(t testing.TB, root Identity) Identity {
	t.Helper()
	n := new(big.Int).Lsh(big.NewInt(1), 1<<20-1)
	template := func(name string) *x509.Certificate {
		return &x509.Certificate{
			SerialNumber: big.NewInt(7), Subject: pkix.Name{CommonName: name}, NotBefore: day.AddDate(0, -1, 0), NotAfter: day.AddDate(1, 0, 0),
			BasicConstraintsValid: true, IsCA: name == "Huge", KeyUsage: x509.KeyUsageCertSign | x509.KeyUsageDigitalSignature,
		}
	}
	parsed := func(raw []byte, err error) *x509.Certificate {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		c, err := x509.ParseCertificate(raw)
		if err != nil {
			t.Fatal(err)
		}
		return c
	}
	huge := parsed(x509.CreateCertificate(rand.Reader, template("Huge"), root.Certificate, &rsa.PublicKey{N: n.Add(n, big.NewInt(1)), E: 1<<31 - 1}, root.Key))
	small, err := rsa.GenerateKey(rand.Reader, 2048)
	if err != nil {
		t.Fatal(err)
	}
	parent := *huge
	parent.PublicKey = small.Public()
	key := onCurve(t, elliptic.P256())
	leaf := parsed(x509.CreateCertificate(rand.Reader, template("Ada Fitter"), &parent, key.Public(), small))
	var parts struct {
		TBS, Algorithm asn1.RawValue
		Signature      asn1.BitString
	}
	if _, err := asn1.Unmarshal(leaf.Raw, &parts); err != nil {
		t.Fatal(err)
	}
	signature := make([]byte, 1<<17)
	signature[1] = 1
	parts.Signature = asn1.BitString{Bytes: signature, BitLength: 8 * len(signature)}
	leaf = parsed(asn1.Marshal(parts))
	return Identity{Key: key, Certificate: leaf, Chain: []*x509.Certificate{huge}}
}
