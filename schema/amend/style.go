package amend

import (
	"bytes"
	"strings"
	"unicode/utf8"

	"github.com/go-json-experiment/json/jsontext"
)

const (
	lineWidth = 100 // columns that a line of new text keeps to where it can
	tabWidth  = 4   // columns that a tab is counted as
	// lineDepth is how deep lists and objects may nest on one line: a cabinet
	// with the rows of its front stands on one line, a room does not.
	lineDepth = 3
)

// writer lays out new text in the style of the text around it.
type writer struct {
	newline string // "" for a text on one line
	unit    string // one step of indentation
	space   string // behind a comma and a colon on one line
	out     []byte
}

// styleOf is the style to write in inside c.
func (t *text) styleOf(c *container) *writer {
	w := t.styleAround(c.start)
	if len(c.members) == 0 {
		return w
	}
	if c.kind == '{' {
		w.space = t.spaceOf(c)
	}
	last := len(c.members) - 1
	if inner := t.indentOf(c.members[last].whole.start); bytes.ContainsAny(t.gapBefore(c, last), "\r\n") {
		if step, ok := strings.CutPrefix(inner, t.indentOf(c.start)); ok && step != "" {
			w.unit = step
		}
	}
	return w
}

// styleAround is the style of the whole text, with the line end nearest
// before offset.
func (t *text) styleAround(offset int) *writer {
	w := &writer{unit: "  ", space: " "}
	whole := t.data[t.root.start:t.root.end]
	at := bytes.LastIndexByte(whole[:offset-t.root.start], '\n')
	if at < 0 {
		at = bytes.IndexByte(whole, '\n')
	}
	switch {
	case at > 0 && whole[at-1] == '\r':
		w.newline = "\r\n"
	case at >= 0:
		w.newline = "\n"
	case bytes.IndexByte(whole, '\r') >= 0:
		w.newline = "\r"
	}
	root, err := t.open(t.root)
	if err != nil || len(root.members) == 0 {
		return w
	}
	if root.kind == '{' {
		w.space = t.spaceOf(root)
	}
	if gap := t.gapBefore(root, 0); bytes.ContainsAny(gap, "\r\n") {
		if step := t.indentOf(root.members[0].whole.start); step != "" {
			w.unit = step
		}
	}
	return w
}

// spaceOf tells whether the object c, which has members, writes a space behind a colon.
func (t *text) spaceOf(c *container) string {
	last := c.members[len(c.members)-1]
	if before := t.data[last.value.start-1]; before == ':' {
		return ""
	}
	return " "
}

// gapBefore is the white space before the i-th member of c, behind the comma
// or the bracket.
func (t *text) gapBefore(c *container, i int) []byte {
	start := c.members[i].whole.start
	end := start
	for strings.IndexByte(" \t\r\n", t.data[start-1]) >= 0 {
		start--
	}
	return t.data[start:end]
}

// lineStart is where the line that offset stands on begins.
func (t *text) lineStart(offset int) int {
	return bytes.LastIndexAny(t.data[:offset], "\r\n") + 1
}

// indentOf is the white space at the start of the line that offset stands on.
func (t *text) indentOf(offset int) string {
	line := t.data[t.lineStart(offset):]
	return string(line[:len(line)-len(bytes.TrimLeft(line, " \t"))])
}

// columnOf is how many columns stand before offset on its line.
func (t *text) columnOf(offset int) int { return width(string(t.data[t.lineStart(offset):offset])) }

func width(s string) int { return utf8.RuneCountInString(s) + (tabWidth-1)*strings.Count(s, "\t") }

// value writes v, whose line is indented by indent and has come to column.
func (w *writer) value(v jsontext.Value, indent string, column int) {
	line := w.line(v)
	depth, over := shape(v)
	// A comma may follow.
	if w.newline == "" || depth == 0 || len(line) == 2 || !over && depth <= lineDepth && column+width(line)+1 <= lineWidth {
		w.out = append(w.out, line...)
		return
	}
	w.broken(v, indent)
}

// broken writes the object or list v, which has members, one member a line.
func (w *writer) broken(v jsontext.Value, indent string) {
	t := &text{data: v, root: span{0, len(v)}}
	c, err := t.open(t.root)
	if err != nil {
		panic("a value that was checked before: " + err.Error())
	}
	inner := indent + w.unit
	w.out = append(w.out, v[0])
	for i, m := range c.members {
		if i > 0 {
			w.out = append(w.out, ',')
		}
		w.out = append(append(w.out, w.newline...), inner...)
		w.member(t.nameOf(m), v[m.value.start:m.value.end], inner, width(inner))
	}
	w.out = append(append(append(w.out, w.newline...), indent...), v[len(v)-1])
}

// member writes a member of an object, or of a list where name is nil.
func (w *writer) member(name []byte, v jsontext.Value, indent string, column int) {
	if name != nil {
		w.out = append(append(append(w.out, name...), ':'), w.space...)
		column += width(string(name)) + 1 + len(w.space)
	}
	w.value(v, indent, column)
}

// nameOf is the name of m as written, nil in a list.
func (t *text) nameOf(m member) []byte {
	if m.whole.start == m.value.start {
		return nil
	}
	before := bytes.TrimRight(t.data[m.whole.start:m.value.start], " \t\r\n")
	return bytes.TrimRight(bytes.TrimSuffix(before, []byte{':'}), " \t\r\n")
}

// line writes v on one line.
func (w *writer) line(v jsontext.Value) string {
	spaced := v.Clone()
	if err := spaced.Format(jsontext.SpaceAfterColon(w.space != ""), jsontext.SpaceAfterComma(w.space != ""), jsontext.PreserveRawStrings(true)); err != nil {
		panic("a value that was checked before: " + err.Error())
	}
	return string(spaced)
}

// shape says of v, which is well formed, how deep lists and objects nest in
// it, and whether it holds objects that were given over lines, behind a
// bracket with a line end.
func shape(v jsontext.Value) (deepest int, over bool) {
	var broken []bool // of each bracket that is open
	dec := jsontext.NewDecoder(bytes.NewBuffer(v))
	for {
		tok, err := dec.ReadToken()
		if err != nil {
			return deepest, over
		}
		switch tok.Kind() {
		case '{', '[':
			if n := len(broken); tok.Kind() == '{' && n > 0 && broken[n-1] {
				over = true
			}
			next := v[dec.InputOffset()]
			broken = append(broken, next == '\n' || next == '\r')
			deepest = max(deepest, len(broken))
		case '}', ']':
			broken = broken[:len(broken)-1]
		}
	}
}
