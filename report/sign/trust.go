package sign

import (
	"bytes"
	"crypto/x509"
	"errors"
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
	// Out says that it was taken out, when and why, so that nothing its key ever
	// signed is trusted; "" where it was not, or counts until that day.
	Out string
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
	return vouched(t.Signers, path{c, others, s.Time, x509.ExtKeyUsageAny}, func(o opinion) opinion {
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
	})
}

// ofStamp says what the list thinks of the authority of a time stamp.
func (t *Trust) ofStamp(s stamp) opinion {
	return vouched(t.Stamps, path{s.signer, s.others, s.time, x509.ExtKeyUsageTimeStamping}, func(o opinion) opinion {
		if name := s.signer.Subject.CommonName; !o.issued && o.entry.Name != "" && !SameName(o.entry.Name, name) {
			return o.not(NameDiffers, "the list knows this fingerprint as %q, and the certificate says %q", o.entry.Name, name)
		}
		return o
	})
}

// path is what is asked of a list: whether something leads from it to a certificate,
// through others that came with it, at a time and for a use.
type path struct {
	c      *x509.Certificate
	others []*x509.Certificate
	at     time.Time
	usage  x509.ExtKeyUsage
}

// vouched looks for the entry that speaks for a certificate: its own, or that of an
// issuer at the end of a path. further is what an entry has to let pass beside its
// days; of several entries the first that does counts.
func vouched(list []Trusted, p path, further func(opinion) opinion) opinion {
	if e := takenOut(list, p.c); e != nil {
		return opinion{Standing: NotListed, words: e.outWords(), entry: e}
	}
	o := opinion{Standing: IsTrusted, words: "the trust list, which holds this certificate"}
	if i := slices.IndexFunc(list, func(e Trusted) bool { return e.Fingerprint == FingerprintOf(p.c) }); i >= 0 {
		o.entry = &list[i]
		return o.inForce(p.at, further)
	}
	entries, err := issuers(list, p)
	if err != nil {
		return opinion{Standing: NotListed, words: "nobody on the trust list" + whyNot(list, p, err)}
	}
	var first opinion
	for i, e := range entries {
		o.entry, o.issued, o.words = e, true, e.who()+", who may issue others by the trust list"
		found := o.inForce(p.at, further)
		if found.Standing == IsTrusted {
			return found
		}
		if i == 0 {
			first = found
		}
	}
	return first
}

// inForce holds o against the days of its entry, and then against what else it has to be.
func (o opinion) inForce(at time.Time, further func(opinion) opinion) opinion {
	switch e := o.entry; {
	case !e.From.IsZero() && at.Before(e.From):
		return o.not(TooEarly, "the list trusts %s from %s on", e.who(), e.From.Format(time.DateOnly))
	case !e.Until.IsZero() && !at.Before(e.Until):
		return o.not(TooLate, "the list trusts %s until %s", e.who(), e.Until.AddDate(0, 0, -1).Format(time.DateOnly))
	}
	return further(o)
}

// not turns o down.
func (o opinion) not(s Standing, format string, args ...any) opinion {
	o.Standing, o.words = s, fmt.Sprintf(format, args...)
	return o
}

// takenOut returns the entry by which nothing is trusted that this certificate, or
// another of the same key, signed; nil where there is none.
func takenOut(list []Trusted, c *x509.Certificate) *Trusted {
	if i := slices.IndexFunc(list, func(e Trusted) bool { return e.Out != "" && e.of(c) }); i >= 0 {
		return &list[i]
	}
	return nil
}

// of reports whether an entry is of a certificate, or of another of the same key.
func (e *Trusted) of(c *x509.Certificate) bool {
	return e.Fingerprint == FingerprintOf(c) ||
		e.Certificate != nil && bytes.Equal(e.Certificate.RawSubjectPublicKeyInfo, c.RawSubjectPublicKeyInfo)
}

func (e *Trusted) outWords() string {
	return "the list has taken out " + e.who() + ", and trusts nothing that the key ever signed: " + e.Out
}

// unfit says why a certificate may not stand on a path, as one that issued others:
// its key holds nothing, or the list says so. It is nil where it may.
func unfit(list []Trusted, c *x509.Certificate) error {
	if err := checkIssuer(c.PublicKey); err != nil {
		return fmt.Errorf("%s may not issue others: %w", c.Subject, err)
	}
	if e := takenOut(list, c); e != nil {
		return errors.New(e.outWords())
	}
	may := func(e Trusted) bool { return e.Issues && e.of(c) }
	if i := slices.IndexFunc(list, func(e Trusted) bool { return e.of(c) }); i >= 0 && !slices.ContainsFunc(list, may) {
		return fmt.Errorf("%s is on the list and may not issue others by it", list[i].who())
	}
	return nil
}

// issuers returns the entries with Issues to which a path leads.
func issuers(list []Trusted, p path) ([]*Trusted, error) {
	roots, between := x509.NewCertPool(), x509.NewCertPool()
	entries := map[Fingerprint]*Trusted{}
	for i := range list {
		if e := &list[i]; e.Issues && e.Out == "" {
			entries[e.Fingerprint] = e
			if e.Certificate != nil && unfit(list, e.Certificate) == nil {
				roots.AddCert(e.Certificate)
			}
		}
	}
	for _, other := range p.others {
		switch {
		case unfit(list, other) != nil:
		case entries[FingerprintOf(other)] != nil:
			roots.AddCert(other)
		default:
			between.AddCert(other)
		}
	}
	chains, err := p.c.Verify(x509.VerifyOptions{Roots: roots, Intermediates: between, CurrentTime: p.at, KeyUsages: []x509.ExtKeyUsage{p.usage}})
	var found []*Trusted
	for _, chain := range chains {
		if e := entries[FingerprintOf(chain[len(chain)-1])]; !slices.Contains(found, e) {
			found = append(found, e)
		}
	}
	return found, err
}

// whyNot adds what a reader has to know of a certificate nobody vouches for.
func whyNot(list []Trusted, p path, err error) string {
	if bytes.Equal(p.c.RawIssuer, p.c.RawSubject) {
		return "; it is signed with its own key, so that only its fingerprint on the list can tell whose it is"
	}
	known := slices.Clone(p.others)
	for _, e := range list {
		if e.Certificate != nil && bytes.Equal(e.Certificate.RawSubject, p.c.RawIssuer) {
			known = append(known, e.Certificate)
		}
	}
	for _, by := range known {
		if why := unfit(list, by); why != nil && !by.Equal(p.c) {
			return "; " + why.Error()
		}
	}
	for _, by := range known {
		i := slices.IndexFunc(list, func(e Trusted) bool { return e.Fingerprint == FingerprintOf(by) })
		if i >= 0 && bytes.Equal(by.RawSubject, p.c.RawIssuer) {
			return fmt.Sprintf("; %s, who issued it, is on the list, but not so that it holds: %v", list[i].who(), err)
		}
	}
	if errors.As(err, &x509.UnknownAuthorityError{}) {
		return fmt.Sprintf("; it was issued by %s", p.c.Issuer)
	}
	return fmt.Sprintf("; it was issued by %s, but not so that it holds: %v", p.c.Issuer, err)
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
