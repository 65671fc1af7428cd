package schema

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"

	"github.com/go-json-experiment/json/jsontext"
	"setline.example/schema/plaintext"
)

var (
	errTooDeep = fmt.Errorf("objects and lists nested more than %d deep", MaxDepth)
	errMore    = errors.New("more text after the end of the record")
)

// mostDigits is how many characters a number may have. No value needs as many,
// and computing with millions of digits takes minutes.
const mostDigits = 40

// longNumber is the error of a number that has more.
type longNumber struct {
	at      int // offset
	pointer string
	text    string
}

func (e *longNumber) Error() string {
	return fmt.Sprintf("a number of %d characters (%s)", len(e.text), plaintext.Cut(e.text, mostDigits/2))
}

// treeBuilder reads a text into the plain values that a schema validator
// takes: map[string]any, []any, string, json.Number, bool, nil.
type treeBuilder struct {
	src    *Source
	dec    *jsontext.Decoder
	twice  []string        // pointers to members whose name stands twice in one object
	places map[string]span // where everything stands; not kept when nil
}

func newTreeBuilder(src *Source) *treeBuilder {
	// Duplicate names are allowed here so that all of them can be reported, not the first alone.
	dec := jsontext.NewDecoder(bytes.NewBuffer(src.Data), jsontext.AllowDuplicateNames(true))
	return &treeBuilder{src: src, dec: dec}
}

// whole reads the text, which must be one value and nothing after it.
func (b *treeBuilder) whole() (any, error) {
	v, err := b.value(0)
	if err != nil {
		return nil, err
	}
	switch _, err := b.dec.ReadToken(); {
	case errors.Is(err, io.EOF):
		return v, nil
	default:
		return nil, errMore
	}
}

// next gives the offset of the token that is read next.
func (b *treeBuilder) next() int { return b.src.skip(int(b.dec.InputOffset())) }

func (b *treeBuilder) value(depth int) (any, error) {
	if depth > MaxDepth {
		return nil, errTooDeep
	}
	at := b.next()
	tok, err := b.dec.ReadToken()
	if err != nil {
		return nil, err
	}
	if b.places != nil {
		b.notePlace(at)
	}
	switch tok.Kind() {
	case '{':
		return b.object(depth)
	case '[':
		return b.list(depth)
	case '"':
		return tok.String(), nil
	case '0':
		number := tok.String()
		if len(number) > mostDigits {
			return nil, &longNumber{at: at, pointer: string(b.dec.StackPointer()), text: number}
		}
		return json.Number(number), nil
	case 't', 'f':
		return tok.Bool(), nil
	default:
		return nil, nil
	}
}

func (b *treeBuilder) object(depth int) (any, error) {
	object := map[string]any{}
	for b.dec.PeekKind() != '}' {
		at := b.next()
		tok, err := b.dec.ReadToken()
		if err != nil {
			return nil, err
		}
		name := tok.String()
		if _, ok := object[name]; ok {
			b.twice = append(b.twice, string(b.dec.StackPointer()))
		}
		if b.places != nil {
			b.places[string(b.dec.StackPointer())] = span{name: at, value: at}
		}
		if object[name], err = b.value(depth + 1); err != nil {
			return nil, err
		}
	}
	_, err := b.dec.ReadToken()
	return object, err
}

func (b *treeBuilder) list(depth int) (any, error) {
	list := []any{}
	for b.dec.PeekKind() != ']' {
		v, err := b.value(depth + 1)
		if err != nil {
			return nil, err
		}
		list = append(list, v)
	}
	_, err := b.dec.ReadToken()
	return list, err
}

// notePlace records that the value just begun stands at offset at. A member's
// name has been recorded before; an element has no name.
func (b *treeBuilder) notePlace(at int) {
	pointer := string(b.dec.StackPointer())
	place, member := b.places[pointer]
	if !member {
		place.name = at
	}
	place.value = at
	b.places[pointer] = place
}
