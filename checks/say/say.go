// Package say holds what is said as a value until it is written.
//
// A [Text] is a sentence, or a part of one, with typed arguments: lengths,
// numbers, dates, names that people typed, and other texts. It is made where
// it is known what is so, in English, readable in place:
//
//	say.That("%[1]s stands %[2]s high of %[3]s", right, size, left)
//
// Texts compare without any language ([Text.Equal]), and become words at the
// very end, by a [Writer]: in its language, and with lengths in its system. So
// that nothing decides by words, there is no way back from words to a text.
package say

import "setline.example/schema/length"

// Words are words of our own that stand as they are, without arguments: "along
// the front". They are constants, so that a language can have all of them.
type Words string

// Name is what somebody typed into a record, or a code: a tag, a part, a
// remark. No language changes it.
type Name string

// Inches are a length that is written in inches for every reader, as the source
// of a limit has it.
type Inches length.Length

// Text is what is said. The zero Text says nothing.
type Text struct {
	_ [0]func() // texts compare by Equal alone
	*said
	sentence bool // begins with a capital
}

// said is what a text is made of; it is never changed.
type said struct {
	one, many string // the format, and that for another number than one where there are two
	number    int
	args      []any
}

// That is what format says of args. The format has a verb %[n]s for every
// argument, in any order, so that another language can have them in another; a
// percent sign in it is doubled. An argument is a [Text], [Words], [Name],
// [schema.Date], [length.Length], [Inches] or int.
func That(format string, args ...any) Text {
	return Text{said: &said{one: format, args: args}}
}

// Count says one of n things where n is 1, else many. n is the first argument;
// a format may do without it: Count(n, "it does", "they do").
func Count(n int, one, many string, args ...any) Text {
	return Text{said: &said{one: one, many: many, number: n, args: append([]any{n}, args...)}}
}

// Text is w as a text; that of no words says nothing.
func (w Words) Text() Text {
	if w == "" {
		return Text{}
	}
	return That("%[1]s", w)
}

// Text is n as a text; that of no name says nothing.
func (n Name) Text() Text {
	if n == "" {
		return Text{}
	}
	return That("%[1]s", n)
}

// Sentence is t with a capital where it begins with words of our own.
func Sentence(t Text) Text {
	if t.Empty() || t.sentence {
		return t
	}
	t.sentence = true
	return t
}

// Empty reports whether nothing is said.
func (t Text) Empty() bool { return t.said == nil }

// Equal reports whether two texts say the same: the same formats of the same
// arguments.
func (t Text) Equal(u Text) bool {
	if t.said == u.said {
		return t.sentence == u.sentence
	}
	if t.said == nil || u.said == nil {
		return false
	}
	a, b := t.said, u.said
	if a.one != b.one || a.many != b.many || a.number != b.number || t.sentence != u.sentence || len(a.args) != len(b.args) {
		return false
	}
	for i := range a.args {
		if !equal(a.args[i], b.args[i]) {
			return false
		}
	}
	return true
}

func equal(a, b any) bool {
	t, isText := a.(Text)
	u, areTexts := b.(Text)
	if isText || areTexts {
		return isText && areTexts && t.Equal(u)
	}
	return a == b
}
