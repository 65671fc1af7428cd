package fieldsheet

import (
	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/schema/length"
)

// PlanField is the name of the hidden field that carries the plan.
const PlanField = "plan"

// manyChoices is how many choices are written into a text box rather than ticked.
const manyChoices = 5

// Nothing is the choice that says that none of the others is so.
const Nothing = "nothing"

// Field is one box of a sheet: a text box, or one of the tick boxes of a
// question.
type Field struct {
	Name   string
	Ask    *checks.Ask
	Blank  *checks.Blank
	Tick   bool
	Answer string // what a tick there says, as the record has it: "yes", "no", or one of the choices
}

// FieldsOf returns the boxes of an ask, in the order in which they are filled.
func FieldsOf(a *checks.Ask) []Field {
	var all []Field
	for i := range a.Blanks {
		all = append(all, fieldsOf(a, &a.Blanks[i])...)
	}
	return all
}

// boxesOf counts the fields of asks.
func boxesOf(asks []*checks.Ask) int {
	n := 0
	for _, a := range asks {
		for i := range a.Blanks {
			if b := &a.Blanks[i]; !b.Printed {
				n += max(1, len(answers(b)))
			}
		}
	}
	return n
}

func fieldsOf(a *checks.Ask, b *checks.Blank) []Field {
	if b.Printed {
		return nil
	}
	name := a.Name(b)
	var all []Field
	for _, answer := range answers(b) {
		all = append(all, Field{Name: name + "=" + checks.PlaceName(answer), Ask: a, Blank: b, Tick: true, Answer: answer})
	}
	if all == nil {
		all = append(all, Field{Name: name, Ask: a, Blank: b})
	}
	return all
}

// answers are what can be ticked for a blank; none where it is written.
func answers(b *checks.Blank) []string {
	switch b.Kind {
	case checks.YesNo:
		return []string{"yes", "no"}
	case checks.Used:
		return []string{"yes"}
	case checks.Several:
		return append(append([]string(nil), b.Choices...), Nothing)
	case checks.Choice:
		if len(b.Choices) <= manyChoices {
			return b.Choices
		}
	}
	return nil
}

// Words say what a blank asks, in full: "Plumb on the front, over".
func Words(a *checks.Ask, b *checks.Blank) say.Text {
	if b == nil || b.Words.Equal(a.Words) {
		return a.Words
	}
	return say.Commas(a.Words, b.Words)
}

// InFull say what a blank asks, and where: "S-104/A3, plumb on the front, over".
func InFull(a *checks.Ask, b *checks.Blank) say.Text {
	if a.Subject.Room == "" {
		return Words(a, b)
	}
	return say.Commas(a.Subject.Words(), Words(a, b))
}

// UsualText is what stands in the box of a blank before anybody fills it in.
func UsualText(b *checks.Blank, sys length.System) string {
	if b.Usual == "" || b.Kind != checks.LengthKind {
		return b.Usual
	}
	return numberIn(b.Usual, sys)
}

// LimitShown is the limit that stands beside a box. That the answer should be
// yes goes without saying beside a yes and a no.
func LimitShown(a *checks.Ask) say.Text {
	if a.Blanks[0].Kind == checks.YesNo {
		return say.Text{}
	}
	return a.Limit
}

// Tooltip says what belongs into a box, its limit and its unit.
func Tooltip(f Field, sys length.System) say.Text {
	text := InFull(f.Ask, f.Blank)
	if !f.Ask.Limit.Empty() {
		text = say.That("%[1]s (%[2]s)", text, f.Ask.Limit)
	}
	if f.Blank.Kind == checks.LengthKind {
		text = say.That("%[1]s, in %[2]s", text, UnitWord(sys))
	}
	return text
}

// numberIn writes a length without its unit, which stands beside the box.
func numberIn(text string, sys length.System) string {
	l, err := length.Parse(text)
	if err != nil {
		return ""
	}
	written := l.In(sys)
	if again, err := length.Parse(written); err != nil || again != l {
		return l.String() // with its unit, since the number alone would be rounded
	}
	return written[:len(written)-len(" ")-len(sys)]
}

// UnitWord writes a unit of length in full.
func UnitWord(sys length.System) say.Words {
	if sys == length.Metric {
		return "millimetres"
	}
	return "inches"
}
