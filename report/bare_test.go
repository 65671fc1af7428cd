package report

import (
	"cmp"
	"io"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/go-fonts/liberation/liberationmonoregular"
	"github.com/go-fonts/liberation/liberationsansbold"
	"github.com/go-fonts/liberation/liberationsansregular"
	"github.com/go-pdf/fpdf"
	"github.com/yuin/goldmark/ast"
	east "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/util"
	"setline.example/report/pdf"
	"setline.example/report/pdf/object"
)

// The fonts of a report whose people have names in Latin letters.
var bareFonts = []struct {
	name string
	ttf  []byte
}{
	{"bold", liberationsansbold.TTF},
	{"sans", liberationsansregular.TTF},
	{"mono", liberationmonoregular.TTF},
}

// newBare returns an empty document with the fonts and the record attached.
func newBare(record []byte) *fpdf.Fpdf {
	f := fpdf.New("P", "pt", "letter", "")
	f.SetAutoPageBreak(false, 0)
	f.SetMargins(51, 51, 51)
	for _, font := range bareFonts {
		f.AddUTF8FontFromBytes(font.name, "", font.ttf)
	}
	f.SetAttachments([]fpdf.Attachment{{Filename: AttachmentName, Content: record}})
	return f
}

// shownLine is a stretch of text on a page, in points from the bottom left.
type shownLine struct {
	font string
	size float64
	x, y float64
	text string
}

var (
	showing     = regexp.MustCompile(`(?s)BT /F([0-9]) ([0-9.]+) Tf (-?[0-9.]+) (-?[0-9.]+) Td \((.*?)\) Tj ET`)
	escapedByte = regexp.MustCompile(`(?s)\\(.)`)
)

// bareFont is the font that stands for that of a report by its number there: the
// bold ones, those of a fixed width, and all others.
var bareFont = map[string]string{"2": "bold", "4": "bold", "7": "bold", "5": "mono"}

// linesOf reads the text of every page out of one of our files.
func linesOf(b *testing.B, file []byte) [][]shownLine {
	b.Helper()
	d, err := object.Read(file)
	if err != nil {
		b.Fatal(err)
	}
	number := func(s []byte) float64 {
		v, err := strconv.ParseFloat(string(s), 64)
		if err != nil {
			b.Fatal(err)
		}
		return v
	}
	var pages [][]shownLine
	for _, n := range d.Revisions[0].Numbers() {
		o, _ := d.Revisions[0].Object(n)
		if !o.Get("Type").IsName("Page") {
			continue
		}
		packed, _ := d.Find(o.Get("Contents").Int, 0)
		content, err := object.Unpack(file[packed.From:packed.To], object.MostUnpacked)
		if err != nil {
			b.Fatal(err)
		}
		var page []shownLine
		for _, m := range showing.FindAllSubmatch(content, -1) {
			raw := escapedByte.ReplaceAllFunc(m[5], func(e []byte) []byte {
				if e[1] == 'r' {
					return []byte("\r")
				}
				return e[1:]
			})
			var text []rune
			for i := 0; i+1 < len(raw); i += 2 {
				text = append(text, rune(raw[i])<<8|rune(raw[i+1]))
			}
			font := cmp.Or(bareFont[string(m[1])], "sans")
			page = append(page, shownLine{font, number(m[2]), number(m[3]), number(m[4]), string(text)})
		}
		pages = append(pages, page)
	}
	return pages
}

// bareLines writes lines where they stand, a cell for each.
func bareLines(w io.Writer, pages [][]shownLine, record []byte) error {
	f := newBare(record)
	_, height := f.GetPageSize()
	for _, page := range pages {
		f.AddPage()
		var font string
		var size float64
		for _, l := range page {
			if l.font != font || l.size != size {
				font, size = l.font, l.size
				f.SetFont(font, "", size)
			}
			f.SetXY(l.x, height-l.y-size)
			f.CellFormat(0, size*1.3, l.text, "", 0, "L", false, 0, "")
		}
	}
	return f.Output(w)
}

// textBlock is a heading or paragraph, or a table.
type textBlock struct {
	size float64
	bold bool
	text string
	rows [][]string // of a table
}

// blocksOf takes the text out of Markdown.
func blocksOf(parts [][]byte) []textBlock {
	var blocks []textBlock
	for _, source := range parts {
		_ = ast.Walk(pdf.ParseMarkdown(source), func(n ast.Node, entering bool) (ast.WalkStatus, error) {
			if !entering {
				return ast.WalkContinue, nil
			}
			switch n.Kind() {
			case ast.KindHeading:
				blocks = append(blocks, textBlock{size: 13, bold: true, text: plainText(n, source)})
				return ast.WalkSkipChildren, nil
			case ast.KindParagraph, ast.KindTextBlock:
				if text := plainText(n, source); text != "" {
					blocks = append(blocks, textBlock{size: 9.75, text: text})
				}
				return ast.WalkSkipChildren, nil
			case east.KindTable:
				var rows [][]string
				for row := n.FirstChild(); row != nil; row = row.NextSibling() {
					var cells []string
					for cell := row.FirstChild(); cell != nil; cell = cell.NextSibling() {
						cells = append(cells, plainText(cell, source))
					}
					rows = append(rows, cells)
				}
				blocks = append(blocks, textBlock{size: 7.5, rows: rows})
				return ast.WalkSkipChildren, nil
			}
			return ast.WalkContinue, nil
		})
	}
	return blocks
}

func plainText(n ast.Node, source []byte) string {
	var s strings.Builder
	_ = ast.Walk(n, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if n.Kind() == ast.KindImage {
			return ast.WalkSkipChildren, nil
		}
		if t, ok := n.(*ast.Text); ok && entering {
			s.Write(util.UnescapePunctuations(t.Value(source)))
			if t.SoftLineBreak() || t.HardLineBreak() {
				s.WriteByte(' ')
			}
		}
		return ast.WalkContinue, nil
	})
	return s.String()
}

// bareCells writes blocks one below another and tables in columns of equal
// width, and leaves it to fpdf to break lines.
func bareCells(w io.Writer, blocks []textBlock, record []byte) error {
	const margin, width, bottom = 51.0, 612 - 2*51.0, 792 - 60.0
	f := newBare(record)
	f.AddPage()
	room := func(h float64) {
		if f.GetY()+h > bottom {
			f.AddPage()
		}
	}
	font := func(bold bool, size float64) {
		if bold {
			f.SetFont("bold", "", size)
		} else {
			f.SetFont("sans", "", size)
		}
	}
	for _, block := range blocks {
		if block.rows == nil {
			room(3 * block.size)
			font(block.bold, block.size)
			f.MultiCell(width, block.size*1.35, block.text, "", "L", false)
			continue
		}
		column := width / float64(len(block.rows[0]))
		for i, row := range block.rows {
			room(7 * block.size)
			font(i == 0, block.size)
			top, low := f.GetY(), f.GetY()
			for c, cell := range row {
				f.SetXY(margin+float64(c)*column, top)
				f.MultiCell(column, block.size*1.3, cell, "", "L", false)
				low = max(low, f.GetY())
			}
			f.Line(margin, low, margin+width, low)
			f.SetXY(margin, low)
		}
	}
	return f.Output(w)
}
