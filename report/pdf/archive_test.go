package pdf

import (
	"bytes"
	"encoding/binary"
	"encoding/xml"
	"fmt"
	"math/big"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"setline.example/report/pdf/object"
)

// xmp is what a program that keeps files reads of the metadata.
type xmp struct {
	Title       string `xml:"RDF>Description>title>Alt>li"`
	Description string `xml:"RDF>Description>description>Alt>li"`
	Creator     string `xml:"RDF>Description>creator>Seq>li"`
	Language    string `xml:"RDF>Description>language>Bag>li"`
	Tool        string `xml:"RDF>Description>CreatorTool"`
	Created     string `xml:"RDF>Description>CreateDate"`
	Modified    string `xml:"RDF>Description>ModifyDate"`
}

// TestMetadataAgrees: the information dictionary and XMP say the same, whatever
// anybody typed, and other programs read it.
func TestMetadataAgrees(t *testing.T) {
	long(t)
	date := time.Date(2026, 10, 2, 11, 30, 7, 0, time.UTC)
	for _, text := range []string{
		"plain", `<b> & "both" ]]> '?>' <?xpacket end="w"?>`, "Łuczak Ω 𝄞 ½ in", "two\nlines\tand a tab", "", " blanks ",
	} {
		d := Document{Title: text, Subject: text + "s", Author: text + "a", Creator: text + "c", Lang: "en-US", Date: date}
		file := write(t, d)
		f, err := object.Read(file)
		if err != nil {
			t.Fatal(err)
		}
		info := f.Resolve(f.Revisions[0].Trailer.Get("Info"), 0)
		catalog := f.Resolve(f.Revisions[0].Trailer.Get("Root"), 0)
		o, _ := f.Find(catalog.Get("Metadata").Int, 0)
		var x xmp
		if err := xml.Unmarshal(file[o.From:o.To], &x); err != nil {
			t.Fatalf("%q: %v", text, err)
		}
		for _, m := range []struct{ key, xmp string }{
			{"Title", x.Title}, {"Subject", x.Description}, {"Author", x.Creator}, {"Creator", x.Tool},
		} {
			if said := object.DecodeText(info.Get(m.key).Text); said != m.xmp {
				t.Errorf("/%s is %q, and in XMP %q", m.key, said, m.xmp)
			}
		}
		for _, at := range []string{x.Created, x.Modified} {
			if got, err := time.Parse(time.RFC3339, at); err != nil || !got.Equal(date) {
				t.Errorf("the date is %q, expected %v", at, date)
			}
		}
		if said := catalog.Get("Lang").Text; said != x.Language {
			t.Errorf("/Lang is %q, and in XMP %q", said, x.Language)
		}
		if out := tool(t, "pdfinfo", "-meta", save(t, file)); !strings.Contains(out, string(file[o.From:o.To])) {
			t.Errorf("poppler reads other metadata:\n%s", out)
		}
	}
}

// TestAttachmentsSayWhatTheyAre: qpdf reads kind and date of each, and all of
// them belong to the document.
func TestAttachmentsSayWhatTheyAre(t *testing.T) {
	d := Document{Date: time.Date(2026, 10, 2, 11, 30, 7, 0, time.UTC), Attachments: []Attachment{
		{Name: "job-record.json", Content: []byte("{}"), Relation: Source}, {Name: "results.json", Content: []byte("[]"), Relation: Supplement},
		{Name: "a.JPG", Relation: Data}, {Name: "template.md", Relation: Source}, {Name: "other.xyz"},
	}}
	file := write(t, d)
	f, err := object.Read(file)
	if err != nil {
		t.Fatal(err)
	}
	if err := f.Canonical(); err != nil {
		t.Error(err)
	}
	catalog := f.Resolve(f.Revisions[0].Trailer.Get("Root"), 0)
	all, names := catalog.Get("AF").Items, catalog.Get("Names").Get("EmbeddedFiles").Get("Names").Items
	if len(all) != len(d.Attachments) || len(names) != 2*len(all) {
		t.Fatalf("found %d attachments of the document and %d names, expected %d", len(all), len(names), len(d.Attachments))
	}
	list := tool(t, "qpdf", "--list-attachments", "--verbose", save(t, file))
	for i, a := range d.Attachments {
		spec := f.Resolve(all[i], 0)
		want := string(a.Relation)
		if want == "" {
			want = "Unspecified"
		}
		if all[i].Int != names[2*i+1].Int || !spec.Get("AFRelationship").IsName(want) || object.DecodeText(spec.Get("UF").Text) != a.Name {
			t.Errorf("attachment %d is %s, expected %s, %s", i+1, spec, a.Name, want)
		}
		kind := []string{"application/json", "application/json", "image/jpeg", "text/markdown", "application/octet-stream"}[i]
		if _, of, _ := strings.Cut(list, "file "+fmt.Sprintf("%06d", i+1)); !strings.Contains(strings.SplitN(of, "file 0", 2)[0], "mime type: "+kind) {
			t.Errorf("qpdf finds no %s of kind %s:\n%s", a.Name, kind, list)
		}
	}
	if n := strings.Count(list, "modification date: D:20261002113007+00'00"); n != len(all) {
		t.Errorf("qpdf finds the date %d times, expected %d:\n%s", n, len(all), list)
	}
}

