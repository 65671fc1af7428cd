package report

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"html"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	east "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/util"
	"setline.example/report/pdf"
	"setline.example/schema/plaintext"
)

// The page needs nothing from outside and lets nothing in: its policy allows
// its own style alone. Text is dark on white and wraps on a phone, where a row
// of a table is a card with its headings beside what they say; wider than that,
// wide tables scroll by themselves; on paper nothing is cut.
const pageHead = `<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; img-src data:">
<title>%s</title>
<style>
body { font: 1rem/1.45 system-ui, sans-serif; color: #111; background: #fff; margin: 0 auto; padding: 1rem; max-width: 70rem; }
h1 { border-bottom: 2px solid #1f3a57; padding-bottom: .2em; }
h2 { margin-top: 2em; }
blockquote h2 { margin: .3em 0; }
blockquote { margin: 1em 0; padding: .4em 1em; background: #eef1f6; border-left: 5px solid #1f3a57; }
.table { overflow-x: auto; margin: 1em 0; }
.table:focus-visible { outline: 2px solid #1f3a57; }
table { border-collapse: collapse; font-size: .9rem; width: 100%%; }
td { overflow-wrap: break-word; }
td[style*="right"] { white-space: nowrap; }
th, td { padding: .3em .6em; border-bottom: 1px solid #b9bfc7; text-align: left; vertical-align: top; }
th, thead td { background: #eef1f6; border-bottom: 2px solid #1f3a57; }
svg { max-width: 100%%; height: auto; }
.figures { display: grid; grid-template-columns: repeat(auto-fit, minmax(min(22rem, 100%%), 1fr)); gap: 1rem; }
.figures svg { width: 100%%; max-width: 46rem; }
td.short { white-space: nowrap; }
td[colspan] { border-bottom: 0; padding-bottom: 0; }
figure { margin: 0; break-inside: avoid; }
figure img { max-width: 100%%; height: auto; }
figure:has(.panorama) { grid-column: 1 / -1; }
figcaption { font-size: .9rem; }
figcaption p { margin: .2em 0 0; }
p, li, h1, h2, h3, figcaption, code { overflow-wrap: anywhere; }
code { font-size: .95em; }
a { color: #0b4a8f; }
.narrow { display: none; }
@media screen and (max-width: 45rem) {
.wide { display: none; }
.narrow { display: block; }
.cards thead, .cards .none { display: none; }
.cards table, .cards tbody { display: block; }
.cards tr { display: flex; flex-wrap: wrap; gap: .1em 1.2em; border: 1px solid #b9bfc7; border-top: 2px solid #1f3a57; margin: .8em 0; padding: .3em .6em; }
.cards tr.spans { border-width: 2px 0 0; padding: .3em 0 0; }
.cards td { flex: 0 0 auto; border: 0; padding: .1em 0; text-align: left !important; white-space: normal; overflow-wrap: anywhere; max-width: 100%%; }
.cards td:first-child:not([style]) { flex: 1 0 100%%; }
.cards td:not([colspan])::before { content: attr(data-heading) "\a0\a0"; color: #4a5158; }
}
@media print { body { max-width: none; padding: 0; font-size: 9pt; } table { font-size: 7pt; line-height: 1.25; } th, td { padding: .15em .4em; } .table { overflow: visible; } thead { display: table-header-group; } tr { break-inside: avoid; } h2, h3, h4 { break-after: avoid; } .page { break-before: page; } .whole { break-inside: avoid; } .page > h2 { margin-top: 0; } figcaption { font-size: 8pt; } .figures { grid-template-columns: 1fr 1fr; } figure:only-child { grid-column: 1 / -1; } .figures svg { width: auto; } figure img { max-height: 2.5in; width: auto; } .annex li, .annex p { font-size: 7.5pt; margin: .2em 0; line-height: 1.3; } .annex h2 { margin-top: 1em; } }
</style>
</head>
<body>
<main>
`

const pageFoot = `</main>
</body>
</html>
`

// pictureTag is what the renderer makes of one of the report's own pictures.
var pictureTag = regexp.MustCompile(`<img src="(` + pictureNames + `|signature-[a-z]+)" alt="([^"]*)">`)

