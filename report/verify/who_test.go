package verify

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/x509"
	"crypto/x509/pkix"
	"math/big"
	"strings"
	"testing"
	"time"

	"setline.example/report/sign"
)

// The people whom the record names, in the roles in which they sign.
func ada(t testing.TB) sign.Identity { return identity(t, "Žofie Brázdilová", "Linden Inspection") }
func yuri(t testing.TB) sign.Identity {
	return identity(t, "Юрій Коваленко", "Ødegård & Quill Laboratory Fitting")
}

func TestTrustList(t *testing.T) {
	long(t)
	id, other := ada(t), yuri(t)
	file := signed(t, reportOf(t, metric), id, sign.Inspector, noon)
	entry := func(change func(*sign.Trusted)) *sign.Trust {
		e := trusting(id, sign.Inspector)
		change(&e)
		return &sign.Trust{Signers: []sign.Trusted{trusting(other, sign.Inspector), e}}
	}
	for _, c := range []struct {
		name     string
		trust    *sign.Trust
		standing sign.Standing
		nameBy   Source
	}{
		{"as listed", entry(func(*sign.Trusted) {}), sign.IsTrusted, ByList},
		{"blanks and accents", entry(func(e *sign.Trusted) { e.Name = "Z\u030cofie  Bra\u0301zdilova\u0301" }), sign.IsTrusted, ByList},
		{"any firm", entry(func(e *sign.Trusted) { e.Firm = "" }), sign.IsTrusted, ByList},
		{"a list of nobody", &sign.Trust{}, sign.NotListed, BySigner},
		{"another on the list", &sign.Trust{Signers: []sign.Trusted{trusting(other)}}, sign.NotListed, BySigner},
		{"another name", entry(func(e *sign.Trusted) { e.Name = "Žofie Brázdil" }), sign.NameDiffers, BySigner},
		{"another firm", entry(func(e *sign.Trusted) { e.Firm = "Linden" }), sign.FirmDiffers, BySigner},
		{"another role", entry(func(e *sign.Trusted) { e.Roles = []sign.Role{sign.Installer, sign.Contractor} }), sign.RoleNotAllowed, BySigner},
		{"not yet", entry(func(e *sign.Trusted) { e.From = dated.AddDate(0, 0, 1) }), sign.TooEarly, BySigner},
		{"no longer", entry(func(e *sign.Trusted) { e.Until = dated }), sign.TooLate, BySigner},
		{"a clock", &sign.Trust{Stamps: []sign.Trusted{trusting(id)}}, sign.ForTimeStamps, BySigner},
		{"signer and clock", &sign.Trust{Signers: []sign.Trusted{trusting(id)}, Stamps: []sign.Trusted{trusting(id)}}, sign.ForTimeStamps, BySigner},
	} {
		t.Run(c.name, func(t *testing.T) {
			v := verified(t, file, Options{Trust: c.trust})
			s := v.Signatures[0]
			if good := c.standing == sign.IsTrusted; v.Holds != good || s.Trust.Standing != string(c.standing) || s.NameBy != c.nameBy || v.Answer == "READY" != good {
				t.Errorf("%s, answer %q, %+v", v.Verdict, v.Answer, s)
			}
			if s.Certificate.Fingerprint != sign.FingerprintOf(id.Certificate).String() || s.TimeBy != BySigner || s.Role != "inspector" {
				t.Errorf("%+v", s)
			}
		})
	}
}

