package pdf

import (
	"bytes"
	"math/rand/v2"
	"strings"
	"testing"
)

// laidOut gives the pages of a document.
func laidOut(t testing.TB, d Document) (pages []page) {
	t.Helper()
	err := layOut(d, leastPiece, func(*Layout) func(page) { return func(p page) { pages = append(pages, p) } })
	if err != nil {
		t.Fatal(err)
	}
	return pages
}

// inPieces writes a document whose Markdown is parsed in pieces of at least so many bytes.
func inPieces(t testing.TB, d Document, least int) []byte {
	t.Helper()
	var p *painter
	err := layOut(d, least, func(l *Layout) func(page) {
		p = newPainter(l, d)
		return p.page
	})
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := p.finish(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// blocksToMix are blocks of Markdown that reach as far as they can, and some
// that look as if they did.
var blocksToMix = []string{
	"plain\ntext", "# One", "## Two", "## Two", "### Three *x*", "#### Four", "Setext\n===", "Setext\n---", "#hash", "   ## In", "    ## code",
	"> quote\n\n> other", "> > deep\n\nlazy", "> ## in a quote", "- a\n\n- b\n\n      code", "1. a\n\n   ## in an item\n\n2. b", "- tight\n- list", "-",
	"|a|b|\n|-|-:|\n|c|d|\n|e|f|", "|a|\n|-|\n" + strings.Repeat("|row|\n", 60), "![](p)", "before\n\n![](p)", "![](f)\n\n|a|\n|-|\n" + strings.Repeat("|row|\n", 40),
	"***", "\\<div>", "a \\]: b", "[x](#two)", "[x](#two-1)", "[y](#in)", "[z](https://example.org/)", "![]( p )",
	"text\n## right behind", "\\## escaped", "##", "## ", "\t## tab", "\u00a0## blank", strings.Repeat("long ", 700), "\r\n\r\n## CR LF",
}

// farReaching are blocks behind which a blank line and a heading may be something else.
var farReaching = []string{
	"```\n\n## in code", "~~~~\ncode", "<!--\n\n## in a comment", "<div>", "> ```\n> x", "- ~~~\n\n  ## x", "<script>\n\n## x", "[two]: #two", "[x][two]", "> [a\n> b]: /c", "-->", "```",
}

// TestPiecesMeanWhatTheWholeMeans: parsed in pieces, however small, a document is
// the same file byte for byte as parsed in one.
func TestPiecesMeanWhatTheWholeMeans(t *testing.T) {
	long(t)
	random := rand.New(rand.NewPCG(12, 2))
	cut := 0
	for n := range 400 {
		mix := blocksToMix
		if n%3 == 0 {
			mix = append(mix[:len(mix):len(mix)], farReaching...)
		}
		d := Document{HeaderLeft: "job", HeaderSection: true, NewPages: []int{1}, Pictures: map[string]Picture{"p": floatless{plainBitmap(t, 24, 9)}, "f": floating{plainBitmap(t, 40, 9)}}}
		for range 2 {
			var text strings.Builder
			for range 3 + random.IntN(25) {
				text.WriteString(mix[random.IntN(len(mix))])
				text.WriteString([]string{"\n\n", "\n\n", "\n", "\n\n\n"}[random.IntN(4)])
			}
			d.Parts = append(d.Parts, []byte(text.String()))
			cut += len(pieces([]byte(text.String()), 1)) - 1
		}
		want := inPieces(t, d, 1<<30)
		for _, least := range []int{1, 40, 200} {
			if got := inPieces(t, d, least); !bytes.Equal(got, want) {
				t.Fatalf("in pieces of %d bytes it is another file:\n%q\n%q", least, d.Parts[0], d.Parts[1])
			}
		}
	}
	if cut < 400 {
		t.Errorf("only %d cuts were made", cut)
	}
}

// floating is a picture that may stand behind what follows it.
type floating struct{ *Bitmap }

func (floating) Size() (w, h float64) { return 400, 330 }
func (floating) Floats()              {}

// floatless is one that may not.
type floatless struct{ *Bitmap }

// TestPieces: what is cut, and what is not.
func TestPieces(t *testing.T) {
	for _, c := range []struct {
		src  string
		want int
	}{
		{"a\n\n# b\n\nc\n\n## d\n", 3},
		{"a\n# b\n\nc", 1},
		{"a\n\n#### b\n\nc", 1},
		{"a\n\n #  b\n\nc", 1},
		{"a\n\n```\n\n# b", 1},
		{"> ~~~\n\n# b", 1},
		{"<p>\n\n# b", 1},
		{"\\<p>\n\n# b", 2},
		{"[b]: /c\n\n# b", 1},
		{"\\[b\\]: c\n\n# b", 2},
		{"]: \n\n# b", 1},
	} {
		got := pieces([]byte(c.src), 1)
		if len(got) != c.want || !bytes.Equal(bytes.Join(got, nil), []byte(c.src)) {
			t.Errorf("%q is cut into %q", c.src, got)
		}
	}
}
