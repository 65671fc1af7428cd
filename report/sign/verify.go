package sign

import (
	"bytes"
	"crypto/x509"
	"encoding/hex"
	"errors"
	"fmt"
	"maps"
	"slices"
	"time"

	"golang.org/x/crypto/cryptobyte"
	der "golang.org/x/crypto/cryptobyte/asn1"

	"setline.example/report/pdf/object"
)

// Signature is what one signature says, and whether it holds.
type Signature struct {
	Revision            int // in which it was added; the report as it was made is revision 1
	Role                Role
	Name                string // common name in the certificate
	Firm                string // organization in the certificate; may be empty
	Reason              string
	Time                time.Time // in UTC: that of a time stamp of a trusted authority, else as claimed
	TimeFrom            string    // "timestamp" or "claimed"
	Claimed             time.Time // by the signer's clock, in UTC
	Stamp               *Stamp    // nil without a time stamp
	Intact              bool      // signature and covered bytes belong together, and to the certificate's key
	Trusted             bool      // the trust list speaks for the certificate in this role, which was valid at Time
	Standing            Standing
	TrustedBy           string   // by whom; or "not checked", or why not
	TrustedAs           *Trusted // the entry of the list that decided; nil where none did
	Issued              bool     // by the certificate of TrustedAs, and not listed itself
	Seen                bool     // in a block on the page, which shows what the signature says
	Drawing             int      // number of the block\'s drawing; 0 without a block
	Compared            bool     // whether this program knows that drawing, and the block is in it
	WithPicture         bool     // beside a picture, which proves nothing
	CoversWholeRevision bool     // all bytes of the file up to the end of its revision, but for its own /Contents
	Problem             string   // the first thing wrong with it; empty for none. Lack of trust is no problem in this sense
	Certificate         *x509.Certificate
}

// Stamp is a time stamp whose own signature is sound.
type Stamp struct {
	Time        time.Time // in UTC
	By          string    // subject of the authority's certificate
	Certificate *x509.Certificate
	Standing    Standing // of the authority; its time is taken only where it is [IsTrusted]
	Why         string   // in words
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
	return len(v.Problems) == 0 && !slices.ContainsFunc(v.Signatures, func(s Signature) bool { return !s.Sound() })
}

// Sound reports whether the signature holds. Whether its signer is trusted is
// another question.
func (s *Signature) Sound() bool { return s.Intact && s.CoversWholeRevision && s.Problem == "" }

// Verify looks at every byte of a signed report. An error, which wraps
// [ErrFile], says that the file cannot be read; everything else is in the
// Verification.
//
// trust says whom the reader trusts; with nil, trust is not checked, and no time
// stamp is taken for the time. A signature taken off the end of the file leaves no trace: whoever
// expects three signatures has to count them.
func Verify(pdf []byte, trust *Trust) (Verification, error) {
	return VerifyMade(pdf, trust, unmade)
}

// unmade is for one who makes nothing again.
func unmade([]byte) bool { return false }

// VerifyMade is [Verify] for one who can make a report again. made tells whether
// the first revision is what Setline itself writes, byte for byte: then it is in
// the one form in which Setline writes, and need not be held to it.
func VerifyMade(pdf []byte, trust *Trust, made func(first []byte) bool) (Verification, error) {
	f, err := read(pdf)
	if err != nil {
		return Verification{}, err
	}
	v := f.verify(trust, made)
	if len(v.Signatures) == 0 {
		v.Problems = append(v.Problems, "there is no signature")
	}
	return v, nil
}

func (f *file) verify(trust *Trust, made func(first []byte) bool) Verification {
	first := f.Data[:f.Revisions[0].End:f.Revisions[0].End]
	v := Verification{FirstRevision: first, Problems: f.first(made(first))}
	for k := 1; k < len(f.Revisions); k++ {
		c := f.later(k)
		v.Problems = append(v.Problems, c.problems...)
		if c.found != nil {
			v.Signatures = append(v.Signatures, f.signature(k, c, trust))
		}
	}
	return v
}

func (f *file) signature(k int, c *changes, trust *Trust) Signature {
	s := Signature{Revision: k + 1, TimeFrom: "claimed", Standing: TrustNotChecked, TrustedBy: "not checked"}
	if err := s.read(f, k, c, trust); err != nil {
		s.Problem, s.Trusted = err.Error(), false
	}
	return s
}

// read fills in s and returns the first thing that is wrong.
func (s *Signature) read(f *file, k int, c *changes, trust *Trust) error {
	v := c.found.Value
	var ok bool
	s.Role, s.Reason, ok = readReason(object.DecodeText(v.Get("Reason").Text))
	claimed, timeErr := time.Parse(dateLayout, v.Get("M").Text)
	s.Claimed = claimed.UTC()
	s.Time = s.Claimed

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
	if err := d.sameTime(s.Claimed); err != nil {
		return err
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
	for _, oid := range slices.Sorted(maps.Keys(d.unsigned)) {
		if oid != oidTimeStamp.String() {
			return fmt.Errorf("it holds the attribute %s, which nothing protects", oid)
		}
	}
	return nil
}

// stamped reads the time stamp, if there is one.
func (s *Signature) stamped(d *signedData, trust *Trust) error {
	token, ok := d.unsigned[oidTimeStamp.String()]
	if !ok {
		return nil
	}
	st, err := readStamp(token, d.signature)
	if err != nil {
		s.Intact = false
		return fmt.Errorf("its time stamp: %w", err)
	}
	s.Stamp = &Stamp{Time: st.time.UTC(), By: st.signer.Subject.String(), Certificate: st.signer, Standing: TrustNotChecked, Why: "not checked"}
	if trust == nil {
		return nil
	}
	o := trust.ofStamp(st)
	if s.Stamp.Standing, s.Stamp.Why = o.Standing, o.words; o.Standing == IsTrusted {
		s.Time, s.TimeFrom = s.Stamp.Time, "timestamp"
	}
	return nil
}

func (s *Signature) trust(d *signedData, trust *Trust) {
	o := trust.ofSigner(s, d.certs)
	s.Standing, s.TrustedBy, s.TrustedAs, s.Issued = o.Standing, o.words, o.entry, o.issued
	s.Trusted = o.Standing == IsTrusted
}