// TestSRGB computes the numbers of the profile anew from what IEC 61966-2-1:1999
// publishes: chromaticities of the colours and of the white D65, and its curve;
// adapted to the white of profiles (ISO 15076-1, D50) by Bradford's matrix.
func TestSRGB(t *testing.T) {
	r := func(s string) *big.Rat {
		v, ok := new(big.Rat).SetString(s)
		if !ok {
			t.Fatal(s)
		}
		return v
	}
	white := xyzOf(r("0.3127"), r("0.3290"))
	colours := columns(xyzOf(r("0.64"), r("0.33")), xyzOf(r("0.30"), r("0.60")), xyzOf(r("0.15"), r("0.06")))
	share := times(inverse(colours), columns(white))
	for i := range colours {
		for j := range colours[i] {
			colours[i][j].Mul(colours[i][j], share[j][0])
		}
	}
	bradford := matrix{
		{r("0.8951"), r("0.2664"), r("-0.1614")},
		{r("-0.7502"), r("1.7135"), r("0.0367")},
		{r("0.0389"), r("-0.0685"), r("1.0296")},
	}
	d50 := []*big.Rat{r("0.9642"), r("1"), r("0.8249")}
	from, to := times(bradford, columns(white)), times(bradford, columns(d50))
	scale := matrix{{r("0"), r("0"), r("0")}, {r("0"), r("0"), r("0")}, {r("0"), r("0"), r("0")}}
	for i := range scale {
		scale[i][i].Quo(to[i][0], from[i][0])
	}
	adapt := times(times(inverse(bradford), scale), bradford)
	adapted := times(adapt, colours)
	for i := range 3 {
		same(t, "white", srgbWhite[i], d50[i])
		for j := range 3 {
			same(t, "adaptation", srgbAdapt[3*i+j], adapt[i][j])
			same(t, "colour", srgbColour[j][i], adapted[i][j])
		}
	}
	for i, want := range []string{"2.4", "1000/1055", "55/1055", "100/1292", "0.04045"} {
		same(t, "curve", srgbCurve[i], r(want))
	}
}

func same(t *testing.T, what string, got int32, want *big.Rat) {
	t.Helper()
	scaled := new(big.Rat).Mul(want, big.NewRat(65536, 1))
	off := new(big.Rat).Sub(scaled, big.NewRat(int64(got), 1))
	if off.Abs(off).Cmp(big.NewRat(1, 2)) > 0 {
		t.Errorf("%s: found %d, expected %s", what, got, scaled.FloatString(2))
	}
}

type matrix [][]*big.Rat

func xyzOf(x, y *big.Rat) []*big.Rat {
	one := big.NewRat(1, 1)
	z := new(big.Rat).Sub(new(big.Rat).Sub(one, x), y)
	return []*big.Rat{new(big.Rat).Quo(x, y), one, z.Quo(z, y)}
}

// columns is the matrix of these columns.
func columns(all ...[]*big.Rat) matrix {
	m := make(matrix, len(all[0]))
	for i := range m {
		for _, c := range all {
			m[i] = append(m[i], new(big.Rat).Set(c[i]))
		}
	}
	return m
}

