package pdf

import (
	"bytes"
	"errors"
	"math"
	"regexp"
	"strings"
	"testing"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/renderer"
	"github.com/yuin/goldmark/text"
	"github.com/yuin/goldmark/util"
)

// steps is a node kind that the package does not know: the text of a fence
// named "steps", drawn as a staircase.
type steps struct {
	ast.BaseBlock
	label string
}

var kindSteps = ast.NewNodeKind("Steps")

func (*steps) Kind() ast.NodeKind              { return kindSteps }
func (s *steps) Dump(source []byte, depth int) { ast.DumpHelper(s, source, depth, nil, nil) }

type stepsParser struct{}

func (stepsParser) Extend(md goldmark.Markdown) {
	md.Parser().AddOptions(parser.WithASTTransformers(util.Prioritized(stepsParser{}, 10)))
}

func (stepsParser) Transform(doc *ast.Document, r text.Reader, _ parser.Context) {
	var found []*ast.FencedCodeBlock
	_ = ast.Walk(doc, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if f, ok := n.(*ast.FencedCodeBlock); ok && entering && string(f.Language(r.Source())) == "steps" {
			found = append(found, f)
		}
		return ast.WalkContinue, nil
	})
	for _, f := range found {
		f.Parent().ReplaceChild(f.Parent(), f, &steps{label: string(f.Lines().Value(r.Source()))})
	}
}

type stepsRenderer struct {
	*Layout
	height float64
	bad    bool
}

func (r stepsRenderer) RegisterFuncs(reg renderer.NodeRendererFuncRegisterer) {
	reg.Register(kindSteps, func(_ util.BufWriter, _ []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
		if entering {
			r.Box(r.height, func(c *Canvas) {
				w, h := c.Size()
				end := h
				if r.bad {
					end = math.NaN()
				}
				c.Fill(0.9, Point{0, 0}, Point{w / 2, 0}, Point{w / 2, h}, Point{0, h})
				c.Line(1, 0, 0, Point{0, 0}, Point{w / 3, 0}, Point{w / 3, h / 2}, Point{w, h / 2}, Point{w, end})
				c.Line(0.5, 0.4, 3, Point{-50, h / 2}, Point{2 * w, h})
				c.Text(Point{w / 2, h / 3}, Center, 9, true, n.(*steps).label)
				c.Text(Point{w, h - 2}, Right, 7, false, "Ω ✓ "+strings.Repeat("x", int(c.TextWidth(7, false, "xx"))))
			})
		}
		return ast.WalkSkipChildren, nil
	})
}

func stepsExtension(height float64, bad bool) []Extension {
	return []Extension{{Parser: stepsParser{}, Render: func(l *Layout) renderer.NodeRenderer {
		return stepsRenderer{l, height, bad}
	}}}
}

const stepsSource = "before\n\n> - ```steps\n>   floor → falls\n>   ```\n>\n> after\n\n```other\ncode\n```\n"

func TestExtension(t *testing.T) {
	d := Document{Parts: [][]byte{[]byte(stepsSource)}, Extensions: stepsExtension(80, false)}
	b := write(t, d)
	got := drawnText(t, b)
	if !regexp.MustCompile(`^before•floor→fallsΩ✓x+aftercodepage1of1$`).MatchString(got) {
		t.Errorf("drawn %q", got)
	}
	checkSound(t, b)
	if !bytes.Equal(b, write(t, d)) {
		t.Error("two writes differ")
	}
	if n := ParseMarkdown([]byte(stepsSource), d.Extensions...); n.ChildCount() != 3 {
		t.Errorf("the tree has %d blocks; want 3", n.ChildCount())
	}
}

func TestExtensionErrors(t *testing.T) {
	none := stepsExtension(80, false)
	none[0].Render = nil
	for _, c := range []struct {
		name, say string
		ext       []Extension
	}{
		{"higher than a page", "high", stepsExtension(2000, false)},
		{"height not a number", "high", stepsExtension(math.NaN(), false)},
		{"point not a number", "finite", stepsExtension(80, true)},
		{"no renderer", "Steps", none},
	} {
		t.Run(c.name, func(t *testing.T) {
			err := Write(&bytes.Buffer{}, Document{Parts: [][]byte{[]byte(stepsSource)}, Extensions: c.ext})
			if err == nil || !strings.Contains(err.Error(), c.say) {
				t.Errorf("error is %v; want one about %q", err, c.say)
			}
			if c.say != "finite" && !errors.Is(err, ErrDocument) {
				t.Errorf("%v does not wrap ErrDocument", err)
			}
		})
	}
}

// The highest box must fit a page, even within a quote.
func TestHighestBoxFits(t *testing.T) {
	l := newLayout(Letter)
	d := Document{Parts: [][]byte{[]byte(stepsSource)}, Extensions: stepsExtension(l.MaxHeight(), false)}
	for _, p := range laidOut(t, d) {
		for _, it := range p.items {
			if it.y+it.height > l.bodyBottom()+0.01 {
				t.Errorf("a box ends at %.1f; the body ends at %.1f", it.y+it.height, l.bodyBottom())
			}
		}
	}
}

// TestFewLines: below the last few lines of a part the next goes on, and below
// more of them it begins a page.
func TestFewLines(t *testing.T) {
	for _, c := range []struct{ lines, pages int }{{30, 2}, {34, 2}, {36, 2}, {40, 2}, {45, 3}, {60, 3}} {
		d := Document{Parts: [][]byte{[]byte(strings.Repeat("one\n\n", c.lines)), []byte("# two\n")}, NewPages: []int{1}}
		pages := strings.Split(tool(t, "pdftotext", save(t, write(t, d)), "-"), "\f")
		if n := len(pages) - 1; n != c.pages || !strings.Contains(pages[n-1], "two") {
			t.Errorf("%d lines: %d pages, the last says %q", c.lines, n, pages[max(0, n-1)])
		}
	}
}

// TestNewPages: parts begin pages, and the first no blank one.
func TestNewPages(t *testing.T) {
	d := Document{Parts: [][]byte{[]byte("one\n"), []byte("# two\n\ntext\n"), []byte("three\n")}, NewPages: []int{0, 1, 2}}
	name := save(t, write(t, d))
	pages := strings.Split(tool(t, "pdftotext", name, "-"), "\f")
	if len(pages) != 4 { // one is empty behind the last mark
		t.Fatalf("%d pages", len(pages)-1)
	}
	for i, want := range []string{"one", "two", "three"} {
		if !strings.HasPrefix(pages[i], want) {
			t.Errorf("page %d says %q", i+1, pages[i])
		}
	}
	for _, c := range []struct{ parts, pages int }{{0, 1}, {1, 2}} {
		d.NewPages = []int{1}[:c.parts]
		if pages := strings.Split(tool(t, "pdftotext", save(t, write(t, d)), "-"), "\f"); len(pages) != c.pages+1 {
			t.Errorf("%d pages where %v begin one", len(pages)-1, d.NewPages)
		}
	}
}
