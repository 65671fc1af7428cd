package findings_test

import (
	"bytes"
	"encoding/json"
	"math/rand/v2"
	"testing"
)

// ordered is a JSON value whose object members can be put in another order.
type ordered struct {
	names  []string
	values []*ordered
	list   bool
	scalar []byte
}

func (o *ordered) read(t testing.TB, data []byte) {
	t.Helper()
	data = bytes.TrimSpace(data)
	switch data[0] {
	case '{':
		d := json.NewDecoder(bytes.NewReader(data))
		if _, err := d.Token(); err != nil {
			t.Fatal(err)
		}
		for d.More() {
			name, err := d.Token()
			if err != nil {
				t.Fatal(err)
			}
			o.names = append(o.names, name.(string))
			o.add(t, d)
		}
	case '[':
		o.list = true
		d := json.NewDecoder(bytes.NewReader(data))
		if _, err := d.Token(); err != nil {
			t.Fatal(err)
		}
		for d.More() {
			o.add(t, d)
		}
	default:
		o.scalar = data
	}
}

func (o *ordered) add(t testing.TB, d *json.Decoder) {
	t.Helper()
	var raw json.RawMessage
	if err := d.Decode(&raw); err != nil {
		t.Fatal(err)
	}
	child := new(ordered)
	child.read(t, raw)
	o.values = append(o.values, child)
}

func (o *ordered) shuffle(rng *rand.Rand) {
	if !o.list {
		rng.Shuffle(len(o.names), func(i, j int) {
			o.names[i], o.names[j] = o.names[j], o.names[i]
			o.values[i], o.values[j] = o.values[j], o.values[i]
		})
	}
	for _, v := range o.values {
		v.shuffle(rng)
	}
}

func (o *ordered) write(b *bytes.Buffer) {
	if o.scalar != nil {
		b.Write(o.scalar)
		return
	}
	open, end := "{", "}"
	if o.list {
		open, end = "[", "]"
	}
	b.WriteString(open)
	for i, v := range o.values {
		if i > 0 {
			b.WriteString(",\n")
		}
		if !o.list {
			name, _ := json.Marshal(o.names[i])
			b.Write(name)
			b.WriteString(": ")
		}
		v.write(b)
	}
	b.WriteString(end)
}
