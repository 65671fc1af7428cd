package report

import (
	"bytes"
	"encoding/json"
	"fmt"
	"image"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/types"
	"setline.example/report/pdf/object"
	"setline.example/report/sign"
)

// sight is what a reader sees in a file: its root, and its objects in a form
// that does not depend on who wrote them down.
type sight struct {
	root    int64
	objects map[int]string
}

// differs says what two readers see differently.
func (s sight) differs(other sight) string {
	if s.root != other.root {
		return fmt.Sprintf("the root is object %d, not %d", other.root, s.root)
	}
	for n, o := range s.objects {
		if other.objects[n] != o {
			return fmt.Sprintf("object %d is %.300s, not %.300s", n, other.objects[n], o)
		}
	}
	for n, o := range other.objects {
		if _, ok := s.objects[n]; !ok {
			return fmt.Sprintf("there is an object %d more: %.100s", n, o)
		}
	}
	return ""
}

// plainly writes a value with its keys in order, strings by their bytes, and
// numbers by their values. A stream's length is a matter of each reader.
func plainly(v object.Value) string {
	switch v.Kind {
	case object.Integer:
		return fmt.Sprint(float64(v.Int))
	case object.Real:
		x, _ := strconv.ParseFloat(v.Text, 64)
		return fmt.Sprint(x)
	case object.String:
		if asText(v.Text) {
			return fmt.Sprintf("%q", object.DecodeText(v.Text))
		}
		return fmt.Sprintf("<%x>", v.Text)
	case object.Array:
		var all []string
		for _, item := range v.Items {
			all = append(all, plainly(item))
		}
		return "[" + strings.Join(all, " ") + "]"
	case object.Dict:
		var all []string
		for i, item := range v.Items {
			all = append(all, fmt.Sprintf("%q %s", v.Keys[i], plainly(item)))
		}
		slices.Sort(all)
		return "<<" + strings.Join(all, " ") + ">>"
	}
	return v.String()
}

// asText reports whether a string's bytes are text that all readers decode alike:
// UTF-16 with its mark, or ASCII that can stand in a text.
func asText(s string) bool {
	if rest, ok := strings.CutPrefix(s, "\xFE\xFF"); ok {
		return len(rest)%2 == 0 && !strings.ContainsRune(object.DecodeText(s), unicode.ReplacementChar)
	}
	return !strings.ContainsFunc(s, func(r rune) bool { return r != '\n' && r != '\r' && r != '\t' && (r < ' ' || r > '~') })
}

// allText reports whether all strings in a value are text.
func allText(v object.Value) bool {
	return (v.Kind != object.String || asText(v.Text)) && !slices.ContainsFunc(v.Items, func(item object.Value) bool { return !allText(item) })
}

// ourSight is what report/pdf/object sees in the newest revision.
func ourSight(t testing.TB, file []byte) sight {
	t.Helper()
	f, err := object.Read(file)
	if err != nil {
		t.Fatal(err)
	}
	s := sight{objects: map[int]string{}}
	for _, r := range f.Revisions {
		s.root = r.Trailer.Get("Root").Int
		for _, n := range r.Numbers() {
			o, _ := r.Object(n)
			s.objects[n] = plainly(o.Value)
		}
	}
	return s
}

// add adds an object, but for what only says where others are.
func (s sight) add(n int, v object.Value) {
	if kind := v.Get("Type"); !kind.IsName("ObjStm") && !kind.IsName("XRef") {
		s.objects[n] = plainly(v)
	}
}

