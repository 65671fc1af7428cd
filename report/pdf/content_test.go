package pdf

import (
	"bytes"
	"encoding/json"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/yuin/goldmark/ast"
	"setline.example/report/pdf/object"
)

func TestTextComesBack(t *testing.T) {
	long(t)
	for _, c := range []struct{ name, src, want string }{
		{"accents", "José Ångström, Łódź, Þór, Őri", "JoséÅngström,Łódź,Þór,Őri"},
		{"decomposed accents", "e\u0301 A\u030A", "éÅ"},
		{"Greek", "Ιωάννης", "Ιωάννης"},
		{"Cyrillic", "Михаил Щукин", "МихаилЩукин"},
		{"signs of measure", "½ ¾ ± ≤ ≥ ° µ × ″ ′ – — …", "½¾±≤≥°µ×″′–—…"},
		{"fallback font", "→ ✓ ✗ ☐", "→✓✗☐"},
		{"Chinese", "a中b", "a‹U+4E2D›b"},
		{"emoji", "a🙂b", "a‹U+1F642›b"},
		{"bidirectional control", "a\u202Eb", "a‹U+202E›b"},
		{"zero width", "a\u200Bb\uFEFFc\u2060d", "a‹U+200B›b‹U+FEFF›c‹U+2060›d"},
		{"variation selector", "☐\uFE0F", "☐‹U+FE0F›"},
		{"right to left", "שa", "‹U+05E9›a"},
		{"control", "a\x01b\x7Fc", "a‹U+0001›b‹U+007F›c"},
		{"not UTF-8", "a\xffb", "a\uFFFDb"},
		{"emphasis", "*a* **b** ***c*** `d`", "abcd"},
		{"escapes", `\*a\* \\ \& &amp; &copy; \&copy; &#65; &#x42; &nosuch; &#0;`, "*a*\\&&©&copy;AB&nosuch;\uFFFD"},
		{"code keeps escapes", "`\\* &amp;`", `\*&amp;`},
		{"inline HTML", "a <b>c</b> <!-- d -->", "a<b>c</b><!--d-->"},
		{"HTML block", "<div>\n<p>x\n</div>", "<div><p>x</div>"},
		{"script", "<script>\nlet a\n\nb\n</script>\n", "<script>letab</script>"},
		{"image", "![the *north* wall](x.png)", "[thenorthwall]"},
		{"image without text", "![](x.png)", "[image]"},
		{"link", "[x](https://example.org)", "x"},
		{"script link", "[x](javascript:alert(1))", "x(javascript:alert(1))"},
		{"file link", "[x](photos/a.jpg)", "x(photos/a.jpg)"},
		{"link to nowhere", "[x](#nowhere)", "x(#nowhere)"},
		{"no linkify", "see www.example.org", "seewww.example.org"},
		{"code block", "```\na\tb\n  c\n```", "abc"},
		{"indented code", "    x < y", "x<y"},
		{"carriage returns", "a\r\nb  \r\n\r\n> c\r\n\r\n```\r\nd\r\n```\r\n", "abcd"},
		{"bullets", "- a\n  - b\n- c", "•a•b•c"},
		{"numbers", "9. a\n10. b", "9.a10.b"},
		{"brackets", "3) a", "3)a"},
		{"items without text", "1.\n2. b", "1.2.b"},
		{"nested markers on a line", "- 1. a", "•1.a"},
		{"table", "|a|b|\n|-|-|\n|*c*||\n|`d`|e\\|f|", "abcde|f"},
		{"table without rows", "|a|b|\n|-|-|", "ab"},
		{"table of too many columns", strings.Repeat("|h", 40) + "|\n" + strings.Repeat("|-", 40) + "|\n|first|second|", "h:first;h:second;"},
		{"task list is text", "- [ ] a", "•[]a"},
		{"strikethrough is text", "~~a~~", "~~a~~"},
		{"empty", "", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := write(t, Document{Parts: [][]byte{[]byte(c.src)}})
			if got := strings.TrimSuffix(drawnText(t, b), "page1of1"); !strings.HasPrefix(got, c.want) || len(got) > len(c.want) && c.name != "table of too many columns" {
				t.Errorf("drawn %q; want %q", got, c.want)
			}
		})
	}
}

// What the content streams hold, pdftotext must find, or nobody can search it.
func TestPdftotextAgrees(t *testing.T) {
	src := "José Ångström, Łódź; Ιωάννης; Михаил Щукин; e\u0301; ½ ± ≤ ° ″; → ✓ ☐; 中 🙂 \u202E.\n\n**José Ιω Щу ✓** *José Ιω Щу ✓* `José Ιω Щу ✓`"
	got := squeeze(strings.Join(pageTexts(t, write(t, Document{Parts: [][]byte{[]byte(src)}})), ""))
	want := squeeze("José Ångström, Łódź; Ιωάννης; Михаил Щукин; é; ½ ± ≤ ° ″; → ✓ ☐; ‹U+4E2D› ‹U+1F642› ‹U+202E›." + strings.Repeat("José Ιω Щу ✓", 3) + "page 1 of 1")
	if got != want {
		t.Errorf("pdftotext reads\n%s\nwant\n%s", got, want)
	}
}

