package structure

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"unicode/utf16"

	"setline.example/report/pdf/object"
)

// Content is what the operators of a page draw.
type Content struct {
	Marks    []string       // the kind of each marked content, by its identifier
	Texts    map[int]string // what each shows, by its identifier
	Unmarked []string       // operators that draw and belong to nothing
	Crossed  []string       // operators that end what another began after it
	Again    []int          // identifiers that stand on the page twice
	Pages    []string       // artifacts of pagination: "Header", "Footer", "" for others
}

// drawing are the operators that leave something on a page (ISO 32000-1, table
// 51): paths, text, pictures, shadings.
var drawing = strings.Fields("S s f F f* B B* b b* Tj TJ ' \" Do sh EI")

// ends are the operators that end what others begin.
var ends = map[string]string{"Q": "q", "ET": "BT", "EMC": "BMC"}

// open is something begun.
type open struct {
	operator string
	mcid     int // -1 for none
}

type reader struct {
	Content
	stack []open
	seen  map[int]string
}

func readContent(plain []byte) (Content, error) {
	r := &reader{Content: Content{Texts: map[int]string{}}, seen: map[int]string{}}
	var operands []object.Value
	for rest := plain; ; {
		token, behind, err := next(rest)
		if err != nil {
			return r.Content, err
		}
		if token == nil {
			break
		}
		rest = behind
		if v, err := object.Parse(token); err == nil {
			operands = append(operands, v)
			continue
		}
		r.operator(string(token), operands)
		operands = nil
	}
	for _, o := range r.stack {
		r.Crossed = append(r.Crossed, o.operator+" has no end")
	}
	for i := range len(r.seen) {
		if _, ok := r.seen[i]; !ok {
			return r.Content, fmt.Errorf("there are %d identifiers, and not %d", len(r.seen), i)
		}
		r.Marks = append(r.Marks, r.seen[i])
	}
	return r.Content, nil
}

func (r *reader) operator(op string, operands []object.Value) {
	switch {
	case op == "q", op == "BT":
		r.stack = append(r.stack, open{op, -1})
	case op == "BMC", op == "BDC":
		r.begin(operands)
	case ends[op] != "":
		n := len(r.stack) - 1
		if n < 0 || r.stack[n].operator != ends[op] {
			r.Crossed = append(r.Crossed, op)
			return
		}
		r.stack = r.stack[:n]
	case slices.Contains(drawing, op):
		r.draw(op, operands)
	}
}

func (r *reader) begin(operands []object.Value) {
	o := open{"BMC", -1}
	kind := operands[0].Text
	if len(operands) == 2 {
		properties := operands[1]
		if id := properties.Get("MCID"); id.Kind == object.Integer {
			o.mcid = int(id.Int)
			if _, ok := r.seen[o.mcid]; ok {
				r.Again = append(r.Again, o.mcid)
			}
			r.seen[o.mcid] = kind
		}
		if properties.Get("Type").IsName("Pagination") {
			r.Pages = append(r.Pages, properties.Get("Subtype").Text)
		}
	}
	if kind != "Artifact" && o.mcid < 0 {
		r.Crossed = append(r.Crossed, kind+" without an identifier")
	}
	r.stack = append(r.stack, o)
}

func (r *reader) draw(op string, operands []object.Value) {
	marks := slices.DeleteFunc(slices.Clone(r.stack), func(o open) bool { return o.operator != "BMC" })
	if len(marks) != 1 {
		r.Unmarked = append(r.Unmarked, op)
		return
	}
	if id := marks[0].mcid; id >= 0 && op == "Tj" {
		r.Texts[id] += wide(operands[0].Text)
	}
}

// wide reads a string of characters of two bytes.
func wide(s string) string {
	var units []uint16
	for i := 0; i+1 < len(s); i += 2 {
		units = append(units, uint16(s[i])<<8|uint16(s[i+1]))
	}
	return string(utf16.Decode(units))
}

// next returns the next object or operator of a content stream, nil at its end.
func next(rest []byte) (token, behind []byte, err error) {
	const spaces = " \n\r\t\f\x00"
	rest = bytes.TrimLeft(rest, spaces)
	if len(rest) == 0 {
		return nil, nil, nil
	}
	end := 1
	switch rest[0] {
	case '(', '[', '<':
		if end = closing(rest); end < 0 {
			return nil, nil, fmt.Errorf("%.20q has no end", rest)
		}
	default:
		for end < len(rest) && !strings.ContainsRune(spaces+"()<>[]/", rune(rest[end])) {
			end++
		}
	}
	return rest[:end], rest[end:], nil
}

// closing is where a string, an array or a dictionary ends; -1 where it does not.
func closing(s []byte) int {
	depth, text := 0, 0
	for i := 0; i < len(s); i++ {
		switch c := s[i]; {
		case c == '\\' && text > 0:
			i++
		case c == '(':
			text++
		case c == ')':
			text--
		case text > 0:
		case c == '[', c == '<':
			depth++
		case c == ']', c == '>':
			depth--
		}
		if depth == 0 && text == 0 {
			return i + 1
		}
	}
	return -1
}
