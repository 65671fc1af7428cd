package collect

import (
	"fmt"
	"slices"
	"strconv"

	"github.com/go-json-experiment/json/jsontext"
)

// object is a JSON object whose members keep their order: values has those of names.
type object struct {
	names  []string
	values []any
}

// find gives the position of a member, -1 where there is none. Most often the last
// that was put is asked for again.
func (o *object) find(name string) int {
	if last := len(o.names) - 1; last >= 0 && o.names[last] == name {
		return last
	}
	return slices.Index(o.names, name)
}

// value is that of a member, nil where there is none.
func (o *object) value(name string) any {
	if i := o.find(name); i >= 0 {
		return o.values[i]
	}
	return nil
}

// set sets the value of a member.
func (o *object) set(name string, value any) {
	if i := o.find(name); i >= 0 {
		o.values[i] = value
		return
	}
	o.names, o.values = append(o.names, name), append(o.values, value)
}

// put sets the value at the steps, and makes the objects on the way. With no
// steps nothing is set: the value says no more than that the object is there.
func (o *object) put(steps []string, value any) {
	if len(steps) > 0 {
		last := len(steps) - 1
		o.at(steps[:last]...).set(steps[last], value)
	}
}

// at gives the object at the steps, and makes it where there is none.
func (o *object) at(steps ...string) *object {
	for _, s := range steps {
		inner, ok := o.value(s).(*object)
		if !ok {
			inner = &object{}
			o.set(s, inner)
		}
		o = inner
	}
	return o
}

// lists returns the object with every object in it whose members are numbered
// from 0 turned into a list.
func (o object) lists() any {
	for i, v := range o.values {
		if inner, ok := v.(*object); ok {
			o.values[i] = inner.lists()
		}
	}
	list := make([]any, len(o.names))
	for i := range o.names {
		at := o.find(strconv.Itoa(i))
		if at < 0 {
			return &o
		}
		list[i] = o.values[at]
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
		if out, err = appendJSON(append(out, ':'), o.values[i]); err != nil {
			return nil, err
		}
	}
	return append(out, '}'), nil
}
