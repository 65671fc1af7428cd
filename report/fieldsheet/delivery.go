package fieldsheet

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"io"
	"time"

	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/report"
	"setline.example/report/pdf"
	"setline.example/schema"
	"setline.example/schema/length"
)

// deliveryField is the field of the record that a sheet to count a delivery on
// is of. Every box of one begins with it.
const deliveryField = "arrived"

// DeliveryMark begins the names of the boxes of a sheet to count a delivery on.
const DeliveryMark = deliveryField + "/"

// Delivery is a sheet to count a delivery on.
type Delivery struct {
	sheet *Sheet
	head  []*checks.Ask
	lines []*checks.Ask // in the order in which parts are carried to their places
}

// NewDelivery makes the sheet for lines of packing lists, in their order.
func NewDelivery(rec *schema.Record, lines []report.Carried, by, on string, o Options) *Delivery {
	sys := cmp.Or(rec.Planned.LengthsIn, length.InchSystem)
	d := &Delivery{
		sheet: &Sheet{rec: rec, sys: sys, say: say.Writer{Language: o.Language, Lengths: sys}, options: o},
		head:  deliveryHead(by, on),
	}
	for _, c := range lines {
		d.lines = append(d.lines, deliveryLine(rec, c))
	}
	return d
}

// DeliveryAsks are all asks that a sheet to count a delivery on can have.
func DeliveryAsks(rec *schema.Record) []*checks.Ask {
	all := deliveryHead("", "")
	for _, c := range report.CarriedLines(rec, report.CountSheet{All: true}) {
		all = append(all, deliveryLine(rec, c))
	}
	return all
}

func deliveryHead(by, on string) []*checks.Ask {
	section := say.That("Count")
	return []*checks.Ask{
		{Thing: ofDelivery, Short: section, Place: []string{deliveryField, "date"}, Words: say.That("Date of the count"), Limit: say.That("YYYY-MM-DD"),
			Blanks: []checks.Blank{{Kind: checks.DateKind, Usual: on}}},
		{Thing: ofDelivery, Short: section, Place: []string{deliveryField, "by"}, Words: say.That("Counted by"), Blanks: []checks.Blank{{Kind: checks.Words, Usual: by}}},
	}
}

var ofDelivery = &checks.Thing{Of: checks.OfVisit, Field: deliveryField}

func deliveryLine(rec *schema.Record, c report.Carried) *checks.Ask {
	place := say.That("Without a room")
	switch {
	case c.Line.Elevation != "":
		place = say.That("%[1]s, elevation %[2]s", say.Name(c.Line.Room), say.Name(c.Line.Elevation))
	case c.Line.Room != "":
		place = say.Name(c.Line.Room).Text()
	}
	words := say.That("%[1]s × %[2]s", c.Line.Quantity, say.Name(c.Line.Part))
	if d := c.Describe(&rec.Planned); d != "" {
		words = say.Commas(words, say.Name(d).Text())
	}
	return &checks.Ask{
		Thing: ofDelivery, Short: place, Place: []string{deliveryField, "lines", c.List, c.Number},
		Words: say.That("%[1]s (line %[2]s of %[3]s)", words, say.Name(c.Number), say.Name(c.List)),
		Blanks: []checks.Blank{
			{Steps: []string{"good"}, Kind: checks.CountKind, Words: say.That("came whole"), Required: true},
			{Steps: []string{"damaged"}, Kind: checks.CountKind, Words: say.That("came damaged")},
			{Steps: []string{"remark"}, Kind: checks.Words, Words: say.That("remark")},
		},
	}
}

func (d *Delivery) asks() []*checks.Ask { return append(d.head[:len(d.head):len(d.head)], d.lines...) }

// Fields returns every box of the sheet, in order.
func (d *Delivery) Fields() []Field {
	var all []Field
	for _, a := range d.asks() {
		all = append(all, FieldsOf(a)...)
	}
	return all
}

// plan is what says of which job the sheet is.
func (d *Delivery) plan() (string, error) {
	return encodePlan(carried(&d.sheet.rec.Planned, func(string, string) bool { return false }))
}

