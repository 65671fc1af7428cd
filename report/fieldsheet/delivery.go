package fieldsheet

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"io"

	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/report/markup"
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
	*Sheet               // which asks nothing itself
	Head   []*checks.Ask // who counted, and when
	Lines  []*checks.Ask // in the order in which parts are carried to their places
}

// NewDelivery makes the sheet for lines of packing lists, in their order.
func NewDelivery(rec *schema.Record, lines []Carried, by, on string, o Options) *Delivery {
	sys := cmp.Or(rec.Planned.LengthsIn, length.InchSystem)
	d := &Delivery{
		Sheet: &Sheet{rec: rec, Say: say.Writer{Language: o.Language, Lengths: sys}, options: o},
		Head:  deliveryHead(by, on),
	}
	for _, c := range lines {
		d.Lines = append(d.Lines, deliveryLine(rec, c))
	}
	return d
}

// DeliveryAsks are all asks that a sheet to count a delivery on can have.
func DeliveryAsks(rec *schema.Record) []*checks.Ask {
	all := deliveryHead("", "")
	for _, c := range CarriedLines(rec, CountSheet{All: true}) {
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

func deliveryLine(rec *schema.Record, c Carried) *checks.Ask {
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

func (d *Delivery) asks() []*checks.Ask { return append(d.Head[:len(d.Head):len(d.Head)], d.Lines...) }

// Fields returns every box of the sheet, in order.
func (d *Delivery) Fields() []Field {
	var all []Field
	for _, a := range d.asks() {
		all = append(all, FieldsOf(a)...)
	}
	return all
}

// Plan is what says of which job the sheet is.
func (d *Delivery) Plan() (string, error) {
	return encodePlan(carried(&d.rec.Planned, func(string, string) bool { return false }), nil)
}

// Opening is how the sheet begins, in Markdown.
func (d *Delivery) Opening() string {
	return fmt.Sprintf("# %s\n\n%s\n\n**%s** %s **%s** %s\n\n", d.Say.Words("Delivery"), markup.Text(d.Job()),
		d.Words(say.Count(len(d.Lines), "%[1]s line to count.", "%[1]s lines to count, in the order in which the parts are carried to their places.")),
		d.Words(say.That("Write how many came whole, 0 where none did, and how many came damaged.")),
		d.Words(say.That("Leave blank what you did not count: blank stays not counted.")),
		d.Words(say.That("Compare before anything is set: what is short, over or damaged then holds up nobody.")))
}

// Markdown writes the sheet as [Sheet.Markdown] does.
func (d *Delivery) Markdown(w io.Writer) error {
	plan, err := d.Plan()
	if err != nil {
		return err
	}
	lines, err := json.Marshal(Lines{Boxes: BoxesOf(d.asks(), d.Say)})
	if err != nil {
		return fmt.Errorf("write into the sheet what its lines are: %w", err)
	}
	packed, err := pack(lines)
	if err != nil {
		return err
	}
	var b bytes.Buffer
	b.WriteString(d.Opening())
	fmt.Fprintf(&b, "%s\n\n", d.Words(say.That("Write behind the colon in place of ___.")))
	b.Write(markup.Cautions(d.Say))
	section := ""
	for _, a := range d.asks() {
		if t := Section(a, d.Say); t != section {
			section = t
			fmt.Fprintf(&b, "\n## %s\n\n", markup.Text(section))
		}
		d.item(&b, a)
	}
	comments(&b, packed, plan)
	_, err = w.Write(b.Bytes())
	return err
}
