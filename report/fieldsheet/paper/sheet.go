package paper

import (
	"bytes"
	"fmt"
	"io"
	"time"

	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/report"
	"setline.example/report/drawing"
	"setline.example/report/fieldsheet"
	"setline.example/report/markup"
	"setline.example/report/pdf"
)

// sheet is a field sheet that is being laid out.
type sheet struct {
	*fieldsheet.Sheet
	pictures map[string]pdf.Picture
	parts    [][]byte // Markdown, each begins a new page
}

// drawn shows a drawing of an elevation through Markdown.
type drawn struct{ drawing.Drawing }

func (d drawn) Size() (w, h float64) { return d.Width, d.Height }

// drawingWidth leaves room for the boxes on the page.
const drawingWidth = 250

// beside lays out the little that is asked of an elevation itself beside its
// drawing, where there is room for it, so that it takes no height of its own.
func (s *sheet) beside(drawings []drawing.Drawing, g *group) (block, bool) {
	const left = drawingWidth + 16
	if len(drawings) != 1 || len(g.Again) > 0 || g.Subject.Kind != checks.SubjectElevation {
		return block{}, false
	}
	for _, a := range g.Asks {
		if s.cellOf(a, 1, sheetWidth).w > sheetWidth-left {
			return block{}, false
		}
	}
	d, rows := drawings[0], s.flow(g.Asks, nil, sheetWidth-left)
	if heightOf(rows) > d.Height {
		return block{}, false
	}
	return block{d.Height, func(p *pen) {
		d.Paint(p.Figure(0, 0, d.Width, d.Height, d.Alt))
		p.cells(left, d.Height-heightOf(rows)-4, rows)
	}}, true
}

// Write writes a sheet as a PDF that can be printed, and filled in as a form.
func Write(w io.Writer, of *fieldsheet.Sheet, size pdf.Paper) error {
	plan, err := of.Plan()
	if err != nil {
		return err
	}
	s := newSheet(of)
	var first bytes.Buffer
	first.WriteString(s.Opening())
	for _, b := range s.headBlocks(plan) {
		s.show(&first, picture{b, s}, s.Say.Words("boxes"))
	}
	first.Write(markup.Cautions(s.Say))
	s.parts = append(s.parts, first.Bytes())
	for i := range s.Pages {
		s.parts = append(s.parts, s.page(&s.Pages[i]))
	}
	return s.write(w, size, heading{
		title:   s.Words(say.That("Field sheet: %[1]s", say.Name(s.Project()))),
		subject: s.Asked(), running: s.Say.Words("Field sheet"),
	})
}

func newSheet(of *fieldsheet.Sheet) *sheet { return &sheet{of, map[string]pdf.Picture{}, nil} }

// show puts a picture into Markdown.
func (s *sheet) show(b *bytes.Buffer, p pdf.Picture, alt string) {
	name := fmt.Sprintf("block-%d", len(s.pictures))
	s.pictures[name] = p
	fmt.Fprintf(b, "![%s](%s)\n\n", markup.Text(alt), name)
}

// page is what is asked of an elevation.
func (s *sheet) page(e *fieldsheet.Elevation) []byte {
	var page bytes.Buffer
	fmt.Fprintf(&page, "## %s\n\n", markup.Text(s.Words(e.Title())))
	drawings := report.FrontDrawings(e.Layout, s.Say, drawingWidth)
	groups := e.Groups
	if b, ok := s.beside(drawings, (*group)(&groups[0])); ok {
		s.show(&page, picture{b, s}, drawings[0].Alt)
		drawings, groups = nil, groups[1:]
	}
	for _, d := range drawings {
		s.show(&page, drawn{d}, d.Alt)
	}
	if d, ok := report.TurnDrawing(e.Layout, s.Say, sheetWidth); ok {
		s.show(&page, drawn{d}, d.Alt)
	}
	for _, n := range e.Notes {
		fmt.Fprintf(&page, "%s\n\n", markup.Text(n.Beside))
	}
	for j := range groups {
		s.show(&page, picture{s.blockOf((*group)(&groups[j])), s}, groups[j].Title)
	}
	return page.Bytes()
}

// heading is what a document is called: in its title, in the description of its
// subject, and at the head of every page.
type heading struct{ title, subject, running string }

func (s *sheet) write(w io.Writer, size pdf.Paper, h heading) error {
	every := make([]int, len(s.parts))
	for i := range every {
		every[i] = i
	}
	program, on := s.Made()
	return pdf.Write(w, pdf.Document{
		Parts: s.parts, NewPages: every, Pictures: s.pictures,
		Title:       h.title,
		Subject:     h.subject,
		Creator:     program,
		Lang:        "en",
		HeaderLeft:  s.Job(),
		HeaderRight: h.running, HeaderSection: true,
		PageOf: s.pageOf,
		FooterLeft: program + ", " + on.UTC().Format(time.DateOnly) + ". " +
			s.Say.Words("Return it whole, not flattened, printed or scanned."),
		Paper: size, Date: on, Compact: true,
	})
}

// pageOf says which page of how many it is.
func (s *sheet) pageOf(page, of int) string {
	return s.Words(say.That("page %[1]s of %[2]s", page, of))
}

// planBox carries the plan of a sheet, on no page.
func (p *pen) planBox(plan string, what say.Words) {
	p.Field(0, 0, 1, 1, pdf.Field{Name: fieldsheet.PlanField, Tooltip: p.sheet.Say.Words(what), Value: plan, Hidden: true, Final: func(pages [][]string) string {
		whole, err := fieldsheet.OnPages(plan, pages)
		if err != nil {
			return plan // which is too large already to say more
		}
		return whole
	}})
}

// headBlocks are the boxes of the visit itself.
func (s *sheet) headBlocks(plan string) []block {
	if len(s.Visit) == 0 {
		return nil
	}
	var by [len(fieldsheet.Headings)][]*checks.Ask
	for i := range s.Visit {
		n := fieldsheet.HeadingOf(&s.Visit[i])
		by[n] = append(by[n], &s.Visit[i])
	}
	var all []block
	for i, asks := range by {
		if len(asks) == 0 {
			continue
		}
		rows := s.flow(asks, nil, sheetWidth)
		g := &group{Title: s.Say.Words(fieldsheet.Headings[i])}
		all = append(all, block{s.titleHeight(g, nil) + heightOf(rows) + 2, func(p *pen) {
			if i == 0 {
				p.planBox(plan, "The plan that this sheet was made from")
			}
			p.cells(0, p.title(g, nil), rows)
		}})
	}
	return all
}
