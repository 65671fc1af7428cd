package verify

import (
	"crypto/rand"
	"crypto/sha256"
	"crypto/x509"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"setline.example/report"
	"setline.example/report/sign"
	"setline.example/report/sign/clock"
	"setline.example/report/trust"
)

var keepSigned = flag.Bool("keep-signed", false, "add a signed report of the present page format to testdata/signed")

const signedFolder = "../../testdata/signed"

// TestSignedReportsStay: reports that earlier versions made and people signed
// are intact for ever. Their bytes are never made again; one of the present page
// format is added, before a release, with
//
//	go test ./report/verify -run TestSignedReportsStay -keep-signed
//
// Each has photographs, a firm's template and logo, three signatures, one beside
// a picture, and a time stamp; its trust list stands beside it.
func TestSignedReportsStay(t *testing.T) {
	long(t)
	if *keepSigned {
		addSigned(t, filepath.Join(signedFolder, fmt.Sprintf("format-%d", report.PageFormat())))
	}
	files, err := filepath.Glob(filepath.Join(signedFolder, "*", "report.pdf"))
	if err != nil || len(files) == 0 {
		t.Fatalf("%v, %d signed reports in %s", err, len(files), signedFolder)
	}
	for _, file := range files {
		t.Run(filepath.Base(filepath.Dir(file)), func(t *testing.T) { stays(t, filepath.Dir(file)) })
	}
}

// stays holds one report of long ago to what can be known of it.
func stays(t *testing.T, folder string) {
	data, list := readKept(t, folder, "report.pdf"), readKept(t, folder, "trust.json")
	who, err := trust.Read("trust.json", list)
	if err != nil {
		t.Fatal(err)
	}
	// At a day of its own, as nothing else depends on the clock.
	v := verified(t, data, Options{Trust: who, At: dated.AddDate(0, 6, 0), Expect: []sign.Role{sign.Inspector, sign.Installer, sign.Contractor}})
	if bad := judgedOtherwise(having(v, Bad)); bad != "" {
		t.Errorf("%s: %s", v.headline(), bad)
	}
	for _, code := range []Code{NothingElse, RecordIsOne, RoleSigned, Intact, Trusted, StampTrusted} {
		if !strings.Contains(" "+having(v, Good)+" ", " "+string(code)+" ") {
			t.Errorf("nothing says that %s", code)
		}
	}
	for _, s := range v.Signatures {
		if !s.Intact || !s.Block || s.NameBy != ByList || s.RoleBy != ByList {
			t.Errorf("%+v", s)
		}
	}
	if len(v.Signatures) != 3 || v.Signatures[1].TimeBy != ByStamp || !v.Signatures[2].Picture {
		t.Errorf("%+v", v.Signatures)
	}
	if sum := fmt.Sprintf("%x\n", sha256.Sum256(v.Record)); sum != string(readKept(t, folder, "record.sha256")) {
		t.Errorf("the record has the SHA-256 %s", sum)
	}
	want := Indeterminate
	switch {
	case having(v, Bad) != "":
		want = DoesNotHold // the rules judge it otherwise now
	case v.Made.PageFormat == report.PageFormat():
		want = Holds
	}
	if v.Verdict != want || want == Holds && v.Answer != "NOT READY" {
		t.Errorf("%s, want %s", v.headline(), want)
	}
}

func readKept(t testing.TB, elem ...string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(elem...))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// addSigned makes a signed report, where there is none of its format yet.
func addSigned(t *testing.T, folder string) {
	if _, err := os.Stat(folder); !errors.Is(err, fs.ErrNotExist) {
		t.Fatalf("%s is there already; signed reports are never made again", folder)
	}
	needTool(t, "openssl")
	url, authority := clock.Start(t, nil)
	body := readKept(t, "../../templates/turnover.md")
	logo := readKept(t, "../../examples/annex/first-page.png")
	photo := readKept(t, "../testdata/photograph.jpg")
	own := t.TempDir()
	keep(t, append([]byte("Halden Quality Services hands over what it measured.\n\n"), body...), own, "turnover.md")
	keep(t, logo, own, "logo.png")
	letterhead, err := report.NewLetterhead(os.DirFS(own))
	if err != nil {
		t.Fatal(err)
	}
	photos := t.TempDir()
	keep(t, photo, photos, "b2.jpg")
	const remarks = `"remarks": ["Filler B4 not on site; end of the island left open"]`
	file := reportWith(t, "../../examples/annex/job.json", report.Options{Letterhead: letterhead}, os.DirFS(photos), remarks,
		fmt.Sprintf(`%s, "photos": [{"file": "b2.jpg", "sha256": "%x", "of": "B2"}, {"file": "gone.jpg", "sha256": "%x", "of": "B1"}]`, remarks, sha256.Sum256(photo), sha256.Sum256(nil)))
	r, err := report.Rebuild(file)
	if err != nil || len(r.Judged.Measured.Visits) == 0 {
		t.Fatal(err)
	}
	list := trust.List{Form: trust.Form, TimeStamps: []trust.Certificate{{Fingerprint: sign.FingerprintOf(authority).String(), Name: authority.Subject.CommonName}}}
	picture, err := sign.ParsePicture(logo)
	if err != nil {
		t.Fatal(err)
	}
	now := time.Now()
	for i, p := range []struct {
		name, firm string
		as         sign.Role
	}{
		{"Ingrid Sørlie", "Halden Quality Services", sign.Inspector},
		{"Marek Łuczak", "Fennick & Dole Casework Installers", sign.Installer},
		{"Ana Whitlock", "Tarn Valley Builders", sign.Contractor},
	} {
		id, err := sign.NewIdentity(p.name, p.firm, now.Add(-time.Hour), rand.Reader)
		if err != nil {
			t.Fatal(err)
		}
		request := sign.Request{Identity: id, As: p.as, Reason: r.Reason(), Time: now.Add(time.Duration(i) * time.Second)}
		switch i {
		case 1:
			request.TSA = url
		case 2:
			request.Picture = picture
		}
		if file, err = sign.Sign(file, request); err != nil {
			t.Fatal(err)
		}
		list.Signers = append(list.Signers, signerOf(id.Certificate, p.as))
	}
	text, err := json.MarshalIndent(list, "", "  ")
	if err != nil {
		t.Fatal(err)
	}
	keep(t, append(text, '\n'), folder, "trust.json")
	keep(t, fmt.Appendf(nil, "%x\n", sha256.Sum256(r.Record)), folder, "record.sha256")
	keep(t, file, folder, "report.pdf")
}

func signerOf(c *x509.Certificate, role sign.Role) trust.Signer {
	return trust.Signer{
		Certificate: trust.Certificate{Fingerprint: sign.FingerprintOf(c).String(), Name: c.Subject.CommonName},
		Firm:        c.Subject.Organization[0], Roles: []string{string(role)},
	}
}

// keep writes a file that is not there yet.
func keep(t testing.TB, data []byte, elem ...string) {
	t.Helper()
	name := filepath.Join(elem...)
	if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(name, data, 0o644); err != nil {
		t.Fatal(err)
	}
}
