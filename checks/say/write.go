package say

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"setline.example/schema"
	"setline.example/schema/length"
)

// Language gives the format in which something is said, for the English one:
// for Count, one and many of n; else one alone, and many is "". Verbs stand for
// the same arguments. Nil is English.
type Language func(one, many string, n int) string

func english(one, many string, n int) string {
	if many == "" || n == 1 {
		return one
	}
	return many
}

// Writer writes texts for one reader.
type Writer struct {
	Language Language
	Lengths  length.System // how lengths are written; inches where it is ""
	Bare     bool          // lengths that are rounded are not marked so: it does not matter
}

// Text writes a text.
func (w Writer) Text(t Text) string {
	b := building{Writer: w}
	if b.Language == nil {
		b.Language = english
	}
	if b.Lengths == "" {
		b.Lengths = length.InchSystem
	}
	b.text(t)
	return b.String()
}

// Words writes words of ours.
func (w Writer) Words(own Words) string {
	if w.Language == nil || own == "" {
		return string(own)
	}
	return w.Text(own.Text())
}

// Page writes a page of words of ours, or the template of one: what is laid out
// by markup is put into a language whole.
func (w Writer) Page(source string) string {
	if w.Language == nil {
		return source
	}
	return w.Language(source, "", 0)
}

// String is the text in English, with lengths in inches: for tests, and for
// whoever debugs. What people read is written by a [Writer].
func (t Text) String() string { return Writer{}.Text(t) }

// building is a text that is being written.
type building struct {
	Writer
	strings.Builder
	capital bool // is due
}

func (b *building) text(t Text) {
	if t.said == nil {
		return
	}
	b.capital = b.capital || t.sentence
	if t.one == "%[1]s" && t.many == "" {
		b.arg(t.args[0]) // what stands for itself is no format to put into a language
		return
	}
	b.format(b.Language(t.one, t.many, t.number), t.args)
}

// format writes a format, whose verbs are %[1]s to %[9]s.
func (b *building) format(f string, args []any) {
	for {
		own, rest, found := strings.Cut(f, "%")
		b.own(own)
		switch {
		case !found:
			return
		case strings.HasPrefix(rest, "%"):
			b.own("%")
			f = rest[1:]
		case len(rest) > 3 && rest[0] == '[' && rest[2:4] == "]s" && int(rest[1]-'1') < len(args):
			b.arg(args[rest[1]-'1'])
			f = rest[4:]
		default:
			panic(fmt.Sprintf("say: %q is no format of %d arguments", f, len(args)))
		}
	}
}

// own writes words of our own, the first of a sentence with a capital.
func (b *building) own(s string) {
	if s == "" {
		return
	}
	if b.capital {
		r, n := utf8.DecodeRuneInString(s)
		b.WriteRune(unicode.ToUpper(r))
		s = s[n:]
	}
	b.capital = false
	b.WriteString(s)
}

func (b *building) arg(a any) {
	switch a := a.(type) {
	case Text:
		b.text(a)
	case Words:
		b.own(b.Language(string(a), "", 0))
	default:
		b.capital = false
		b.WriteString(b.value(a))
	}
}

// value writes what has no words of ours in it.
func (b *building) value(a any) string {
	switch a := a.(type) {
	case Name:
		return string(a)
	case schema.Date:
		return string(a)
	case int:
		return strconv.Itoa(a)
	case length.Length:
		if b.Bare {
			return a.Near(b.Lengths)
		}
		return a.In(b.Lengths)
	case Decimal:
		return a.in(b.Lengths)
	case Inches:
		return length.Length(a).In(length.InchSystem)
	}
	panic(fmt.Sprintf("say: %T is nothing that can be said", a))
}