func (d *Delivery) opening() string {
	return fmt.Sprintf("# %s\n\n%s\n\n**%s** %s **%s** %s\n\n", d.sheet.say.Words("Delivery"), report.Text(d.sheet.job()),
		d.sheet.words(say.Count(len(d.lines), "%[1]s line to count.", "%[1]s lines to count, in the order in which the parts are carried to their places.")),
		d.sheet.words(say.That("Write how many came whole, 0 where none did, and how many came damaged.")),
		d.sheet.words(say.That("Leave blank what you did not count: blank stays not counted.")),
		d.sheet.words(say.That("Compare before anything is set: what is short, over or damaged then holds up nobody.")))
}

// Markdown writes the sheet as [Sheet.Markdown] does.
func (d *Delivery) Markdown(w io.Writer) error {
	plan, err := d.plan()
	if err != nil {
		return err
	}
	lines, err := json.Marshal(Lines{Boxes: BoxesOf(d.asks(), d.sheet.say)})
	if err != nil {
		return fmt.Errorf("write into the sheet what its lines are: %w", err)
	}
	packed, err := pack(lines)
	if err != nil {
		return err
	}
	var b bytes.Buffer
	b.WriteString(d.opening())
	fmt.Fprintf(&b, "%s\n\n", d.sheet.words(say.That("Write behind the colon in place of ___.")))
	b.Write(report.Cautions(d.sheet.say))
	section := ""
	for _, a := range d.asks() {
		if t := Section(a, d.sheet.say); t != section {
			section = t
			fmt.Fprintf(&b, "\n## %s\n\n", report.Text(section))
		}
		d.sheet.item(&b, a)
	}
	comments(&b, packed, plan)
	_, err = w.Write(b.Bytes())
	return err
}

// PDF writes the sheet as [Sheet.PDF] does.
func (d *Delivery) PDF(w io.Writer) error {
	plan, err := d.plan()
	if err != nil {
		return err
	}
	pictures := map[string]pdf.Picture{}
	show := func(b *bytes.Buffer, p block, alt string) {
		name := fmt.Sprintf("block-%d", len(pictures))
		pictures[name] = picture{p, d.sheet}
		fmt.Fprintf(b, "![%s](%s)\n\n", report.Text(alt), name)
	}
	var first, rest bytes.Buffer
	first.WriteString(d.opening())
	rows := d.sheet.flow(d.head, nil, sheetWidth)
	show(&first, block{heightOf(rows) + 2, func(p *pen) {
		p.Field(0, 0, 1, 1, pdf.Field{Name: PlanField, Tooltip: d.sheet.words(say.That("The job that this sheet is of")), Value: plan, Hidden: true})
		p.cells(0, 0, rows)
	}}, d.sheet.say.Words("boxes"))
	first.Write(report.Cautions(d.sheet.say))
	for i, a := range d.lines {
		if i == 0 || !d.lines[i-1].Short.Equal(a.Short) {
			fmt.Fprintf(&rest, "## %s\n\n", report.Text(d.sheet.words(a.Short)))
		}
		show(&rest, d.line(a), d.sheet.words(a.Words))
	}
	p := d.sheet.options
	return pdf.Write(w, pdf.Document{
		Parts: [][]byte{first.Bytes(), rest.Bytes()}, NewPages: []int{0, 1}, Pictures: pictures,
		Title:       d.sheet.words(say.That("Delivery: %[1]s", say.Name(d.sheet.rec.Planned.Project.Name))),
		Subject:     d.sheet.words(say.Count(len(d.lines), "%[1]s line to count.", "%[1]s lines to count.")),
		Creator:     "Setline " + p.Version,
		Lang:        "en",
		HeaderLeft:  d.sheet.job(),
		HeaderRight: d.sheet.say.Words("Delivery"), HeaderSection: true,
		PageOf:     d.sheet.pageOf,
		FooterLeft: "Setline " + p.Version + ", " + p.Date.UTC().Format(time.DateOnly),
		Paper:      p.Paper, Date: p.Date, Compact: true,
	})
}

// line lays out a line of a packing list: what it is, and its boxes.
func (d *Delivery) line(a *checks.Ask) block {
	const words = 270.0
	return block{inlineLine + 2, func(p *pen) {
		p.rule(0.4, 0.3)
		p.text(0, inlineLine/2+4, words-6, titleSize-2, false, d.sheet.words(a.Words))
		p.blanks(words, inlineLine/2+2, sheetWidth-words, a)
	}}
}
