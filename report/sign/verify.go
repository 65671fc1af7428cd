package sign

import (
	"bytes"
	"crypto/x509"
	"encoding/hex"
	"errors"
	"fmt"
	"time"

	"golang.org/x/crypto/cryptobyte"
	der "golang.org/x/crypto/cryptobyte/asn1"

	"setline.example/report/pdf/object"
)

// Signature is what one signature says, and whether it holds.
type Signature struct {
	Revision int // in which it was added; the report as it was made is revision 1
	Role     Role
	Name     string // common name in the certificate
	Firm     string // organization in the certificate; may be empty
	Reason   string
	Time     time.Time // in UTC
	TimeFrom string    // "timestamp" or "claimed"
	// TimeBy names the time-stamp authority, and says so if the trust list does not lead to it;
	// its time is not taken then. Empty without a time stamp.
	TimeBy              string
	Intact              bool   // signature and covered bytes belong together, and to the certificate's key
	Trusted             bool   // the certificate leads to the trust list, and was valid at Time
	TrustedBy           string // by whom; or "not checked", or why not
	Seen                bool   // in a block on the page, which shows what the signature says
	WithPicture         bool   // beside a picture, which proves nothing
	CoversWholeRevision bool   // all bytes of the file up to the end of its revision, but for its own /Contents
	Problem             string // the first thing wrong with it; empty for none. Lack of trust is no problem in this sense
	Certificate         *x509.Certificate
}

// Verification is what [Verify] found.
type Verification struct {
	Signatures []Signature
	// FirstRevision holds the bytes before the first signature: the report as it was made.
	FirstRevision []byte
	// Problems say what else was changed, and which object of the file it was.
	Problems []string
}

// Sound reports whether there are signatures, all hold, and nothing else was
// changed. Whether the signers are trusted is another question.
func (v Verification) Sound() bool { return len(v.Signatures) > 0 && v.unchanged() }

func (v Verification) unchanged() bool {
	for _, s := range v.Signatures {
		if !s.Intact || !s.CoversWholeRevision || s.Problem != "" {
			return false
		}
	}
	return len(v.Problems) == 0
}

// Verify looks at every byte of a signed report. An error, which wraps
// [ErrFile], says that the file cannot be read; everything else is in the
// Verification.
//
// trust holds the certificates that the reader trusts: of signers, of their
// authorities, of time-stamp authorities. With nil, trust is not checked. A
// certificate signed with its own key is trusted only if it is on the list
// itself. A signature taken off the end of the file leaves no trace: whoever
// expects three signatures has to count them.
func Verify(pdf []byte, trust *x509.CertPool) (Verification, error) {
	f, err := read(pdf)
	if err != nil {
		return Verification{}, err
	}
	v := f.verify(trust)
	if len(v.Signatures) == 0 {
		v.Problems = append(v.Problems, "there is no signature")
	}
	return v, nil
}

func (f *file) verify(trust *x509.CertPool) Verification {
	v := Verification{FirstRevision: f.Data[:f.Revisions[0].End:f.Revisions[0].End], Problems: f.first()}
	for k := 1; k < len(f.Revisions); k++ {
		c := f.later(k)
		v.Problems = append(v.Problems, c.problems...)
		if c.found != nil {
			v.Signatures = append(v.Signatures, f.signature(k, c, trust))
		}
	}
	return v
}

func (f *file) signature(k int, c *changes, trust *x509.CertPool) Signature {
	s := Signature{Revision: k + 1, TimeFrom: "claimed", TrustedBy: "not checked"}
	if err := s.read(f, k, c, trust); err != nil {
		s.Problem, s.Trusted = err.Error(), false
	}
	return s
}

// read fills in s and returns the first thing that is wrong.
func (s *Signature) read(f *file, k int, c *changes, trust *x509.CertPool) error {
	v := c.found.Value
	var ok bool
	s.Role, s.Reason, ok = readReason(object.DecodeText(v.Get("Reason").Text))
	claimed, timeErr := time.Parse(dateLayout, v.Get("M").Text)
	s.Time = claimed.UTC()

	contents := v.Get("Contents")
	if err := s.covered(f, k, v.Get("ByteRange"), contents); err != nil {
		return err
	}
	cms, err := signatureBytes(f.Data[contents.Start:contents.End])
	if err != nil {
		return err
	}
	d, err := readCMS(cms)
	if err != nil {
		return err
	}
	cert, err := d.signer()
	if cert != nil {
		s.Certificate, s.Name = cert, cert.Subject.CommonName
		s.Firm = firmOf(cert)
	}
	if err != nil {
		return err
	}
	if err := d.detached(); err != nil {
		return err
	}
	if err := d.checkDigest(f.Data[:contents.Start], f.Data[contents.End:f.Revisions[k].End]); err != nil {
		return err
	}
	s.Intact = true
	switch {
	case timeErr != nil:
		return fmt.Errorf("its time is %q, expected one such as D:20260302103000+00'00'", printable(v.Get("M").Text))
	case !ok:
		return fmt.Errorf("its reason does not begin with a role (%v)", roles())
	case object.DecodeText(v.Get("Name").Text) != s.Name:
		return errors.New("its /Name is not the name in the certificate")
	}
	if err := s.shown(f, c); err != nil {
		return err
	}
	if err := s.stamped(d, trust); err != nil {
		return err
	}
	if err := checkUsage(cert); err != nil {
		return err
	}
	if err := checkTime(cert, s.Time); err != nil {
		return err
	}
	s.trust(d, trust)
	return nil
}