// qpdfSight is what qpdf sees, which writes down objects as JSON.
func qpdfSight(t testing.TB, path string) sight {
	t.Helper()
	var out struct {
		QPDF []json.RawMessage
	}
	text := outside(t, "qpdf", "--json=2", "--json-key=qpdf", "--json-stream-data=none", "--decode-level=none", path)
	if err := json.Unmarshal(text, &out); err != nil {
		t.Fatal(err)
	}
	var objects map[string]struct {
		Value  any
		Stream struct{ Dict any }
	}
	d := json.NewDecoder(bytes.NewReader(out.QPDF[1]))
	d.UseNumber()
	if err := d.Decode(&objects); err != nil {
		t.Fatal(err)
	}
	s := sight{objects: map[int]string{}}
	for name, o := range objects {
		if name == "trailer" {
			s.root = ofJSON(o.Value).Get("Root").Int
			continue
		}
		var n int
		if _, err := fmt.Sscanf(name, "obj:%d 0 R", &n); err != nil {
			t.Fatal(name)
		}
		if o.Stream.Dict != nil {
			o.Value = o.Stream.Dict
		}
		s.add(n, ofJSON(o.Value))
	}
	return s
}

// ofJSON reads an object as qpdf writes it in JSON, format 2.
func ofJSON(x any) object.Value {
	switch x := x.(type) {
	case bool:
		return object.Value{Kind: object.Boolean, Text: fmt.Sprint(x)}
	case json.Number:
		return object.Value{Kind: object.Real, Text: x.String()}
	case []any:
		v := object.Value{Kind: object.Array}
		for _, item := range x {
			v.Items = append(v.Items, ofJSON(item))
		}
		return v
	case map[string]any:
		v := object.Value{Kind: object.Dict}
		for key, item := range x {
			v.Keys, v.Items = append(v.Keys, strings.TrimPrefix(key, "/")), append(v.Items, ofJSON(item))
		}
		v.End = 1
		for i := range v.Items {
			v.Items[i].End = 1
		}
		return v
	case string:
		switch n, isRef := strings.CutSuffix(x, " 0 R"); {
		case strings.HasPrefix(x, "u:"):
			s, err := object.Parse([]byte(object.TextString(x[2:])))
			if err != nil {
				panic(err)
			}
			return s
		case strings.HasPrefix(x, "b:"):
			s, err := object.Parse([]byte("<" + x[2:] + ">"))
			if err != nil {
				panic(err)
			}
			return s
		case strings.HasPrefix(x, "/"):
			return object.Value{Kind: object.Name, Text: x[1:]}
		case isRef:
			k, _ := strconv.ParseInt(n, 10, 64)
			return object.Value{Kind: object.Ref, Int: k, End: 1}
		}
	}
	return object.Value{}
}

var shownObject = regexp.MustCompile(`^(\d+) 0 obj (.*?)( stream)?$`)

// mutoolSight is what mutool sees.
func mutoolSight(t testing.TB, path string) sight {
	t.Helper()
	s := sight{objects: map[int]string{}}
	for _, line := range strings.Split(strings.TrimSpace(string(outside(t, "mutool", "show", path, "grep"))), "\n") {
		m := shownObject.FindStringSubmatch(line)
		if m == nil {
			if v, err := object.Parse([]byte(strings.TrimPrefix(line, "trailer "))); err == nil {
				s.root = v.Get("Root").Int
			}
			continue
		}
		n, _ := strconv.Atoi(m[1])
		v, err := object.Parse([]byte(m[2]))
		if err != nil {
			t.Fatalf("mutool: %q: %v", line, err)
		}
		s.add(n, v)
	}
	return s
}

// pdfcpuSight is what pdfcpu sees.
func pdfcpuSight(t testing.TB, file []byte) sight {
	t.Helper()
	api.DisableConfigDir()
	conf := model.NewDefaultConfiguration()
	conf.ValidationMode = model.ValidationRelaxed
	conf.DecodeAllStreams = false
	c, err := api.ReadContext(bytes.NewReader(file), conf)
	if err != nil {
		t.Fatalf("pdfcpu: %v", err)
	}
	s := sight{root: int64(c.Root.ObjectNumber), objects: map[int]string{}}
	for n, e := range c.Table {
		if e.Free || n == 0 {
			continue
		}
		o, err := c.Dereference(*types.NewIndirectRef(n, 0)) // which also unpacks
		if err != nil {
			t.Fatalf("pdfcpu: object %d: %v", n, err)
		}
		s.add(n, ofPdfcpu(t, o))
	}
	return s
}

