package pdf

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
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
		if content, err := b.Attachment("ré(c).json", len(record)); err != nil || !bytes.Equal(content, record) || len(b.files) != 2 {
			t.Errorf("attachments %q: %v", b.files, err)
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
		compared := CompareWith(file)
		_, _ = compared.Write(out.Bytes())
		_ = compared.Difference()
	})
}

// sharing is a report with attachments that are one stream, or one each, which
// unpacks to so many bytes.
func sharing(t testing.TB, attachments, size int, shared bool) []byte {
	t.Helper()
	read := func(text string) object.Value {
		v, err := object.Parse([]byte(text))
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	items := []object.Item{
		{Value: read("<< /Type /Pages /Kids [2 0 R] /Count 1 /MediaBox [0 0 612.00 792.00] >>")},
		{Value: read("<< /Type /Page /Parent 1 0 R >>")},
		{Value: read("<< /Title (Turnover report: x) /Creator (Setline devel, page format 1) /CreationDate (D:20261001000000+00'00) >>")},
	}
	packed := object.Pack(make([]byte, size))
	names, at := "", 0
	for i := range attachments {
		if !shared || i == 0 {
			items = append(items, object.Item{Value: read("<< /Type /EmbeddedFile /Filter /FlateDecode >>"), Stream: packed})
			at = len(items)
		}
		items = append(items, object.Item{Value: read(fmt.Sprintf("<< /Type /Filespec /UF (a%d) /EF << /F %d 0 R >> >>", i, at))})
		names += fmt.Sprintf("(file %06d) %d 0 R ", i, len(items))
	}
	items = append(items, object.Item{Value: read("<< /Type /Catalog /Pages 1 0 R /Names << /EmbeddedFiles << /Names [" + names + "] >> >> >>")})
	return object.Write(items, read(fmt.Sprintf("<< /Size 0 /Root %d 0 R /Info 3 0 R >>", len(items))))
}

// TestSharedStreams: attachments that share a stream, or that unpack to more
// together than any report, are refused before they take the memory.
func TestSharedStreams(t *testing.T) {
	long(t)
	if _, err := ReadBack(sharing(t, 400, 60<<20, true)); err == nil || !strings.Contains(err.Error(), "are one stream") {
		t.Errorf("shared: %v", err)
	}
	file := sharing(t, 400, 60<<20, false)
	f, err := object.Read(file)
	if err != nil {
		t.Fatal(err)
	}
	if err := f.Canonical(); !errors.Is(err, object.ErrLarge) {
		t.Errorf("the form of a file that unpacks to 23 GiB: %v", err)
	}
	b, err := ReadBack(file)
	if err != nil {
		t.Fatal(err)
	}
	for i := range 12 {
		if _, err := b.Attachment(fmt.Sprintf("a%d", i), 64<<20); (err == nil) != (i < 8) {
			t.Fatalf("attachment %d: %v", i, err)
		}
	}
}
