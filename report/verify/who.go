package verify

import (
	"cmp"
	"crypto"
	"fmt"
	"slices"
	"time"

	"setline.example/report/sign"
	"setline.example/schema"
)

// signatureOf is a signature in the machine form.
func signatureOf(n int, s *sign.Signature) Signature {
	out := Signature{
		Number: n, Revision: s.Revision, Intact: s.Sound(),
		Name: s.Name, Firm: s.Firm, NameBy: BySigner, Role: string(s.Role), RoleBy: BySigner, Reason: s.Reason,
		Time: stampOf(s.Time), TimeBy: BySigner, Claimed: stampOf(s.Claimed),
		Trust: Trust{string(s.Standing), s.TrustedBy}, Block: s.Seen, Picture: s.WithPicture,
	}
	if s.Trusted {
		out.NameBy = ByList
		if s.Issued {
			out.NameBy = ByIssuer
		}
		if len(s.TrustedAs.Roles) > 0 {
			out.RoleBy = ByList
		}
	}
	if s.TimeFrom == "timestamp" {
		out.TimeBy = ByStamp
	}
	if c := s.Certificate; c != nil {
		out.Certificate = &Certificate{
			Fingerprint: sign.FingerprintOf(c).String(), Issuer: c.Issuer.String(),
			From: stampOf(c.NotBefore), Until: stampOf(c.NotAfter),
		}
	}
	if s.Stamp != nil {
		out.Stamp = &Stamp{
			Time: stampOf(s.Stamp.Time), Authority: s.Stamp.By, Fingerprint: sign.FingerprintOf(s.Stamp.Certificate).String(),
			Trust: Trust{string(s.Stamp.Standing), s.Stamp.Why},
		}
	}
	return out
}

func stampOf(t time.Time) string { return t.UTC().Format(time.RFC3339) }

func person(name, firm string) string {
	if firm != "" {
		return name + " (" + firm + ")"
	}
	return name
}

// timeOf is the time of a signature, and whose word it is.
func timeOf(s *sign.Signature) string {
	by := "by the signer's clock"
	if s.TimeFrom == "timestamp" {
		by = "by the time stamp of " + s.Stamp.By
	}
	return s.Time.UTC().Format(time.DateTime+" UTC") + " " + by
}

// who says whether each signer is trusted, and what is odd about who signed.
func (v *verifier) who() {
	for i := range v.signed {
		s := &v.signed[i]
		if s.Certificate == nil {
			continue
		}
		print := "certificate " + sign.FingerprintOf(s.Certificate).String()
		what := fmt.Sprintf("signature %d is trusted", i+1)
		switch {
		case v.o.Trust == nil:
			v.add(Trusted, i+1, Remark, fmt.Sprintf("trust in signature %d", i+1), "not checked; "+cmp.Or(v.o.Ways.Trust, "name a trust list with --trust")+"; "+print)
		default:
			v.holds(Trusted, i+1, s.Trusted, what, s.TrustedBy+"; "+print)
		}
	}
	v.oneKey()
	v.expected()
	if len(v.signed) > 0 {
		v.add(Revocation, 0, NotChecked, "revocation", "nothing is asked of anybody; ask the firm, and end in your list the trust in a key that was lost")
	}
}

// oneKey says where one key has signed in several roles, or more than once.
func (v *verifier) oneKey() {
	for i := range v.signed {
		for j := range v.signed[:i] {
			a, b := v.signed[j].Certificate, v.signed[i].Certificate
			if a == nil || b == nil {
				continue
			}
			key, ok := a.PublicKey.(interface{ Equal(crypto.PublicKey) bool })
			if ok && key.Equal(b.PublicKey) {
				v.add(OneKey, i+1, Remark, fmt.Sprintf("key of signature %d", i+1),
					fmt.Sprintf("it is that of signature %d: one person signed as %s and as %s", j+1, v.signed[j].Role, v.signed[i].Role))
				break
			}
		}
	}
}

// expected holds that somebody has signed in each of these roles.
func (v *verifier) expected() {
	for _, role := range v.o.Expect {
		good := slices.ContainsFunc(v.signed, func(s sign.Signature) bool {
			return s.Role == role && s.Sound() && (s.Trusted || v.o.Trust == nil)
		})
		found := "someone has, as said above"
		if !good {
			found = "found no signature in that role that holds"
		}
		v.holds(RoleSigned, 0, good, fmt.Sprintf("the %s has signed", role), found)
	}
}

// named says where somebody else has signed than the record names. People stand
// in for each other, so that it is told and for the reader to judge.
func (v *verifier) named(who schema.SignOff) {
	for i, s := range v.signed {
		p := map[sign.Role]*schema.Signer{sign.Inspector: who.Inspector, sign.Installer: who.Installer, sign.Contractor: who.Contractor}[s.Role]
		if p != nil && !sign.SameName(p.Name, s.Name) {
			v.add(OtherPerson, i+1, Remark, fmt.Sprintf("name in signature %d", i+1),
				fmt.Sprintf("someone else signed than the record names as %s: %s; see that this is meant", s.Role, p.Name))
		}
	}
}
