package intake

import (
	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"
	"setline.example/schema/amend"
)

// object is the text of a JSON object in the making, its members in the order
// of the trade and lengths as they were typed.
type object []amend.Member

func (o *object) put(name string, value []byte) {
	*o = append(*o, amend.Member{Name: name, Value: value})
}

// text puts a string, unless it is empty.
func (o *object) text(name, s string) {
	if s != "" {
		o.put(name, quote(s))
	}
}

func (o *object) texts(name string, all []string) {
	if len(all) == 0 {
		return
	}
	values := make([][]byte, len(all))
	for i, s := range all {
		values[i] = quote(s)
	}
	o.put(name, listOf(values))
}

func (o object) json() []byte {
	out := []byte{'{'}
	for i, m := range o {
		if i > 0 {
			out = append(out, ',')
		}
		out = append(append(append(out, quote(m.Name)...), ':'), m.Value...)
	}
	return append(out, '}')
}

func listOf(values [][]byte) []byte {
	out := []byte{'['}
	for i, v := range values {
		if i > 0 {
			out = append(out, ',')
		}
		out = append(out, v...)
	}
	return append(out, ']')
}

// rowsOf is listOf for objects that are to stand over lines, since more of
// them will follow.
func rowsOf(values [][]byte) []byte {
	return append([]byte("[\n"), listOf(values)[1:]...)
}

// elements makes members of a list.
func elements(values [][]byte) []amend.Member {
	out := make([]amend.Member, len(values))
	for i, v := range values {
		out[i].Value = v
	}
	return out
}

// quote writes a string that table has seen to be text.
func quote(s string) []byte {
	out, err := jsontext.AppendQuote(nil, s)
	if err != nil {
		panic("text that is not UTF-8: " + err.Error())
	}
	return out
}

// canonical gives the members of a value of the record, written in one way,
// so that two can be compared whatever way a person wrote them.
func canonical[T any](v T) map[string]string {
	text, err := json.Marshal(v, json.Deterministic(true))
	var members map[string]jsontext.Value
	if err == nil {
		err = json.Unmarshal(text, &members)
	}
	if err != nil {
		panic("a value of the record that cannot be written: " + err.Error())
	}
	out := make(map[string]string, len(members))
	for name, m := range members {
		out[name] = string(m)
	}
	return out
}

// canonicalText is canonical for the text of a T.
func canonicalText[T any](text []byte) (map[string]string, error) {
	var v T
	if err := json.Unmarshal(text, &v); err != nil {
		return nil, err
	}
	return canonical(v), nil
}
