package trust

import (
	"bytes"
	"crypto/x509"
	"encoding/json"
	"encoding/pem"
	"fmt"

	"setline.example/report/sign"
	"setline.example/schema"
	"setline.example/schema/amend"
)

// Entry is one certificate of a list.
type Entry struct {
	Signer        // without roles for a time-stamp authority
	Stamps bool   // an authority for time stamps
	At     string // JSON Pointer to it
}

// Entries reads a list in JSON: all that stands in it, in its order. The error is
// [schema.Problems].
func Entries(name string, data []byte) ([]Entry, error) {
	all, _, err := entries(name, data)
	return all, err
}

func entries(name string, data []byte) (all []Entry, _ *schema.Source, err error) {
	if !bytes.HasPrefix(bytes.TrimSpace(data), []byte("{")) {
		return nil, nil, schema.Problems{{Kind: schema.OtherFile, File: name, Found: "no trust list in JSON", Expected: "one, which can be added to",
			Mend: "name a file that is not there yet, and add the certificates of this one to it"}}
	}
	if _, err := Read(name, data); err != nil {
		return nil, nil, err
	}
	var l List
	src, err := kind().Read(name, data, &l)
	if err != nil {
		return nil, nil, err
	}
	for i, s := range l.Signers {
		all = append(all, Entry{s, false, schema.Pointer("/signers", i)})
	}
	for i, c := range l.TimeStamps {
		all = append(all, Entry{Signer{Certificate: c}, true, schema.Pointer("/time_stamp_authorities", i)})
	}
	return all, src, nil
}

// Add puts an entry at the end of a list, and begins one where data is empty. The
// same key under another name is refused, and so is one that was taken out. The
// error is [schema.Problems].
func Add(name string, data []byte, e Entry) ([]byte, error) {
	if len(data) == 0 {
		data = fmt.Appendf(nil, "{\n  \"setline_trust\": %d,\n  \"signers\": []\n}\n", Form)
	}
	all, src, err := entries(name, data)
	if err != nil {
		return nil, err
	}
	for _, old := range all {
		if problem, clash := old.clash(src, e); clash {
			return nil, schema.Problems{problem}
		}
	}
	at, value := "/signers/-", any(e.Signer)
	if e.Stamps {
		at, value = "/time_stamp_authorities/-", any(e.Certificate)
	}
	text, err := json.Marshal(value)
	if err != nil {
		return nil, err
	}
	if data, err = amend.AddWithParents(data, at, text); err != nil {
		return nil, err
	}
	_, err = Read(name, data)
	return data, err
}

// clash says why an entry cannot stand beside an old one.
func (old *Entry) clash(src *schema.Source, e Entry) (_ schema.Problem, clash bool) {
	same := sameFingerprint(old.Fingerprint, e.Fingerprint)
	switch {
	case !same && !sameKey(old.Certificate.Certificate, e.Certificate.Certificate):
		return schema.Problem{}, false
	case !sign.SameName(old.Name, e.Name):
		return src.Problem(schema.Contradiction, old.At+"/name", fmt.Sprintf("the same key under the name %q", old.Name), fmt.Sprintf("it under %q, as it is to be added", e.Name),
			"ask both whose key it is: a key is one person's"), true
	case old.Removed != nil:
		return src.Problem(schema.NotAllowed, old.At+"/removed", fmt.Sprintf("that the key was taken out on %s (%s)", old.Removed.Date, old.Removed.Reason), "a key that was not",
			"let a new identity be made"), true
	case same:
		return src.Problem(schema.Twice, old.At+"/fingerprint", "the fingerprint that is to be added", "one that does not stand there yet", "leave it as it is, or take it out first"), true
	}
	return schema.Problem{}, false // renewed: the same name and key
}

func sameFingerprint(a, b string) bool {
	x, errX := sign.ParseFingerprint(a)
	y, errY := sign.ParseFingerprint(b)
	return errX == nil && errY == nil && x == y
}

// sameKey reports whether two certificates in PEM are of one key.
func sameKey(a, b string) bool {
	x, y := certificateOf(a), certificateOf(b)
	return x != nil && y != nil && bytes.Equal(x.RawSubjectPublicKeyInfo, y.RawSubjectPublicKeyInfo)
}

func certificateOf(text string) *x509.Certificate {
	block, _ := pem.Decode([]byte(text))
	if block == nil {
		return nil
	}
	c, err := x509.ParseCertificate(block.Bytes)
	if err != nil {
		return nil
	}
	return c
}

// Remove takes an entry out: it stays in the list, as what was taken out.
func Remove(name string, data []byte, e Entry, r Removed) ([]byte, error) {
	text, err := json.Marshal(r)
	if err != nil {
		return nil, err
	}
	if data, err = amend.Add(data, e.At+"/removed", text); err != nil {
		return nil, err
	}
	_, err = Read(name, data)
	return data, err
}
