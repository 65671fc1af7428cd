package fieldsheet

import (
	"bytes"
	"fmt"
	"io"
	"time"

	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/report"
	"setline.example/report/drawing"
	"setline.example/report/pdf"
	"setline.example/schema/length"
)

// drawn shows a drawing of an elevation through Markdown.
type drawn struct{ drawing.Drawing }

func (d drawn) Size() (w, h float64) { return d.Width, d.Height }

// drawingWidth leaves room for the boxes on the page.
const drawingWidth = 250

// beside lays out the little that is asked of an elevation itself beside its
// drawing, where there is room for it, so that it takes no height of its own.
func (s *Sheet) beside(drawings []drawing.Drawing, g *group) (block, bool) {
	const left = drawingWidth + 16
	if len(drawings) != 1 || len(g.again) > 0 || g.subject.Kind != checks.SubjectElevation {
		return block{}, false
	}
	for _, a := range g.asks {
		if s.widthOf(a) > sheetWidth-left {
			return block{}, false
		}
	}
	d, rows := drawings[0], s.flow(g.asks, nil, sheetWidth-left)
	if heightOf(rows) > d.Height {
		return block{}, false
	}
	return block{d.Height, func(p *pen) {
		d.Paint(p.Part(0, 0, d.Width, d.Height))
		p.cells(left, d.Height-heightOf(rows)-4, rows)
	}}, true
}

// PDF writes the sheet as a PDF that can be printed, and filled in as a form.
func (s *Sheet) PDF(w io.Writer) error {
	plan, err := s.Plan()
	if err != nil {
		return err
	}
	pictures := map[string]pdf.Picture{}
	show := func(b *bytes.Buffer, p pdf.Picture, alt string) {
		name := fmt.Sprintf("block-%d", len(pictures))
		pictures[name] = p
		fmt.Fprintf(b, "![%s](%s)\n\n", report.Text(alt), name)
	}
	var first bytes.Buffer
	first.WriteString(s.opening())
	for _, b := range s.headBlocks(plan) {
		show(&first, picture{b, s}, s.say.Words("boxes"))
	}
	first.Write(report.Cautions(s.say))
	parts := [][]byte{first.Bytes()}
	for i := range s.pages {
		e := &s.pages[i]
		var page bytes.Buffer
		fmt.Fprintf(&page, "## %s\n\n", report.Text(s.words(e.title())))
		drawings := report.FrontDrawings(e.layout, s.say, drawingWidth)
		groups := e.groups
		if b, ok := s.beside(drawings, &groups[0]); ok {
			show(&page, picture{b, s}, drawings[0].Alt)
			drawings, groups = nil, groups[1:]
		}
		for _, d := range drawings {
			show(&page, drawn{d}, d.Alt)
		}
		if d, ok := report.TurnDrawing(e.layout, s.say, sheetWidth); ok {
			show(&page, drawn{d}, d.Alt)
		}
		for j := range groups {
			show(&page, picture{s.blockOf(&groups[j]), s}, groups[j].title)
		}
		parts = append(parts, page.Bytes())
	}
	every := make([]int, len(parts))
	for i := range every {
		every[i] = i
	}
	return pdf.Write(w, pdf.Document{
		Parts: parts, NewPages: every, Pictures: pictures,
		Title:       s.words(say.That("Field sheet: %[1]s", say.Name(s.rec.Planned.Project.Name))),
		Subject:     s.asked(),
		Creator:     "Setline " + s.options.Version,
		Lang:        "en",
		HeaderLeft:  s.job(),
		HeaderRight: s.say.Words("Field sheet"), HeaderSection: true,
		PageOf:     s.pageOf,
		FooterLeft: "Setline " + s.options.Version + ", " + s.options.Date.UTC().Format(time.DateOnly),
		Paper:      s.options.Paper, Date: s.options.Date, Compact: true,
	})
}

// pageOf says which page of how many it is.
func (s *Sheet) pageOf(page, of int) string {
	return s.words(say.That("page %[1]s of %[2]s", page, of))
}

func (s *Sheet) job() string {
	p := s.rec.Planned.Project
	if p.Number == "" {
		return p.Name
	}
	return s.words(say.That("%[1]s, job %[2]s", say.Name(p.Name), say.Name(p.Number)))
}

// asked says in a sentence what is asked.
func (s *Sheet) asked() string {
	switch {
	case s.open == 0:
		return s.words(say.That("Nothing is left to observe."))
	case s.options.All:
		return s.words(say.That("%[1]s things to observe: all that the rules need, and what else is worth recording.", s.open))
	}
	return s.words(say.That("%[1]s things to observe: what the rules need and nobody has observed, and what did not hold.", s.open))
}

// opening is how the first page begins.
func (s *Sheet) opening() string {
	example, other := say.Words("3/32, 34 1/2, 0.5"), say.Words("2.5 mm")
	if s.sys == length.Metric {
		example, other = "2.5, 876", "3/32 in"
	}
	var b bytes.Buffer
	fmt.Fprintf(&b, "# %s\n\n%s\n\n**%s**", s.say.Words("Field sheet"), report.Text(s.job()), report.Text(s.asked()))
	if len(s.pages) > 0 {
		fmt.Fprintf(&b, " %s %s **%s**",
			s.words(say.That("Lengths are in %[1]s where you write a number alone (%[2]s); another unit is written with it (%[3]s).", UnitWord(s.sys), example, other)),
			s.words(say.That("Readings are down from the level reference line: larger is lower. An offset is plus where the right-hand unit stands proud or high, minus where the left one does.")),
			s.words(say.That("Leave blank what you did not look at: blank stays not observed.")))
	}
	b.WriteString("\n\n")
	return b.String()
}

// headBlocks are the boxes of the visit itself.
func (s *Sheet) headBlocks(plan string) []block {
	if len(s.visit) == 0 {
		return nil
	}
	var by [len(headings)][]*checks.Ask
	for i := range s.visit {
		n := headingOf(&s.visit[i])
		by[n] = append(by[n], &s.visit[i])
	}
	var all []block
	for i, asks := range by {
		if len(asks) == 0 {
			continue
		}
		rows := s.flow(asks, nil, sheetWidth)
		g := &group{title: s.say.Words(headings[i])}
		all = append(all, block{titleLine + heightOf(rows) + 2, func(p *pen) {
			if i == 0 {
				p.Field(0, 0, 1, 1, pdf.Field{Name: PlanField, Tooltip: s.say.Words("The plan that this sheet was made from"), Value: plan, Hidden: true})
			}
			p.cells(0, p.title(g, nil), rows)
		}})
	}
	return all
}