func ofPdfcpu(t testing.TB, o types.Object) object.Value {
	t.Helper()
	switch o := o.(type) {
	case types.Boolean:
		return object.Value{Kind: object.Boolean, Text: fmt.Sprint(bool(o))}
	case types.Integer:
		return object.Value{Kind: object.Integer, Int: int64(o)}
	case types.Float:
		return object.Value{Kind: object.Real, Text: fmt.Sprint(float64(o))}
	case types.Name:
		return object.Value{Kind: object.Name, Text: string(o)}
	case types.StringLiteral:
		b, err := types.Unescape(string(o))
		if err != nil {
			t.Fatal(err)
		}
		return object.Value{Kind: object.String, Text: string(b)}
	case types.HexLiteral:
		b, err := o.Bytes()
		if err != nil {
			t.Fatal(err)
		}
		return object.Value{Kind: object.String, Text: string(b)}
	case types.IndirectRef:
		return object.Value{Kind: object.Ref, Int: int64(o.ObjectNumber)}
	case *types.IndirectRef:
		return object.Value{Kind: object.Ref, Int: int64(o.ObjectNumber)}
	case types.Array:
		v := object.Value{Kind: object.Array}
		for _, item := range o {
			v.Items = append(v.Items, ofPdfcpu(t, item))
		}
		return v
	case types.Dict:
		v := object.Value{Kind: object.Dict}
		for key, item := range o {
			v.Keys, v.Items = append(v.Keys, key), append(v.Items, ofPdfcpu(t, item))
		}
		return v
	case types.StreamDict:
		return ofPdfcpu(t, o.Dict)
	case types.ObjectStreamDict:
		return ofPdfcpu(t, o.Dict)
	case types.XRefStreamDict:
		return ofPdfcpu(t, o.Dict)
	case *types.StreamDict:
		return ofPdfcpu(t, o.Dict)
	case nil:
		return object.Value{}
	}
	t.Fatalf("pdfcpu has an object of type %T", o)
	return object.Value{}
}

// outside runs a program and returns what it prints.
func outside(t testing.TB, program string, args ...string) []byte {
	t.Helper()
	if _, err := exec.LookPath(program); err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatalf("the program %s is missing; install it", program)
		}
		t.Skipf("the program %s is missing, so this was not checked", program)
	}
	out, err := exec.CommandContext(t.Context(), program, args...).Output()
	if err != nil {
		t.Fatalf("%s %s: %v", program, strings.Join(args, " "), err)
	}
	return out
}

// sameForAll holds that every reader sees one document in a file.
func sameForAll(t *testing.T, file []byte) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "report.pdf")
	if err := os.WriteFile(path, file, 0o600); err != nil {
		t.Fatal(err)
	}
	ours := ourSight(t, file)
	for name, other := range map[string]sight{
		"qpdf": qpdfSight(t, path), "mutool": mutoolSight(t, path), "pdfcpu": pdfcpuSight(t, file),
	} {
		if difference := ours.differs(other); difference != "" {
			t.Errorf("%s: %s", name, difference)
		}
	}
	poppler := letters(string(outside(t, "pdftotext", "-enc", "UTF-8", path, "-")))
	// mutool draws a word of its own where nobody has signed yet.
	text := string(outside(t, "mutool", "draw", "-q", "-F", "txt", path))
	mupdf, own := letters(strings.ReplaceAll(text, "SIGN\n", "")), strings.Split(text, "\f")
	for i := range max(len(poppler), len(mupdf)) {
		if i >= len(poppler) || i >= len(mupdf) || poppler[i] != mupdf[i] {
			t.Fatalf("poppler and mutool read other words on page %d of %d and %d", i+1, len(poppler), len(mupdf))
		}
	}
	pictures := func(pattern string) []*image.Gray {
		names, _ := filepath.Glob(filepath.Join(filepath.Dir(path), pattern))
		var all []*image.Gray
		for _, name := range names {
			all = append(all, readGrey(t, name))
		}
		return all
	}
	outside(t, "pdftoppm", "-r", pageDPI, "-gray", "-png", path, filepath.Join(filepath.Dir(path), "p"))
	outside(t, "mutool", "draw", "-q", "-r", pageDPI, "-c", "gray", "-o", filepath.Join(filepath.Dir(path), "m-%03d.png"), path)
	a, b := pictures("p-*.png"), pictures("m-*.png")
	if len(a) != len(b) || len(a) == 0 {
		t.Fatalf("poppler draws %d pages, mutool %d", len(a), len(b))
	}
	for i := range a {
		if most := mostDifferent(a[i], b[i]); most > mostInATile && !strings.Contains(own[i], "SIGN\n") {
			t.Errorf("poppler and mutool draw page %d in two ways: a tile is %.0f greys darker, expected at most %d", i+1, most, mostInATile)
		}
	}
}

