package drawing

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/renderer"
	"github.com/yuin/goldmark/text"
	"github.com/yuin/goldmark/util"

	"setline.example/report/pdf"
)

var kindPicture = ast.NewNodeKind("Picture")

type picture struct{ ast.BaseBlock }

func (*picture) Kind() ast.NodeKind              { return kindPicture }
func (p *picture) Dump(source []byte, depth int) { ast.DumpHelper(p, source, depth, nil, nil) }

// pictures replaces every thematic break by the next drawing.
type pictures struct{ *pages }

type pages struct {
	draw  func(*pdf.Canvas, int)
	next  int
	l     *pdf.Layout
	sizes []Drawing
}

func (p pictures) Extend(md goldmark.Markdown) {
	md.Parser().AddOptions(parser.WithASTTransformers(util.Prioritized(p, 10)))
}

func (pictures) Transform(doc *ast.Document, _ text.Reader, _ parser.Context) {
	var breaks []ast.Node
	for n := doc.FirstChild(); n != nil; n = n.NextSibling() {
		if n.Kind() == ast.KindThematicBreak {
			breaks = append(breaks, n)
		}
	}
	for _, n := range breaks {
		doc.ReplaceChild(doc, n, &picture{})
	}
}

func (p pictures) RegisterFuncs(reg renderer.NodeRendererFuncRegisterer) {
	reg.Register(kindPicture, func(_ util.BufWriter, _ []byte, _ ast.Node, entering bool) (ast.WalkStatus, error) {
		if entering {
			i := p.next
			p.next++
			d := p.sizes[i]
			p.l.Box(min(d.Height*p.l.Width()/d.Width, p.l.MaxHeight()), func(c *pdf.Canvas) { p.draw(c, i) })
		}
		return ast.WalkSkipChildren, nil
	})
}

// onPages writes the drawings into a PDF, one after another. Look, where not
// nil, sees each canvas.
func onPages(t *testing.T, ds []Drawing, look func(*pdf.Canvas, Drawing)) []byte {
	t.Helper()
	p := &pages{sizes: ds, draw: func(c *pdf.Canvas, i int) {
		ds[i].Paint(c)
		if look != nil {
			look(c, ds[i])
		}
	}}
	src := bytes.Repeat([]byte("***\n\n"), len(ds))
	ext := pdf.Extension{Parser: pictures{p}, Render: func(l *pdf.Layout) renderer.NodeRenderer {
		p.l = l
		return pictures{p}
	}}
	var b bytes.Buffer
	if err := pdf.Write(&b, pdf.Document{Title: "Drawings", Parts: [][]byte{src}, Extensions: []pdf.Extension{ext}}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func everyDrawing(e Elevation) []Drawing {
	ds := Front(e, inSystem, 468)
	if d, ok := FloorProfile(e, inSystem, 468); ok {
		ds = append(ds, d)
	}
	if d, ok := Movement(e, sampleChanges(), inSystem, 468); ok {
		ds = append(ds, d)
	}
	return ds
}

func TestOnPages(t *testing.T) {
	long(t)
	ds := everyDrawing(sample())
	for _, c := range cases() {
		ds = append(ds, Front(c.e, inSystem, 468)...)
	}
	b := onPages(t, ds, nil)
	if !bytes.Equal(b, onPages(t, ds, nil)) {
		t.Error("two writes differ")
	}
	file := filepath.Join(t.TempDir(), "drawings.pdf")
	if dir := os.Getenv("DRAWING_SAMPLES"); dir != "" {
		file = filepath.Join(dir, "drawings.pdf")
		for i, d := range ds[:min(3, len(ds))] {
			if err := os.WriteFile(filepath.Join(dir, string(rune('a'+i))+".svg"), d.SVG(), 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
	if err := os.WriteFile(file, b, 0o644); err != nil {
		t.Fatal(err)
	}
	tool, err := exec.LookPath("qpdf")
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("qpdf is missing; install it to check the PDF")
		}
		t.Skip("qpdf is missing: the PDF was not checked")
	}
	if out, err := exec.Command(tool, "--check", file).CombinedOutput(); err != nil || bytes.Contains(out, []byte("WARNING")) {
		t.Errorf("qpdf --check: %v\n%s", err, out)
	}
}