// covered holds that the range leaves out the signature's own string and no more.
func (s *Signature) covered(f *file, k int, r, contents object.Value) error {
	if contents.Kind != object.String || f.Data[contents.Start] != '<' {
		return errors.New("its /Contents is no hexadecimal string")
	}
	want := fmt.Sprintf("[ 0 %d %d %d ]", contents.Start, contents.End, f.Revisions[k].End-contents.End)
	if found := r.String(); found != want {
		return fmt.Errorf("its /ByteRange is %s, expected %s: all but its own /Contents, to the end of its revision", short(r), want)
	}
	s.CoversWholeRevision = true
	return nil
}

// signatureBytes reads /Contents. No signature covers it, so there is one way
// only to write it: small letters, and zeros after the end.
func signatureBytes(contents []byte) ([]byte, error) {
	digits := contents[1 : len(contents)-1]
	if bytes.ContainsAny(digits, "ABCDEF") {
		return nil, errors.New("its /Contents was rewritten: it has capital letters")
	}
	b, err := hex.DecodeString(string(digits))
	if err != nil {
		return nil, errors.New("its /Contents holds something else than hexadecimal digits")
	}
	rest := cryptobyte.String(b)
	var cms cryptobyte.String
	if !rest.ReadASN1Element(&cms, der.SEQUENCE) {
		return nil, errCMS
	}
	if len(bytes.Trim(rest, "\x00")) > 0 {
		return nil, errors.New("its /Contents holds something after the signature")
	}
	return cms, nil
}

// detached holds what PAdES asks of a signature beside what CMS does: content
// outside, every certificate bound, and no attribute that nobody checks.
func (d *signedData) detached() error {
	if !d.contentType.Equal(oidData) || d.content != nil {
		return fmt.Errorf("%w: its content is not outside of it", errCMS)
	}
	for i, c := range d.certs {
		bound := false
		for _, h := range d.certificateV2 {
			bound = bound || bytes.Equal(sum(h.hash, c.Raw), h.sum)
		}
		if !bound {
			return fmt.Errorf("certificate %d in it (%s) was not there when it was signed", i+1, c.Subject)
		}
	}
	if len(d.certs) != len(d.certificateV2) {
		return fmt.Errorf("it holds %d certificates and was made with %d", len(d.certs), len(d.certificateV2))
	}
	for oid := range d.unsigned {
		if oid != oidTimeStamp.String() {
			return fmt.Errorf("it holds the attribute %s, which nothing protects", oid)
		}
	}
	return nil
}

// stamped reads the time stamp, if there is one.
func (s *Signature) stamped(d *signedData, trust *x509.CertPool) error {
	token, ok := d.unsigned[oidTimeStamp.String()]
	if !ok {
		return nil
	}
	st, err := readStamp(token, d.signature)
	if err != nil {
		s.Intact = false
		return fmt.Errorf("its time stamp: %w", err)
	}
	s.TimeBy = st.signer.Subject.String()
	if trust != nil {
		if _, err := st.signer.Verify(options(trust, st.others, st.time, x509.ExtKeyUsageTimeStamping)); err != nil {
			s.TimeBy += ", not trusted: " + err.Error()
			return nil
		}
	}
	s.Time, s.TimeFrom = st.time.UTC(), "timestamp"
	return nil
}

func (s *Signature) trust(d *signedData, trust *x509.CertPool) {
	if trust == nil {
		return
	}
	chains, err := s.Certificate.Verify(options(trust, d.certs, s.Time, x509.ExtKeyUsageAny))
	if err != nil {
		s.TrustedBy = "nobody on the trust list: " + err.Error()
		return
	}
	s.Trusted = true
	s.TrustedBy = chains[0][len(chains[0])-1].Subject.String()
	if len(chains[0]) == 1 {
		s.TrustedBy = "the trust list, which holds this certificate"
	}
}

func options(trust *x509.CertPool, others []*x509.Certificate, at time.Time, usage x509.ExtKeyUsage) x509.VerifyOptions {
	between := x509.NewCertPool()
	for _, c := range others {
		between.AddCert(c)
	}
	return x509.VerifyOptions{Roots: trust, Intermediates: between, CurrentTime: at, KeyUsages: []x509.ExtKeyUsage{usage}}
}