// letters are the characters of each page, in no order: each reader has its own.
func letters(text string) []string {
	pages := strings.Split(text, "\f")
	for i, page := range pages {
		r := []rune(strings.Map(func(c rune) rune {
			if unicode.IsSpace(c) || c == '-' { // hyphens at the ends of lines are taken for what they may not be
				return -1
			}
			return c
		}, page))
		slices.Sort(r)
		pages[i] = string(r)
	}
	return pages
}

// mostInATile is how many of 255 greys a tile of 8 by 8 pixels may be darker on
// average: two engines draw hairlines and edges of letters in two ways.
const mostInATile = 60

// mostDifferent is the greatest difference of the average grey of tiles.
func mostDifferent(a, b *image.Gray) float64 {
	if d := a.Rect.Size().Sub(b.Rect.Size()); max(d.X, d.Y, -d.X, -d.Y) > 1 { // half a pixel at an edge is a whole one to some
		return 255
	}
	most := 0.0
	for y := 0; y+8 <= min(a.Rect.Dy(), b.Rect.Dy()); y += 8 {
		for x := 0; x+8 <= min(a.Rect.Dx(), b.Rect.Dx()); x += 8 {
			sum := 0
			for i := range 64 {
				sum += int(a.GrayAt(x+i%8, y+i/8).Y) - int(b.GrayAt(x+i%8, y+i/8).Y)
			}
			most = max(most, math.Abs(float64(sum))/64)
		}
	}
	return most
}

// TestReadersAgree: in whatever verification accepts, unsigned or signed, our
// reader, qpdf, mutool, pdfcpu and poppler see one document.
func TestReadersAgree(t *testing.T) {
	long(t)
	not, ready := reports(t)
	signer := someone(t)
	for name, file := range map[string][]byte{"not ready": not, "ready": ready} {
		t.Run(name, func(t *testing.T) { sameForAll(t, file) })
		for _, as := range []sign.Role{sign.Inspector, sign.Installer, sign.Contractor} {
			signer.As = as
			var err error
			if file, err = sign.Sign(file, signer); err != nil {
				t.Fatal(err)
			}
		}
		if v, err := sign.Verify(file, nil); err != nil || !v.Sound() {
			t.Fatalf("%v %q", err, v.Problems)
		}
		t.Run(name+", signed", func(t *testing.T) { sameForAll(t, file) })
	}
}

// TestForgeryIsSeen: the forgery that everything here is about does show
// another job to those who look at the pages.
func TestForgeryIsSeen(t *testing.T) {
	long(t)
	path := filepath.Join(t.TempDir(), "forged.pdf")
	if err := os.WriteFile(path, forgeries(t)["second catalog, rows end in SP CR"], 0o600); err != nil {
		t.Fatal(err)
	}
	_, other := reports(t)
	for program, args := range map[string][]string{"pdftotext": {"PATH", "-"}, "mutool": {"draw", "-q", "-F", "txt", "PATH"}} {
		read := func(path string) string {
			a := slices.Clone(args)
			a[slices.Index(a, "PATH")] = path
			return string(outside(t, program, a...))
		}
		if read(path) != read(save(t, other)) {
			t.Errorf("%s does not read the hidden pages; the forgery is none", program)
		}
	}
}