// inline puts a picture itself where a tag names it.
func (r *Report) inline(name string, tag []byte) []byte {
	if b, ok := r.pictures[name].(*pdf.Bitmap); ok {
		w, h := b.Size()
		class := ""
		if w == drawingWidth {
			class = ` class="panorama"`
		}
		return fmt.Appendf(nil, `<img%s src="data:image/jpeg;base64,%s" alt="%s" width="%.0f" height="%.0f">`,
			class, base64.StdEncoding.EncodeToString(b.JPEG()), pictureTag.FindSubmatch(tag)[2], w*4/3, h*4/3)
	}
	if _, ok := r.pictures[name].(place); ok {
		return []byte(strings.ReplaceAll(paperLine(r.words()), `\`, ""))
	}
	if p, ok := r.pictures[name].(interface{ SVG() []byte }); ok {
		// Several drawings share the page, and their identifiers must not be shared.
		return []byte(strings.NewReplacer(
			`id="title"`, `id="`+name+`-title"`,
			`id="desc"`, `id="`+name+`-desc"`,
			`aria-labelledby="title desc"`, `aria-labelledby="`+name+`-title `+name+`-desc"`,
		).Replace(string(p.SVG())))
	}
	return nil
}

// HTML writes the report as one page of HTML that needs no network. The record
// is in it, to be taken out.
func (r *Report) HTML(w io.Writer) error {
	parts, err := r.in(inHTML)
	if err != nil {
		return err
	}
	var out bytes.Buffer
	fmt.Fprintf(&out, pageHead, html.EscapeString(plaintext.Visible(r.title)))
	p := page{Markdown: goldmark.New(goldmark.WithExtensions(extension.Table)), named: map[string]int{}}
	for i, source := range parts {
		text, err := p.part(source)
		if err != nil {
			return err
		}
		switch {
		case slices.Contains(r.newPages, i):
			text = slices.Concat([]byte("<section class=\"page\">\n"), text, []byte("</section>\n"))
		case slices.Contains(r.whole, i):
			text = slices.Concat([]byte("<section class=\"whole\">\n"), text, []byte("</section>\n"))
		}
		if r.annex > 0 && i == r.annex {
			text = slices.Concat([]byte("<div class=\"annex\">\n"), text, []byte("</div>\n"))
		}
		if text, err = r.orSaid(p, text); err != nil {
			return err
		}
		text = pictureTag.ReplaceAllFunc(text, func(tag []byte) []byte {
			return r.inline(string(pictureTag.FindSubmatch(tag)[1]), tag)
		})
		out.Write(bytes.ReplaceAll(text, []byte(recordLink), r.recordLink()))
	}
	out.WriteString(pageFoot)
	_, err = out.WriteTo(w)
	return err
}

// alone is a picture in a paragraph of its own, as the renderer makes it.
var alone = regexp.MustCompile(`<p><img src="(` + pictureNames + `)" alt="[^"]*"></p>`)

// orSaid adds to pictures of which the words are known a table of them, which is
// what a narrow screen shows.
func (r *Report) orSaid(p page, text []byte) ([]byte, error) {
	var failed error
	text = alone.ReplaceAllFunc(text, func(tag []byte) []byte {
		said := r.instead[string(alone.FindSubmatch(tag)[1])]
		if said == nil {
			return tag
		}
		table, err := p.part(said)
		if err != nil {
			failed = err
		}
		return fmt.Appendf(nil, "<div class=\"wide\">%s</div>\n<div class=\"narrow\">\n%s</div>", tag, table)
	})
	return text, failed
}

// recordLink is what the renderer makes of a link to the record.
const recordLink = `<a href="record">`

func (r *Report) recordLink() []byte {
	return fmt.Appendf(nil, `<a download="%s" href="data:application/json;base64,%s">`, AttachmentName, base64.StdEncoding.EncodeToString(r.record))
}

// page renders parts of a document, one after the other.
type page struct {
	goldmark.Markdown
	heading string         // the last one
	named   map[string]int // how many regions have a name
}

// part renders the Markdown of a part. Its tables are regions that have the name
// of the heading above them, since those that are wide have to be scrolled to.
func (p *page) part(source []byte) ([]byte, error) {
	var out bytes.Buffer
	tree := pdf.ParseMarkdown(source)
	for n := tree.FirstChild(); n != nil; n = n.NextSibling() {
		switch n := n.(type) {
		case *ast.Heading:
			p.heading = wordsIn(n, source)
			// Parts are parsed apart, so that two may make the same identifier; nothing
			// links to them.
			n.RemoveAttributes()
		case *east.Table:
			class := "table"
			if label(n, source) {
				class = "table cards"
			}
			fmt.Fprintf(&out, `<div class="%s" role="region" aria-label="%s" tabindex="0">`, class, html.EscapeString(p.region(n, source)))
		}
		if image := pdf.FigureOf(n); image != nil {
			// One after another they share a box, in which they stand side by side.
			if pdf.FigureOf(n.PreviousSibling()) == nil {
				out.WriteString("<div class=\"figures\">\n")
			}
			if err := p.figure(&out, source, n, image); err != nil {
				return nil, err
			}
			if pdf.FigureOf(n.NextSibling()) == nil {
				out.WriteString("</div>\n")
			}
			continue
		}
		if err := p.Renderer().Render(&out, source, n); err != nil {
			return nil, err
		}
		if _, ok := n.(*east.Table); ok {
			out.WriteString("</div>\n")
		}
	}
	return bytes.ReplaceAll(out.Bytes(), []byte(`<th scope="col"></th>`), []byte("<td></td>")), nil
}

// region names a table by the heading above it, and where another has that name
// already, by its own first heading too.
func (p *page) region(table *east.Table, source []byte) string {
	name := "Table: " + p.heading
	if first := wordsIn(table.FirstChild().FirstChild(), source); p.named[name] > 0 && first != "" {
		name += ", " + first
	}
	p.named[name]++
	if n := p.named[name]; n > 1 {
		name += ", " + strconv.Itoa(n)
	}
	return name
}

// figure renders a picture with its caption. The image goes back to its place,
// by which the next one is known to follow a figure.
func (p *page) figure(out *bytes.Buffer, source []byte, paragraph ast.Node, image *ast.Image) error {
	paragraph.RemoveChild(paragraph, image)
	defer paragraph.InsertBefore(paragraph, paragraph.FirstChild(), image)
	out.WriteString("<figure>\n")
	if err := p.Renderer().Render(out, source, image); err != nil {
		return err
	}
	out.WriteString("\n<figcaption>")
	if err := p.Renderer().Render(out, source, paragraph); err != nil {
		return err
	}
	out.WriteString("</figcaption>\n</figure>\n")
	return nil
}

// label gives each cell of a table the heading of its column, for where the
// headings do not stand above it, and reports whether that helps: a list of names
// with what they are is read as it is.
func label(table *east.Table, source []byte) bool {
	var headings []string
	for cell := table.FirstChild().FirstChild(); cell != nil; cell = cell.NextSibling() {
		cell.SetAttributeString("scope", []byte("col"))
		headings = append(headings, wordsIn(cell, source))
	}
	for row := table.FirstChild().NextSibling(); row != nil; row = row.NextSibling() {
		if span(row, len(headings)) {
			continue
		}
		i := 0
		for cell := row.FirstChild(); cell != nil; cell = cell.NextSibling() {
			if i < len(headings) {
				cell.SetAttributeString("data-heading", []byte(html.EscapeString(headings[i])))
			}
			if class := cellClass(wordsIn(cell, source)); class != "" {
				cell.SetAttributeString("class", []byte(class))
			}
			i++
		}
	}
	return len(headings) > 2
}

// cellClass is "none" for a cell that says nothing, which a card leaves out, and
// "short" for a date or the name of a place, which is not broken at its hyphens.
func cellClass(words string) string {
	const short = 20
	switch {
	case words == "" || words == "–":
		return "none"
	case len(words) <= short && strings.Contains(words, "-"):
		return "short"
	}
	return ""
}

// span lets the first cell of a row take all of its n columns where it is the
// only one that says something, as on paper, and reports whether it is.
func span(row ast.Node, n int) bool {
	first := row.FirstChild()
	if first == nil || !first.HasChildren() || n < 2 {
		return false
	}
	for cell := first.NextSibling(); cell != nil; cell = cell.NextSibling() {
		if cell.HasChildren() {
			return false
		}
	}
	for first.NextSibling() != nil {
		row.RemoveChild(row, first.NextSibling())
	}
	first.SetAttributeString("colspan", []byte(strconv.Itoa(n)))
	row.SetAttributeString("class", []byte("spans"))
	return true
}

// wordsIn is what is read of a node, without its Markdown.
func wordsIn(n ast.Node, source []byte) string {
	var b strings.Builder
	_ = ast.Walk(n, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		switch n := n.(type) {
		case *ast.Text:
			if entering {
				b.Write(util.UnescapePunctuations(n.Segment.Value(source)))
			}
		case *ast.String:
			if entering {
				b.Write(n.Value)
			}
		}
		return ast.WalkContinue, nil
	})
	return plaintext.Visible(b.String())
}