// TestNobodyIssues: an installer whom somebody trusts, and whose certificate
// says that it may issue others, makes an "inspector".
func TestNobodyIssues(t *testing.T) {
	long(t)
	make := func(name string, isCA bool, usage []x509.ExtKeyUsage, by *sign.Identity) sign.Identity {
		key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
		if err != nil {
			t.Fatal(err)
		}
		c := &x509.Certificate{
			SerialNumber: big.NewInt(time.Now().UnixNano()), Subject: pkix.Name{CommonName: name}, ExtKeyUsage: usage,
			NotBefore: dated.AddDate(0, -1, 0), NotAfter: dated.AddDate(1, 0, 0), BasicConstraintsValid: true, IsCA: isCA,
			KeyUsage: x509.KeyUsageDigitalSignature,
		}
		parent, signer := c, key
		if isCA {
			c.KeyUsage |= x509.KeyUsageCertSign
		}
		if by != nil {
			parent, signer = by.Certificate, by.Key.(*ecdsa.PrivateKey)
		}
		der, err := x509.CreateCertificate(rand.Reader, c, parent, key.Public(), signer)
		if err != nil {
			t.Fatal(err)
		}
		made, err := x509.ParseCertificate(der)
		if err != nil {
			t.Fatal(err)
		}
		id := sign.Identity{Key: key, Certificate: made}
		if by != nil {
			id.Chain = []*x509.Certificate{by.Certificate}
		}
		return id
	}
	installer := make("Юрій Коваленко", true, nil, nil)
	forged := make("Žofie Brázdilová", false, nil, &installer)
	file := signed(t, reportOf(t, metric), forged, sign.Inspector, noon)
	plain := &sign.Trust{Signers: []sign.Trusted{{Fingerprint: sign.FingerprintOf(installer.Certificate), Certificate: installer.Certificate}}}
	listed := &sign.Trust{Signers: []sign.Trusted{trusting(installer, sign.Installer, sign.Inspector)}}
	for name, trust := range map[string]*sign.Trust{"PEM": plain, "list": listed} {
		v := verified(t, file, Options{Trust: trust})
		if v.Holds || v.Signatures[0].Trust.Standing != string(sign.NotListed) || !strings.Contains(v.Signatures[0].Trust.Found, "may not issue others") {
			t.Errorf("%s: %s, %+v", name, v.Verdict, v.Signatures[0].Trust)
		}
	}
	// Where the list says that it may, it may in its roles; the name is its word.
	may := trusting(installer, sign.Installer)
	may.Issues = true
	for role, standing := range map[sign.Role]sign.Standing{sign.Installer: sign.IsTrusted, sign.Inspector: sign.RoleNotAllowed} {
		v := verified(t, signed(t, reportOf(t, metric), forged, role, noon), Options{Trust: &sign.Trust{Signers: []sign.Trusted{may}}})
		if s := v.Signatures[0]; s.Trust.Standing != string(standing) || standing == sign.IsTrusted && (s.NameBy != ByIssuer || s.RoleBy != ByList) {
			t.Errorf("%s: %+v", role, s)
		}
	}
	// It may not after its time, though what it issued is still in force.
	may.Until = dated
	if v := verified(t, signed(t, reportOf(t, metric), forged, sign.Installer, noon), Options{Trust: &sign.Trust{Signers: []sign.Trusted{may}}}); v.Signatures[0].Trust.Standing != string(sign.TooLate) {
		t.Errorf("%+v", v.Signatures[0])
	}

	// A certificate for time stamps, or for a server, is nobody's to sign with.
	for name, usage := range map[string]x509.ExtKeyUsage{"time stamps": x509.ExtKeyUsageTimeStamping, "servers": x509.ExtKeyUsageServerAuth} {
		id := make("Clock", false, []x509.ExtKeyUsage{usage}, nil)
		_, err := sign.Sign(reportOf(t, metric), sign.Request{Identity: id, As: sign.Inspector, Reason: accepted, Time: noon})
		if err == nil || !strings.Contains(err.Error(), "is for "+name) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestOneKey(t *testing.T) {
	long(t)
	id, other := ada(t), yuri(t)
	file := signed(t, reportOf(t, metric), id, sign.Inspector, noon)
	file = signed(t, file, other, sign.Installer, noon.Add(time.Hour))
	trust := &sign.Trust{Signers: []sign.Trusted{trusting(id), trusting(other)}}
	if v := verified(t, file, Options{Trust: trust, Strict: true}); !v.Holds {
		t.Errorf("two keys: %s, %s", having(v, Remark), having(v, Bad))
	}
	file = signed(t, file, id, sign.Contractor, noon.Add(2*time.Hour))
	v := verified(t, file, Options{Trust: trust})
	if !v.Holds || having(v, Remark) != "one-key-one-role signed-by-person-named" {
		t.Errorf("%s: %s", v.Verdict, having(v, Remark))
	}
	if v := verified(t, file, Options{Trust: trust, Strict: true}); v.Verdict != DoesNotHold || v.Answer != "" || v.RulesSay != "READY" {
		t.Errorf("strict: %s %q", v.Verdict, v.Answer)
	}

	// A renewed certificate is another fingerprint, and the same key.
	renewed, err := id.Renew(noon, rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	file = signed(t, reportOf(t, metric), id, sign.Inspector, noon)
	file = signed(t, file, renewed, sign.Installer, noon.Add(time.Hour))
	if v := verified(t, file, Options{}); !strings.Contains(having(v, Remark), "one-key-one-role") {
		t.Errorf("renewed: %s", having(v, Remark))
	}
}

func TestExpect(t *testing.T) {
	long(t)
	id := ada(t)
	file := signed(t, reportOf(t, metric), id, sign.Inspector, noon)
	for _, c := range []struct {
		trust  *sign.Trust
		role   sign.Role
		signed bool
	}{
		{nil, sign.Inspector, true}, {nil, sign.Installer, false},
		{&sign.Trust{Signers: []sign.Trusted{trusting(id)}}, sign.Inspector, true},
		{&sign.Trust{}, sign.Inspector, false},
	} {
		v := verified(t, file, Options{Trust: c.trust, Expect: []sign.Role{c.role}})
		if v.Holds != c.signed || strings.Contains(having(v, Bad), "role-signed") == c.signed {
			t.Errorf("%s: %s, %s", c.role, v.Verdict, having(v, Bad))
		}
	}
}

// TestNoRemarkIsHidden: without a list trust is a remark, so that strict wants one.
func TestStrictWantsAList(t *testing.T) {
	file := signed(t, reportOf(t, metric), ada(t), sign.Inspector, noon)
	if v := verified(t, file, Options{}); !v.Holds || having(v, Remark) != "signature-trusted" || having(v, NotChecked) != "revocation" {
		t.Errorf("%s: %s, %s", v.Verdict, having(v, Remark), having(v, NotChecked))
	}
	if v := verified(t, file, Options{Strict: true}); v.Holds {
		t.Error("strict holds without a list")
	}
}
