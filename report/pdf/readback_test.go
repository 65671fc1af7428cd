package pdf

import (
	"bytes"
	"errors"
	"testing"
	"time"

	"setline.example/report/pdf/object"
)

func TestReadBack(t *testing.T) {
	date := time.Date(2026, 9, 23, 0, 0, 0, 0, time.UTC)
	record := bytes.Repeat([]byte("stream\nendobj (ä)\\ "), 300)
	for _, paper := range []Paper{Letter, A4} {
		file := write(t, Document{
			Parts: [][]byte{[]byte("# Title")}, Title: "Ünter (a) \\ b", Creator: "Setline v1.2 (test)", Paper: paper, Date: date,
			Attachments: []Attachment{{Name: "a.json", Content: []byte("{}")}, {Name: "ré(c).json", Description: "d", Content: record}},
		})
		b, err := ReadBack(file)
		if err != nil {
			t.Fatal(err)
		}
		if b.Title != "Ünter (a) \\ b" || b.Creator != "Setline v1.2 (test)" || b.Paper != paper || !b.Date.Equal(date) {
			t.Errorf("%+v", b)
		}
		if content, err := b.Attachment("ré(c).json", len(record)); err != nil || !bytes.Equal(content, record) || len(b.Names()) != 2 {
			t.Errorf("attachments %q: %v", b.Names(), err)
		}
		if _, err := b.Attachment("ré(c).json", len(record)-1); !errors.Is(err, object.ErrLarge) {
			t.Errorf("an attachment that is too large: %v", err)
		}
	}
	for _, bad := range [][]byte{nil, []byte("%PDF-1.7"), []byte("startxref\n-5\n%%EOF")} {
		if _, err := ReadBack(bad); !errors.Is(err, ErrDocument) {
			t.Errorf("%q: %v", bad, err)
		}
	}
}

// FuzzReadBack: what is no file of ours is refused, without a panic.
func FuzzReadBack(f *testing.F) {
	var out bytes.Buffer
	_ = Write(&out, Document{Parts: [][]byte{[]byte("x")}, Creator: "c", Date: time.Unix(0, 0), Attachments: []Attachment{{Name: "a", Content: []byte("b")}}})
	f.Add(out.Bytes())
	f.Fuzz(func(t *testing.T, file []byte) {
		_, _ = ReadBack(file)
		_ = Difference(file, out.Bytes())
	})
}
