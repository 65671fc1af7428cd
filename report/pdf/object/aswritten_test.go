package object

import (
	"bytes"
	"testing"
)

// TestAsWritten: a file is as it was written, and with any byte of its objects
// changed, cut short, or with something behind it, it is not.
func TestAsWritten(t *testing.T) {
	items, trailer := small()
	items = append(items, Item{Value: NewDict("XObject"), Stream: []byte("stream")})
	for name, run := range map[string]Run{"plain": nil, "packed": elements(3)} {
		var b bytes.Buffer
		if err := WriteTo(&b, items, run, trailer); err != nil {
			t.Fatal(err)
		}
		file := b.Bytes()
		if !AsWritten(file) {
			t.Fatalf("%s: not as it was written", name)
		}
		table, err := lastTable(file)
		if err != nil {
			t.Fatal(err)
		}
		for i := range table {
			changed := bytes.Clone(file)
			changed[i] ^= 1
			if AsWritten(changed) {
				t.Errorf("%s: byte %d was changed", name, i)
			}
		}
		for n := range len(file) {
			if AsWritten(file[:n]) {
				t.Errorf("%s: %d of %d bytes", name, n, len(file))
			}
		}
		if AsWritten(append(bytes.Clone(file), file[table:]...)) || AsWritten(nil) {
			t.Errorf("%s: something stands behind it", name)
		}
	}
}