func save(t testing.TB, file []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "report.pdf")
	if err := os.WriteFile(path, file, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// randomFile writes a document of one page, with values of every kind in its
// information, in the form in which reports are written.
func randomFile(random *rand.Rand) []byte {
	info := object.Value{Kind: object.Dict}
	for i := range 1 + random.IntN(12) {
		info = info.With(fmt.Sprintf("K%d%s", i, randomName(random)), randomValue(random, 0))
	}
	return fileWith(info)
}

// fileWith writes a document of one page with this information.
func fileWith(info object.Value) []byte {
	read := func(text string) object.Value {
		v, err := object.Parse([]byte(text))
		if err != nil {
			panic(err)
		}
		return v
	}
	return object.Write([]object.Item{
		{Value: read("<< /Type /Catalog /Pages 2 0 R >>")},
		{Value: read("<< /Type /Pages /Count 1 /Kids [3 0 R] >>")},
		{Value: read("<< /Type /Page /Parent 2 0 R /MediaBox [0 0 99.5 99] /Resources << >> /Contents 4 0 R >>")},
		{Value: read("<< /Filter /FlateDecode >>"), Stream: object.Pack([]byte("9 9 20 20 re f"))},
		{Value: info},
	}, read("<< /Size 0 /Root 1 0 R /Info 5 0 R >>"))
}

func randomName(random *rand.Rand) string {
	b := make([]byte, 1+random.IntN(6))
	for i := range b {
		b[i] = "aZ09._+-"[random.IntN(8)]
	}
	return string(b)
}

func randomValue(random *rand.Rand, depth int) object.Value {
	kind := random.IntN(9)
	if depth > 4 {
		kind %= 6
	}
	switch kind {
	case 0:
		return object.Value{Kind: object.Boolean, Text: fmt.Sprint(random.IntN(2) == 0)}
	case 1:
		return object.Whole(int(random.Int32()) - 1<<30)
	case 2:
		return object.Value{Kind: object.Real, Text: fmt.Sprintf("%.3f", random.Float64()*2000-1000)}
	case 3:
		return object.Value{Kind: object.Name, Text: "N" + randomName(random)}
	case 4:
		return object.Value{Kind: object.String, Text: []string{"(", ")", "\\", "\\(", "<>", "%", "#20", ""}[random.IntN(8)] + randomName(random)}
	case 5:
		b := []byte{0xfe, 0xff}
		for range random.IntN(8) {
			b = append(b, byte(random.IntN(3)), byte(32+random.IntN(95)))
		}
		return object.Value{Kind: object.String, Text: string(b)}
	case 6:
		return object.Value{Kind: object.Ref, Int: int64(1 + random.IntN(5))}
	}
	v := object.Value{Kind: object.Array}
	for range random.IntN(5) {
		v.Items = append(v.Items, randomValue(random, depth+1))
	}
	if kind == 8 {
		v.Kind = object.Dict
		for i := range v.Items {
			v.Keys = append(v.Keys, fmt.Sprintf("D%d%s", i, randomName(random)))
		}
	}
	return v
}

// TestReadersAgreeOnTheForm: in any file in the form of reports, every reader
// sees the same objects.
func TestReadersAgreeOnTheForm(t *testing.T) {
	long(t)
	for seed := range uint64(40) {
		file := randomFile(rand.New(rand.NewPCG(seed, 11)))
		f, err := object.Read(file)
		if err == nil {
			err = f.Canonical()
		}
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		path := save(t, file)
		ours := ourSight(t, file)
		for name, other := range map[string]sight{
			"qpdf": qpdfSight(t, path), "mutool": mutoolSight(t, path), "pdfcpu": pdfcpuSight(t, file),
		} {
			if difference := ours.differs(other); difference != "" {
				t.Errorf("seed %d: %s: %s", seed, name, difference)
			}
		}
	}
}

// FuzzReaders writes any value into a document in the form of reports, and then
// changes bytes of the file as they stand. Where the result is still in that
// form, every reader sees the same in it.
//
// The seeds run with the other tests; go test -fuzz FuzzReaders ./report looks
// for more.
func FuzzReaders(f *testing.F) {
	long(f)
	for _, s := range []string{
		"<< /A [1 -2 +3 0.5 -.5 4. 007 true null] /B (a\\)\\053\\\n) /C <00fF> /D << /E /F >> >>", "(\\0501\r\n)", "[5 0 R 1 0 R]", "/A#20b", "/#41", "1e5",
		"(\xfe\xff\x00a)", "<feff0028>", "(%PDF-1.7)", "(endobj)", "<< /Length 5 >>", "99999999999", "--5", "<< /A (x) /A#42 (y) >>", "[[[[]]]]", "( )", "<20>",
	} {
		f.Add([]byte(s), uint32(0), uint8(0), []byte{})
	}
	for _, at := range []uint32{9, 15, 60, 200, 400, 600} {
		f.Add([]byte("(x)"), at, uint8(1), []byte("\r"))
		f.Add([]byte("(x)"), at, uint8(0), []byte("%9 0 obj\n"))
	}
	f.Fuzz(func(t *testing.T, value []byte, at uint32, cut uint8, more []byte) {
		v, err := object.Parse(value)
		if err != nil || !allText(v) { // other strings are bytes, which qpdf tells in a way of its own
			return
		}
		file := fileWith(object.Value{Kind: object.Dict}.With("K", v))
		from := int(at) % len(file)
		file = slices.Concat(file[:from], more, file[min(from+int(cut), len(file)):])
		if read, err := object.Read(file); err != nil || read.Canonical() != nil {
			return
		}
		sameForAll(t, file)
	})
}

// TestChangedAnywhere: of a report that was changed at random in its structure,
// nothing is accepted, unless all readers see the same in it as before.
func TestChangedAnywhere(t *testing.T) {
	long(t)
	file, _ := reports(t)
	signed, err := sign.Sign(file, someone(t))
	if err != nil {
		t.Fatal(err)
	}
	random := rand.New(rand.NewPCG(5, 11))
	accepted := 0
	for range 2000 {
		changed := changedSomewhere(random, signed)
		v, err := sign.Verify(changed, nil)
		if err != nil || !v.Sound() || bytes.Equal(changed, signed) {
			continue
		}
		accepted++
		if !bytes.Equal(v.FirstRevision, file) {
			t.Errorf("another first revision is accepted")
		}
		sameForAll(t, changed)
	}
	t.Logf("%d of 2000 changed reports accepted", accepted)
}

// changedSomewhere changes a file outside of its streams, where readers might differ.
func changedSomewhere(random *rand.Rand, file []byte) []byte {
	var places []int
	for _, mark := range []string{" 00000 n", "xref", "trailer", "startxref", "endobj", " 0 obj", "stream\n", "/Length", "<<", "/Root", "/Prev", "/Type", "%%EOF"} {
		at := 0
		for n := bytes.Count(file, []byte(mark)); n > 0; n-- {
			at += bytes.Index(file[at:], []byte(mark))
			places = append(places, at)
			at++
		}
	}
	at := places[random.IntN(len(places))] + random.IntN(12)
	at = min(at, len(file)-1)
	switch random.IntN(5) {
	case 0: // an end of line, or space, in place of another character
		return slices.Concat(file[:at], []byte{"\r\n \t\f\x00%"[random.IntN(7)]}, file[at+1:])
	case 1: // one more
		return slices.Concat(file[:at], []byte{"\r\n \t\f\x00%"[random.IntN(7)]}, file[at:])
	case 2: // another digit
		return slices.Concat(file[:at], []byte{byte('0' + random.IntN(10))}, file[at+1:])
	case 3: // a stretch twice
		end := min(at+random.IntN(400), len(file))
		return slices.Concat(file[:end], file[at:])
	}
	end := min(at+random.IntN(40), len(file))
	return slices.Concat(file[:at], file[end:])
}
