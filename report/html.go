package report

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"html"
	"io"
	"regexp"
	"strings"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	east "github.com/yuin/goldmark/extension/ast"
	"setline.example/report/pdf"
	"setline.example/schema/plaintext"
)

// The page needs nothing from outside and lets nothing in: its policy allows
// its own style alone. Text is dark on white and wraps on a phone; wide tables
// scroll by themselves; on paper nothing is cut.
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
th { background: #eef1f6; border-bottom: 2px solid #1f3a57; }
svg { max-width: 100%%; height: auto; }
code { font-size: .95em; overflow-wrap: anywhere; }
a { color: #0b4a8f; }
@media (max-width: 45rem) { table { width: auto; min-width: 100%%; } td { min-width: 2.5em; } td.long { min-width: 15em; } }
@media print { body { max-width: none; padding: 0; font-size: 9pt; } table { font-size: 7pt; line-height: 1.25; } th, td { padding: .15em .4em; } .table { overflow: visible; } thead { display: table-header-group; } tr { break-inside: avoid; } h2, h3, h4 { break-after: avoid; } }
</style>
</head>
<body>
<main>
`

const pageFoot = `</main>
</body>
</html>
`

// longCell is how many bytes a cell holds that is kept wide on a narrow screen.
const longCell = 30

// textLength is how many bytes of text stand in a node, with the marks that
// escape them.
func textLength(n ast.Node) (bytes int) {
	for c := n.FirstChild(); c != nil; c = c.NextSibling() {
		if t, ok := c.(*ast.Text); ok {
			bytes += t.Segment.Len()
		}
		bytes += textLength(c)
	}
	return bytes
}

// pictureTag is what the renderer makes of one of the report's own pictures.
var pictureTag = regexp.MustCompile(`<img src="(logo|drawing-[0-9-]+|photo-[0-9]+|signature-[a-z]+)" alt="([^"]*)">`)

// inline puts a picture itself where a tag names it.
func (r *Report) inline(name string, tag []byte) []byte {
	if b, ok := r.pictures[name].(*pdf.Bitmap); ok {
		w, h := b.Size()
		return fmt.Appendf(nil, `<img src="data:image/jpeg;base64,%s" alt="%s" width="%.0f" height="%.0f">`,
			base64.StdEncoding.EncodeToString(b.JPEG()), pictureTag.FindSubmatch(tag)[2], w*4/3, h*4/3)
	}
	if _, ok := r.pictures[name].(place); ok {
		return []byte(strings.ReplaceAll(paperLine, `\`, ""))
	}
	if p, ok := r.pictures[name].(picture); ok {
		// Several drawings share the page, and their identifiers must not be shared.
		return []byte(strings.NewReplacer(
			`id="title"`, `id="`+name+`-title"`,
			`id="desc"`, `id="`+name+`-desc"`,
			`aria-labelledby="title desc"`, `aria-labelledby="`+name+`-title `+name+`-desc"`,
		).Replace(string(p.SVG())))
	}
	return nil
}

// HTML writes the report as one page of HTML that needs no network.
func (r *Report) HTML(w io.Writer) error {
	var out bytes.Buffer
	fmt.Fprintf(&out, pageHead, html.EscapeString(plaintext.Visible(r.title)))
	md := goldmark.New(goldmark.WithExtensions(extension.Table))
	for _, source := range r.parts {
		tree := pdf.ParseMarkdown(source)
		// Parts are parsed apart, so that two may make the same identifier; nothing
		// links to them.
		err := ast.Walk(tree, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
			switch n.Kind() {
			case ast.KindHeading:
				n.RemoveAttributes()
			case east.KindTableCell:
				if textLength(n) > longCell {
					n.SetAttributeString("class", []byte("long"))
				}
				if n.Parent().Kind() == east.KindTableHeader {
					n.SetAttributeString("scope", []byte("col"))
				}
			}
			return ast.WalkContinue, nil
		})
		if err != nil {
			return err
		}
		var part bytes.Buffer
		if err := md.Renderer().Render(&part, source, tree); err != nil {
			return err
		}
		shown := pictureTag.ReplaceAllFunc(part.Bytes(), func(tag []byte) []byte {
			m := pictureTag.FindSubmatch(tag)
			return r.inline(string(m[1]), tag)
		})
		text := bytes.ReplaceAll(shown, []byte("<table>"), []byte(`<div class="table" role="region" aria-label="Table" tabindex="0"><table>`))
		out.Write(bytes.ReplaceAll(text, []byte("</table>"), []byte("</table></div>")))
	}
	out.WriteString(pageFoot)
	_, err := out.WriteTo(w)
	return err
}
