package pdf

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"io"
	"strings"
	"testing"
)

// repacked writes a file of this package anew with its streams packed by
// change, and the text of the pages changed by edit.
func repacked(t *testing.T, file []byte, edit func([]byte) []byte) []byte {
	t.Helper()
	objects, trailer, err := split(file)
	if err != nil {
		t.Fatal(err)
	}
	for i, o := range objects {
		dict, rest, ok := bytes.Cut(o, []byte("stream\n"))
		if !ok || !bytes.Contains(dict, []byte("/FlateDecode")) {
			continue
		}
		r, err := zlib.NewReader(bytes.NewReader(rest))
		if err != nil {
			t.Fatal(err)
		}
		plain, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		var packed bytes.Buffer
		w, _ := zlib.NewWriterLevel(&packed, zlib.BestSpeed)
		_, _ = w.Write(edit(plain))
		_ = w.Close()
		dict = packedLength.ReplaceAll(dict, fmt.Appendf(nil, "/Length %d", packed.Len()))
		objects[i] = bytes.Join([][]byte{dict, []byte("stream\n"), packed.Bytes(), []byte("\nendstream\nendobj\n")}, nil)
	}
	trailer, _, _ = bytes.Cut(trailer, []byte("/ID "))
	return join(objects, append(trailer, ">>\n"...))
}

func TestSameContent(t *testing.T) {
	file := write(t, Document{Parts: [][]byte{[]byte("# Title\n\nSome text.")}, Attachments: []Attachment{{Name: "a.json", Content: []byte(strings.Repeat("{}", 500))}}})
	other := repacked(t, file, func(b []byte) []byte { return b })
	if bytes.Equal(file, other) {
		t.Fatal("packing anew changed nothing; the test says nothing")
	}
	if diff := SameContent(file, other); diff != "" {
		t.Errorf("packed anew: %s", diff)
	}
	attached := repacked(t, file, func(b []byte) []byte { return bytes.Replace(b, []byte("{}{}"), []byte("{ }{}"), 1) })
	if SameContent(file, attached) == "" {
		t.Error("another attachment is the same")
	}
	if SameContent(file, write(t, Document{Parts: [][]byte{[]byte("# Title\n\nSome text!")}})) == "" {
		t.Error("another page is the same")
	}
	if SameContent(file, []byte("no PDF")) == "" || SameContent(nil, file) == "" {
		t.Error("what is no file is the same")
	}
}
