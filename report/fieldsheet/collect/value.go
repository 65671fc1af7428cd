package collect

import (
	"errors"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/report/fieldsheet"
	"setline.example/schema"
	"setline.example/schema/length"
)

// refused says why what was typed is no value.
func refused(found, expected, mend string) *schema.Problem {
	return &schema.Problem{Kind: schema.WrongForm, Found: found, Expected: expected, Mend: mend}
}

// textValue reads what was typed into the box of a blank. unit is what stands
// beside boxes of lengths.
func textValue(b *checks.Blank, text string, unit length.System) (any, *schema.Problem) {
	if !utf8.ValidString(text) {
		return nil, refused(shown(text), "text in UTF-8", "write it again")
	}
	switch b.Kind {
	case checks.LengthKind:
		return lengthValue(text, unit)
	case checks.CountKind:
		n, err := strconv.Atoi(text)
		if err != nil || n < 0 {
			return nil, refused(shown(text), "a whole number, 0 for none", "write the number alone")
		}
		return n, nil
	case checks.DateKind:
		if _, ok := schema.Date(text).Day(); !ok {
			return nil, refused(shown(text), "a date written YYYY-MM-DD", "write it as 2026-09-14 is written")
		}
		return text, nil
	case checks.Drawer:
		if strings.EqualFold(text, schema.NoDrawer) {
			return schema.NoDrawer, nil
		}
		return text, nil // the record's own reader knows which drawers there are
	case checks.Choice:
		for _, c := range b.Choices {
			if strings.EqualFold(c, text) {
				return c, nil
			}
		}
		return nil, refused(shown(text), "one of "+strings.Join(b.Choices, ", "), "write one of them")
	}
	return text, nil
}

// lengthValue reads a length with the reader of records. A number alone is in
// the unit printed beside its box: the sheet has stated it. A length with a
// unit of its own is taken as it was written.
func lengthValue(text string, unit length.System) (any, *schema.Problem) {
	_, err := length.Parse(text)
	if err == nil {
		return text, nil
	}
	if errors.Is(err, length.ErrNoUnit) {
		with := text + " " + string(unit)
		if _, err = length.Parse(with); err == nil { // else that says what is wrong with the number
			return with, nil
		}
	}
	r := refused(shown(text), "a length; a number alone is in "+say.Writer{}.Words(fieldsheet.UnitWord(unit)), "write a number, or a number with its unit")
	var parse *length.ParseError
	if errors.As(err, &parse) && !errors.Is(err, length.ErrNoUnit) {
		r.Found += ", " + parse.Problem
		if parse.Mend != "" {
			r.Mend = parse.Mend
		}
	}
	return nil, r
}

// tickValue reads the ticks of a blank.
func tickValue(b *checks.Blank, ticked []string, nothing string) (any, *schema.Problem) {
	both := refused(strings.Join(ticked, " and ")+" ticked", "one of them", "leave the tick that is right, or none where nobody looked")
	switch b.Kind {
	case checks.Used:
		return true, nil
	case checks.YesNo:
		if len(ticked) > 1 {
			return nil, both
		}
		return ticked[0] == "yes", nil
	case checks.Several:
		if slices.Contains(ticked, nothing) {
			if len(ticked) > 1 {
				return nil, both
			}
			return []any{}, nil
		}
		all := make([]any, len(ticked))
		for i, t := range ticked {
			all[i] = t
		}
		return all, nil
	}
	if len(ticked) > 1 {
		return nil, both
	}
	return ticked[0], nil
}
