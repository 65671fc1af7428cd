package collect

import (
	"fmt"
	"slices"
	"strconv"

	"github.com/go-json-experiment/json/jsontext"
)

// object is a JSON object whose members keep their order.
type object struct {
	names  []string
	values map[string]any
}

// put sets the value at the steps, and makes the objects on the way. With no
// steps nothing is set: the value says no more than that the object is there.
func (o *object) put(steps []string, value any) {
	if len(steps) == 0 {
		return
	}
	if o.values == nil {
		o.values = map[string]any{}
	}
	if !slices.Contains(o.names, steps[0]) {
		o.names = append(o.names, steps[0])
	}
	if len(steps) == 1 {
		o.values[steps[0]] = value
		return
	}
	inner, ok := o.values[steps[0]].(*object)
	if !ok {
		inner = &object{}
		o.values[steps[0]] = inner
	}
	inner.put(steps[1:], value)
}

// at gives the object at the steps, and makes it where there is none.
func (o *object) at(steps ...string) *object {
	for _, s := range steps {
		inner, ok := o.values[s].(*object)
		if !ok {
			inner = &object{}
			o.put([]string{s}, inner)
		}
		o = inner
	}
	return o
}

// lists returns the object with every object in it whose members are numbered
// from 0 turned into a list.
func (o object) lists() any {
	for name, v := range o.values {
		if inner, ok := v.(*object); ok {
			o.values[name] = inner.lists()
		}
	}
	list := make([]any, len(o.names))
	for i := range o.names {
		v, ok := o.values[strconv.Itoa(i)]
		if !ok {
			return &o
		}
		list[i] = v
	}
	if len(list) == 0 {
		return &o
	}
	return list
}

// MarshalJSON writes the members in their order.
func (o *object) MarshalJSON() ([]byte, error) { return appendJSON(nil, o) }

// appendJSON writes a value of an answer: objects in the order of their members.
func appendJSON(out []byte, value any) ([]byte, error) {
	switch v := value.(type) {
	case string:
		return jsontext.AppendQuote(out, v)
	case bool:
		return strconv.AppendBool(out, v), nil
	case int:
		return strconv.AppendInt(out, int64(v), 10), nil
	case []any:
		return appendList(out, v)
	case *object:
		return v.appendMembers(out)
	}
	return nil, fmt.Errorf("found a value of type %T, expected one that an answer has", value)
}

func appendList(out []byte, list []any) (_ []byte, err error) {
	out = append(out, '[')
	for i, v := range list {
		if i > 0 {
			out = append(out, ',')
		}
		if out, err = appendJSON(out, v); err != nil {
			return nil, err
		}
	}
	return append(out, ']'), nil
}

func (o *object) appendMembers(out []byte) (_ []byte, err error) {
	out = append(out, '{')
	for i, name := range o.names {
		if i > 0 {
			out = append(out, ',')
		}
		if out, err = jsontext.AppendQuote(out, name); err != nil {
			return nil, err
		}
		if out, err = appendJSON(append(out, ':'), o.values[name]); err != nil {
			return nil, err
		}
	}
	return append(out, '}'), nil
}