func times(a, b matrix) matrix {
	m := make(matrix, len(a))
	for i := range a {
		for j := range b[0] {
			sum := new(big.Rat)
			for k := range b {
				sum.Add(sum, new(big.Rat).Mul(a[i][k], b[k][j]))
			}
			m[i] = append(m[i], sum)
		}
	}
	return m
}

// inverse is that of a matrix of three by three, by its adjugate.
func inverse(a matrix) matrix {
	minor := func(i, j int) *big.Rat {
		at := func(u, v int) *big.Rat { return a[(i+u)%3][(j+v)%3] }
		m := new(big.Rat).Mul(at(1, 1), at(2, 2))
		return m.Sub(m, new(big.Rat).Mul(at(1, 2), at(2, 1)))
	}
	det := new(big.Rat)
	for j := range 3 {
		det.Add(det, new(big.Rat).Mul(a[0][j], minor(0, j)))
	}
	m := make(matrix, 3)
	for i := range m {
		for j := range 3 {
			m[i] = append(m[i], new(big.Rat).Quo(minor(j, i), det))
		}
	}
	return m
}

// TestProfileIsSRGB has another library (Little CMS) turn its own sRGB into the
// profile: colours come out as they went in.
func TestProfileIsSRGB(t *testing.T) {
	needTool(t, "transicc")
	profile := filepath.Join(t.TempDir(), "srgb.icc")
	if err := os.WriteFile(profile, srgb(), 0o600); err != nil {
		t.Fatal(err)
	}
	var in strings.Builder
	var want [][3]int
	for v := 0; v <= 255; v += 15 {
		for _, c := range [][3]int{{v, v, v}, {v, 0, 0}, {0, v, 0}, {0, 0, v}, {v, 255 - v, 128}} {
			fmt.Fprintf(&in, "%d %d %d\n", c[0], c[1], c[2])
			want = append(want, c)
		}
	}
	c := exec.CommandContext(t.Context(), "transicc", "-n", "-t", "1", "-i", "*sRGB", "-o", profile)
	c.Stdin = strings.NewReader(in.String())
	out, err := c.Output()
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(string(out)), "\n")
	if len(lines) != len(want) {
		t.Fatalf("found %d colours, expected %d:\n%s", len(lines), len(want), out)
	}
	for i, line := range lines {
		var got [3]float64
		if _, err := fmt.Sscan(line, &got[0], &got[1], &got[2]); err != nil {
			t.Fatalf("%q: %v", line, err)
		}
		for k, v := range got {
			if d := v - float64(want[i][k]); d > 0.1 || d < -0.1 {
				t.Errorf("%v comes out as %s", want[i], line)
				break
			}
		}
	}
}

// TestProfileIsWhole: sizes and places in the profile are its own.
func TestProfileIsWhole(t *testing.T) {
	b := srgb()
	if n := binary.BigEndian.Uint32(b); int(n) != len(b) || len(b)%4 != 0 || !bytes.Equal(b[36:40], []byte("acsp")) {
		t.Errorf("it says %d bytes, and has %d", n, len(b))
	}
	for i := range int(binary.BigEndian.Uint32(b[128:])) {
		at := b[132+12*i:]
		place, size := int(binary.BigEndian.Uint32(at[4:])), int(binary.BigEndian.Uint32(at[8:]))
		if place%4 != 0 || place+size > len(b) {
			t.Errorf("%s is at %d, %d long, of %d", at[:4], place, size, len(b))
		}
	}
}

// TestPlaceForSignatureHasALook: no reader has to make one up.
func TestPlaceForSignatureHasALook(t *testing.T) {
	file := write(t, withFields(Field{Kind: SignatureField, Name: PlaceName("inspector"), Tooltip: "Signature"}))
	f, err := object.Read(file)
	if err != nil {
		t.Fatal(err)
	}
	catalog := f.Resolve(f.Revisions[0].Trailer.Get("Root"), 0)
	field := f.Resolve(catalog.Get("AcroForm").Get("Fields").Items[0], 0)
	look, ok := f.Find(field.Get("AP").Get("N").Int, 0)
	if !ok || !look.Stream || look.To != look.From || !look.Get("Subtype").IsName("Form") {
		t.Errorf("its look is %s", look.Value)
	}
}
