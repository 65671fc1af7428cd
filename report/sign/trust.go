package sign

import (
	"bytes"
	"crypto/x509"
	"fmt"
	"slices"
	"strings"
	"time"

	"golang.org/x/text/unicode/norm"
)

// Trust is whom a reader trusts.
type Trust struct {
	Signers []Trusted
	// Stamps are authorities for time stamps. Nobody in the one list vouches for
	// anything that the other is about.
	Stamps []Trusted
}

// Trusted is one certificate that a reader trusts, and for what.
type Trusted struct {
	Fingerprint Fingerprint
	// Name and Firm are what the certificate has to say; "" takes what it says.
	Name, Firm string
	Roles      []Role // in which it, or those it issued, may sign; none for all
	// From and Until bound the time of a signature; zero for no bound.
	From, Until time.Time
	// Issues says that it may issue the certificates of others. Without it a
	// certificate vouches for itself alone, whatever it says of itself.
	Issues bool
	// Certificate itself, where the list holds it. It need not: a fingerprint
	// tells the one that comes with a signature.
	Certificate *x509.Certificate
}

// Standing is what a trust list says of a certificate.
type Standing string

// The standings.
const (
	TrustNotChecked Standing = "not checked"    // there is no list
	IsTrusted       Standing = "trusted"        // it is on the list, or was issued by one that may
	NotListed       Standing = "not listed"     // nobody on the list vouches for it
	NameDiffers     Standing = "name differs"   // the list knows the certificate under another name
	FirmDiffers     Standing = "firm differs"   // or under another firm
	RoleNotAllowed  Standing = "role not given" // the list does not give it this role
	TooEarly        Standing = "too early"      // the signature is from before the list's trust in it
	TooLate         Standing = "too late"       // or from after it
	ForTimeStamps   Standing = "time stamps"    // it is a time-stamp authority's, which signs no reports
)

// opinion is a standing, in words, and whose it is.
type opinion struct {
	Standing
	words  string
	entry  *Trusted // that decided; nil where none did
	issued bool     // by entry's certificate, and not on the list itself
}

// ofSigner says what the list thinks of the certificate of s.
func (t *Trust) ofSigner(s *Signature, others []*x509.Certificate) opinion {
	if t == nil {
		return opinion{Standing: TrustNotChecked, words: "not checked"}
	}
	c := s.Certificate
	if slices.ContainsFunc(t.Stamps, func(e Trusted) bool { return e.Fingerprint == FingerprintOf(c) }) {
		return opinion{Standing: ForTimeStamps, words: "it is listed as a time-stamp authority's, which signs no reports"}
	}
	o := vouched(t.Signers, c, others, s.Time, x509.ExtKeyUsageAny)
	if o.entry == nil {
		return o
	}
	e := o.entry
	switch {
	case !o.issued && e.Name != "" && !SameName(e.Name, s.Name):
		return o.not(NameDiffers, "the list knows this fingerprint as %q, and the certificate says %q", e.Name, s.Name)
	case !o.issued && e.Firm != "" && !SameName(e.Firm, s.Firm):
		return o.not(FirmDiffers, "the list knows this fingerprint as of the firm %q, and the certificate says %q", e.Firm, s.Firm)
	case len(e.Roles) > 0 && !slices.Contains(e.Roles, s.Role):
		return o.not(RoleNotAllowed, "the list lets %s sign as %s, not as %s", e.who(), joined(e.Roles), s.Role)
	}
	return o
}

// vouched looks for the entry that speaks for c at a time: its own, or that of
// an issuer at the end of a path through others.
func vouched(list []Trusted, c *x509.Certificate, others []*x509.Certificate, at time.Time, usage x509.ExtKeyUsage) opinion {
	o := opinion{Standing: IsTrusted, words: "the trust list, which holds this certificate"}
	if i := slices.IndexFunc(list, func(e Trusted) bool { return e.Fingerprint == FingerprintOf(c) }); i >= 0 {
		o.entry = &list[i]
	} else if e, err := issuer(list, c, others, at, usage); err == nil {
		o.entry, o.issued, o.words = e, true, e.who()+", who may issue others by the trust list"
	} else {
		return opinion{Standing: NotListed, words: "nobody on the trust list" + whyNot(list, c, others, err)}
	}
	switch {
	case !o.entry.From.IsZero() && at.Before(o.entry.From):
		return o.not(TooEarly, "the list trusts %s from %s on", o.entry.who(), o.entry.From.Format(time.DateOnly))
	case !o.entry.Until.IsZero() && !at.Before(o.entry.Until):
		return o.not(TooLate, "the list trusts %s until %s", o.entry.who(), o.entry.Until.AddDate(0, 0, -1).Format(time.DateOnly))
	}
	return o
}

// not turns o down.
func (o opinion) not(s Standing, format string, args ...any) opinion {
	o.Standing, o.words = s, fmt.Sprintf(format, args...)
	return o
}

// issuer returns the entry with Issues to which a path leads from c.
func issuer(list []Trusted, c *x509.Certificate, others []*x509.Certificate, at time.Time, usage x509.ExtKeyUsage) (*Trusted, error) {
	roots, between := x509.NewCertPool(), x509.NewCertPool()
	entries := map[Fingerprint]*Trusted{}
	for i := range list {
		if e := &list[i]; e.Issues {
			entries[e.Fingerprint] = e
			if e.Certificate != nil {
				roots.AddCert(e.Certificate)
			}
		}
	}
	for _, other := range others {
		if entries[FingerprintOf(other)] != nil {
			roots.AddCert(other)
		} else {
			between.AddCert(other)
		}
	}
	chains, err := c.Verify(x509.VerifyOptions{Roots: roots, Intermediates: between, CurrentTime: at, KeyUsages: []x509.ExtKeyUsage{usage}})
	if err != nil {
		return nil, err
	}
	return entries[FingerprintOf(chains[0][len(chains[0])-1])], nil
}

// whyNot adds what a reader has to know of a certificate nobody vouches for.
func whyNot(list []Trusted, c *x509.Certificate, others []*x509.Certificate, err error) string {
	if bytes.Equal(c.RawIssuer, c.RawSubject) {
		return "; it is signed with its own key, so that only its fingerprint on the list can tell whose it is"
	}
	for _, e := range list {
		known := append([]*x509.Certificate{e.Certificate}, others...)
		for _, by := range known {
			if by == nil || FingerprintOf(by) != e.Fingerprint || !bytes.Equal(by.RawSubject, c.RawIssuer) {
				continue
			}
			if !e.Issues {
				return fmt.Sprintf("; %s, who issued it, is on the list and may not issue others by it", e.who())
			}
			return fmt.Sprintf("; %s, who issued it, is on the list, but not so that it holds: %v", e.who(), err)
		}
	}
	return fmt.Sprintf("; it was issued by %s", c.Issuer)
}

// who names an entry for people.
func (e *Trusted) who() string {
	switch {
	case e.Name != "":
		return e.Name
	case e.Certificate != nil:
		return e.Certificate.Subject.String()
	}
	return e.Fingerprint.String()
}

// SameName compares names, of people and firms, as they are read: blanks count once, and letters
// with accents are the same however they are put together.
func SameName(a, b string) bool {
	plain := func(s string) string { return norm.NFC.String(strings.Join(strings.Fields(s), " ")) }
	return plain(a) == plain(b)
}

func joined(roles []Role) string {
	words := make([]string, len(roles))
	for i, r := range roles {
		words[i] = string(r)
	}
	return strings.Join(words, ", ")
}
