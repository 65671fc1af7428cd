package object

import (
	"bytes"
	"encoding/hex"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// ErrFile is wrapped by every error that says a file is not a PDF in the form
// that this package reads.
var ErrFile = errors.New("not a PDF that Setline can vouch for")

// Kind is the kind of an object.
type Kind int

// The kinds of object (ISO 32000-1, 7.3).
const (
	Null Kind = iota
	Boolean
	Integer
	Real
	Name
	String
	Array
	Dict
	Ref // Int is the number of the object it leads to

	written // Text is how it is written; never read, see [Written]
)

// Value is a PDF object and where it stands.
type Value struct {
	Kind       Kind
	Start, End int // of its bytes in the file; End is 0 for what is not there
	Int        int64
	Text       string // of a name or string, decoded; of a boolean or a real number, as written
	Items      []Value
	Keys       []string // of a dictionary, beside Items
}

// Get returns the value of a dictionary's key; null where there is none.
func (v Value) Get(key string) Value {
	for i, k := range v.Keys {
		if k == key {
			return v.Items[i]
		}
	}
	return Value{}
}

// Has reports whether a dictionary has a key.
func (v Value) Has(key string) bool { return v.Get(key).End > 0 }

// IsName reports whether v is the name s.
func (v Value) IsName(s string) bool { return v.Kind == Name && v.Text == s }

// IsInt reports whether v is the whole number n.
func (v Value) IsInt(n int64) bool { return v.Kind == Integer && v.Int == n }

// String returns v in one fixed form: values are the same if their strings are.
func (v Value) String() string {
	switch v.Kind {
	case Boolean, Real:
		return v.Text
	case Integer:
		return strconv.FormatInt(v.Int, 10)
	case Name:
		return fmt.Sprintf("/%q", v.Text)
	case String:
		return fmt.Sprintf("(%q)", v.Text)
	case Ref:
		return fmt.Sprintf("%d 0 R", v.Int)
	case Array, Dict:
		var b strings.Builder
		b.WriteString([]string{"[", "<<"}[v.Kind-Array])
		for i, item := range v.Items {
			if v.Kind == Dict {
				fmt.Fprintf(&b, " /%q", v.Keys[i])
			}
			b.WriteString(" " + item.String())
		}
		b.WriteString([]string{" ]", " >>"}[v.Kind-Array])
		return b.String()
	}
	return "null"
}

// Parse reads one object, which has to be all of the text.
func Parse(text []byte) (Value, error) {
	s := scanner{text, 0, len(text)}
	v, err := s.value(0)
	if err == nil && s.pos != s.limit {
		err = s.errorf("found %q behind an object", s.peek())
	}
	return v, err
}

// scanner reads PDF objects from data[:limit].
type scanner struct {
	data       []byte
	pos, limit int
}

const maxDepth = 40

// mostItems is how many items a list or a dictionary has at most. A report has
// one for each page, and each item takes a hundred bytes of memory for two of
// the file.
const mostItems = 1 << 18

func (s *scanner) errorf(format string, args ...any) error {
	return fmt.Errorf("%w: byte %d: %s", ErrFile, s.pos, fmt.Sprintf(format, args...))
}

func isSpace(c byte) bool {
	return c == ' ' || c == '\n' || c == '\r' || c == '\t' || c == '\f' || c == 0
}

func isDelimiter(c byte) bool { return strings.IndexByte("()<>[]{}/%", c) >= 0 }

func (s *scanner) space() {
	for s.pos < s.limit && isSpace(s.data[s.pos]) {
		s.pos++
	}
}

func (s *scanner) at(word string) bool {
	return bytes.HasPrefix(s.data[s.pos:s.limit], []byte(word))
}

// word steps over a word, or says that it is missing.
func (s *scanner) word(word string) error {
	if !s.at(word) {
		return s.errorf("found %q, expected %q", s.peek(), word)
	}
	s.pos += len(word)
	return nil
}

func (s *scanner) peek() string { return string(s.data[s.pos:min(s.pos+12, s.limit)]) }

// token returns the characters up to the next space or delimiter.
func (s *scanner) token() string {
	start := s.pos
	for s.pos < s.limit && !isSpace(s.data[s.pos]) && !isDelimiter(s.data[s.pos]) {
		s.pos++
	}
	return string(s.data[start:s.pos])
}

// whole reads a whole number without sign that fits a file's size.
func (s *scanner) whole() (int, error) {
	at := s.pos
	t := s.token()
	n, err := strconv.ParseUint(t, 10, 31)
	if err != nil {
		s.pos = at
		return 0, s.errorf("found %q, expected a number below 2147483648", s.peek())
	}
	return int(n), nil
}

func (s *scanner) value(depth int) (Value, error) {
	s.space()
	v := Value{Start: s.pos}
	if depth > maxDepth {
		return v, s.errorf("objects are nested more than %d deep", maxDepth)
	}
	if s.pos >= s.limit {
		return v, s.errorf("the file ends inside an object")
	}
	var err error
	switch c := s.data[s.pos]; {
	case c == '/':
		v.Kind = Name
		v.Text, err = s.name()
	case c == '(':
		v.Kind = String
		v.Text, err = s.literal()
	case s.at("<<"):
		err = s.dict(&v, depth)
	case c == '<':
		v.Kind = String
		v.Text, err = s.hex()
	case c == '[':
		err = s.array(&v, depth)
	default:
		err = s.plain(&v)
	}
	v.End = s.pos
	return v, err
}

func (s *scanner) plain(v *Value) error {
	at := s.pos
	t := s.token()
	switch {
	case t == "null":
		return nil
	case t == "true", t == "false":
		v.Kind, v.Text = Boolean, t
		return nil
	case t == "" || strings.Trim(t, "+-.0123456789") != "":
		s.pos = at
		return s.errorf("found %q, expected an object", s.peek())
	case strings.Contains(t, "."):
		v.Kind, v.Text = Real, t
		if _, err := strconv.ParseFloat(t, 64); err != nil {
			return s.errorf("%q is no number", t)
		}
		return nil
	}
	n, err := strconv.ParseInt(t, 10, 64)
	if err != nil {
		return s.errorf("%q is no number, or too large", t)
	}
	v.Kind, v.Int = Integer, n
	// "12 0 R" is a reference.
	after := *s
	after.space()
	if after.token() == "0" {
		after.space()
		if after.token() == "R" {
			if n <= 0 || n > 1<<31-1 {
				return s.errorf("a reference to object %d", n)
			}
			v.Kind, s.pos = Ref, after.pos
		}
	}
	return nil
}

func (s *scanner) name() (string, error) {
	s.pos++
	t := s.token()
	if strings.Contains(t, "#00") { // some readers end the name there (7.3.5 has none)
		return "", s.errorf("the name %q holds a zero", t)
	}
	if !strings.Contains(t, "#") {
		return t, nil
	}
	var b strings.Builder
	for i := 0; i < len(t); i++ {
		if t[i] != '#' {
			b.WriteByte(t[i])
			continue
		}
		if i+2 >= len(t) {
			return "", s.errorf("the name %q is cut short", t)
		}
		c, err := hex.DecodeString(t[i+1 : i+3])
		if err != nil {
			return "", s.errorf("the name %q has no two hexadecimal digits after #", t)
		}
		b.Write(c)
		i += 2
	}
	return b.String(), nil
}

func (s *scanner) hex() (string, error) {
	n := bytes.IndexByte(s.data[s.pos:s.limit], '>')
	if n < 0 {
		return "", s.errorf("a hexadecimal string has no end")
	}
	b, err := hex.DecodeString(string(s.data[s.pos+1 : s.pos+n]))
	if err != nil {
		return "", s.errorf("a hexadecimal string holds something else than pairs of digits")
	}
	s.pos += n + 1
	return string(b), nil
}

func (s *scanner) array(v *Value, depth int) error {
	v.Kind = Array
	s.pos++
	for {
		s.space()
		if s.at("]") {
			s.pos++
			return nil
		}
		item, err := s.value(depth + 1)
		if err != nil {
			return err
		}
		if v.Items = append(v.Items, item); len(v.Items) > mostItems {
			return s.errorf("a list has more than %d items", mostItems)
		}
	}
}

func (s *scanner) dict(v *Value, depth int) error {
	v.Kind = Dict
	s.pos += 2
	seen := make(map[string]bool)
	var most [16]Value // as most have no more, which are then allocated once
	items := most[:0]
	for {
		s.space()
		if s.at(">>") {
			s.pos += 2
			v.Items = slices.Clone(items)
			return nil
		}
		if !s.at("/") {
			return s.errorf("found %q, expected a key of a dictionary or its end", s.peek())
		}
		key, err := s.name()
		if err != nil {
			return err
		}
		if seen[key] {
			return s.errorf("a dictionary has the key /%s twice", key)
		}
		seen[key] = true
		item, err := s.value(depth + 1)
		if err != nil {
			return err
		}
		if v.Keys, items = append(v.Keys, key), append(items, item); len(items) > mostItems {
			return s.errorf("a dictionary has more than %d entries", mostItems)
		}
	}
}
