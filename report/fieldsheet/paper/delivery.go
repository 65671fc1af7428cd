package paper

import (
	"bytes"
	"fmt"
	"io"

	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/report/fieldsheet"
	"setline.example/report/markup"
	"setline.example/report/pdf"
)

// WriteDelivery writes a sheet to count a delivery on as [Write] does.
func WriteDelivery(w io.Writer, d *fieldsheet.Delivery, size pdf.Paper) error {
	plan, err := d.Plan()
	if err != nil {
		return err
	}
	s := newSheet(d.Sheet)
	var first, rest bytes.Buffer
	first.WriteString(d.Opening())
	rows := s.flow(d.Head, nil, sheetWidth)
	s.show(&first, picture{block{heightOf(rows) + 2, func(p *pen) {
		p.planBox(plan, "The job that this sheet is of")
		p.cells(0, 0, rows)
	}}, s}, s.Say.Words("boxes"))
	first.Write(markup.Cautions(s.Say))
	for i, a := range d.Lines {
		if i == 0 || !d.Lines[i-1].Short.Equal(a.Short) {
			fmt.Fprintf(&rest, "## %s\n\n", markup.Text(s.Words(a.Short)))
		}
		s.show(&rest, picture{s.deliveryLine(a), s}, s.Words(a.Words))
	}
	s.parts = [][]byte{first.Bytes(), rest.Bytes()}
	return s.write(w, size, heading{
		title:   s.Words(say.That("Delivery: %[1]s", say.Name(s.Project()))),
		subject: s.Words(say.Count(len(d.Lines), "%[1]s line to count.", "%[1]s lines to count.")),
		running: s.Say.Words("Delivery"),
	})
}

// deliveryLine lays out a line of a packing list: what it is, and its boxes.
func (s *sheet) deliveryLine(a *checks.Ask) block {
	const words, above = 270.0, 3.0
	lines, rows := wrap(s.Words(a.Words), words-6), s.rowsOf(a, sheetWidth-words)
	high := max(float64(labelLine*float64(len(lines))), float64(inlineLine*float64(len(rows))))
	return block{high + above, func(p *pen) {
		p.rule(0.4, 0.3)
		p.lines(0, above+max(0, (high-2-float64(labelLine*float64(len(lines))))/2), false, lines)
		p.rows(words, above, sheetWidth-words, rows)
	}}
}