func TestEveryFaceSpellsCodePoints(t *testing.T) {
	var s fontSet
	for f := range faces {
		for _, r := range "‹›U+0123456789ABCDEF…• " {
			if s.width(f, r) == noGlyph {
				t.Errorf("%s has no %q", faceFiles[f].name, r)
			}
		}
	}
}

// outline is the outline as qpdf reads it.
type outline struct {
	Title string    `json:"title"`
	Page  int       `json:"destpageposfrom1"`
	Kids  []outline `json:"kids"`
}

func readOutline(t *testing.T, b []byte) []outline {
	t.Helper()
	var v struct {
		Outlines []outline `json:"outlines"`
	}
	if err := json.Unmarshal([]byte(tool(t, "qpdf", "--json", "--json-key=outlines", save(t, b))), &v); err != nil {
		t.Fatal(err)
	}
	return v.Outlines
}

func TestOutline(t *testing.T) {
	needTool(t, "qpdf")
	long := strings.Repeat("x\n\n", 80)
	src := "## B\n\n#### C\n\n# A\n\n" + long + "## *D* `e`\n\n##### not in it\n\n### E\n\n#### F\n\n## G\n\n#\n\n#### H 中\n"
	for n := range 3 {
		d := Document{Parts: [][]byte{[]byte(src)}}
		for i := range n {
			d.Attachments = append(d.Attachments, Attachment{Name: fmt.Sprint(i)})
		}
		got := fmt.Sprint(readOutline(t, write(t, d)))
		want := "[{B 1 [{C 1 []}]} {A 1 [{D e 3 [{E 3 [{F 3 []}]}]} {G 3 [{H ‹U+4E2D› 3 []}]}]}]"
		if got != want {
			t.Errorf("with %d attachments the outline is\n%s; want\n%s", n, got, want)
		}
	}
}

// Counts as ISO 32000-1, Table 152 and 153 define them: how many items show.
func TestOutlineCounts(t *testing.T) {
	b := string(write(t, Document{Parts: [][]byte{[]byte("# A\n\n## B\n\n### C\n\n### D\n\n## E\n\n# F\n")}}))
	var counts []string
	for _, m := range regexp.MustCompile(`/Count (-?\d+)`).FindAllStringSubmatch(b, -1) {
		counts = append(counts, m[1])
	}
	// The first is that of the page tree; in all there are A, B, E, F; A shows B and E, B would show C and D.
	if want := []string{"1", "4", "2", "-2"}; !slices.Equal(counts, want) {
		t.Errorf("counts are %v; want %v", counts, want)
	}
}

func TestLinks(t *testing.T) {
	d := Document{Parts: [][]byte{
		[]byte("[a](https://example.org/a_(b)?q=ü) <me@example.org> [down](#far-away) [other](#in-part-two)\n\n" + strings.Repeat("x\n\n", 80) + "# Far away\n"),
		[]byte("# In part two\n\n[up](#far-away)"),
	}, Attachments: []Attachment{{Name: "a"}}}
	b := write(t, d)
	for _, want := range []string{`/URI (https://example.org/a_\(b\)?q=%C3%BC)`, `/URI (mailto:me@example.org)`} {
		if !bytes.Contains(b, []byte(want)) {
			t.Errorf("no link %s", want)
		}
	}
	f, err := object.Read(b)
	if err != nil {
		t.Fatal(err)
	}
	var pages []int // object numbers
	var targets []int
	for n := range f.Revisions[0].Numbers() {
		o, _ := f.Find(int64(n+1), 0)
		if !o.Get("Type").IsName("Page") {
			continue
		}
		pages = append(pages, n+1)
		for _, a := range o.Get("Annots").Items {
			if d := f.Resolve(a, 0).Get("Dest"); d.Kind == object.Array {
				targets = append(targets, int(d.Items[0].Int))
			}
		}
	}
	last := pages[len(pages)-1]
	if want := []int{last, last, last}; !slices.Equal(targets, want) {
		t.Errorf("links lead to objects %v; want %v, the pages being %v", targets, want, pages)
	}
	checkSound(t, b)
}

func TestParseMarkdownIsWhatIsPrinted(t *testing.T) {
	src := []byte("# A\n\n|a|\n|-|\n|b|\n\n<div>\n\nwww.example.org ~~x~~")
	var kinds []string
	_ = ast.Walk(ParseMarkdown(src), func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if entering && n.Type() == ast.TypeBlock {
			kinds = append(kinds, n.Kind().String())
		}
		return ast.WalkContinue, nil
	})
	want := []string{"Heading", "Table", "TableHeader", "TableCell", "TableRow", "TableCell", "HTMLBlock", "Paragraph"}
	if !slices.Equal(kinds, want) {
		t.Errorf("blocks are %v; want %v", kinds, want)
	}
}
