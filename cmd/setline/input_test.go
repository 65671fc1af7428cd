package main

import (
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/iotest"
	"time"

	"setline.example/schema"
)

func TestClaims(t *testing.T) {
	for text, want := range map[string]bool{
		`{"setline": 1}`: true,
		`{"$schema": "x", "planned": {"a": [1, {}]}, "setline": 1}`: true,
		`{"Setline": 1}`:                                    true,
		`{"planned": {}, "measured": {}}`:                   true,
		`{"planned": {}, "Measured": {}}`:                   true,
		`{"planned": {}, "planned": {}}`:                    false,
		`{"planned": {}, "due": 1}`:                         false,
		`{"planned": {"setline": 1}}`:                       false,
		`{"properties": {"setline": {}}, "type": "object"}`: false,
		`{"setline_findings": 1}`:                           false,
		`["setline"]`:                                       false,
		`"setline"`:                                         false,
		`{"name": "x",}`:                                    false,
		// Broken, and yet a record: it must not be passed over.
		"":                                  true,
		" \r\n":                             true,
		"\x00\x00\x00\x00":                  true,
		`{ "setline" }`:                     true,
		`{"planned": {]}, "setline": 1}`:    true,
		`{"setline": 1, "planned":`:         true,
		"{\"name\": \"\xff\", \"setline\":": true,
		"\xff\xfe{\x00\"\x00s\x00e\x00t\x00l\x00i\x00n\x00e\x00\"\x00": true,
	} {
		if got := claims([]byte(text)); got != want {
			t.Errorf("%s: %t, want %t", text, got, want)
		}
	}
}

// stats is an open file whose size and time of change are others when looked
// at again.
type stats struct {
	io.Reader
	looks []look
}

type look struct {
	fs.FileInfo
	size int64
	at   time.Time
}

func (l look) Size() int64        { return l.size }
func (l look) ModTime() time.Time { return l.at }
func (l look) Mode() fs.FileMode  { return 0o644 }

func (s *stats) Stat() (fs.FileInfo, error) {
	now := s.looks[0]
	s.looks = s.looks[1:]
	return now, nil
}

func TestReadOnce(t *testing.T) {
	then, later := time.Unix(1, 0), time.Unix(1, 1)
	for _, tc := range []struct {
		name          string
		text          string
		before, after look
		refused       string
	}{
		{"as it was", "abc", look{size: 3, at: then}, look{size: 3, at: then}, ""},
		{"grown", "abcd", look{size: 3, at: then}, look{size: 4, at: later}, "changed while it was read"},
		{"grown, and said so too late", "abcd", look{size: 3, at: then}, look{size: 3, at: then}, "changed while it was read"},
		{"cut short", "ab", look{size: 3, at: then}, look{size: 2, at: later}, "changed while it was read"},
		{"written over", "xyz", look{size: 3, at: then}, look{size: 3, at: later}, "changed while it was read"},
		{"too large", "", look{size: schema.MaxBytes + 1, at: then}, look{}, "a file of 64 MiB, expected a job record of at most 64 MiB"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			data, err := readOnce("x.json", recordFile, &stats{iotest.OneByteReader(strings.NewReader(tc.text)), []look{tc.before, tc.after}})
			switch {
			case tc.refused == "" && (err != nil || string(data) != tc.text):
				t.Errorf("%q, error %v", data, err)
			case tc.refused != "" && (err == nil || !strings.Contains(err.Error(), tc.refused)):
				t.Errorf("error %v, want one that says %q", err, tc.refused)
			}
		})
	}
}

// TestWholeOldOrNew: a record that is put in place by renaming, as careful
// programs do, is read as it was or as it is, never in between.
func TestWholeOldOrNew(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "job.json")
	texts := []string{strings.Repeat("a", 100_000), strings.Repeat("b", 50_000)}
	put := func(i int) error {
		next := filepath.Join(dir, "next")
		if err := os.WriteFile(next, []byte(texts[i%2]), 0o644); err != nil {
			return err
		}
		return os.Rename(next, path)
	}
	if err := put(0); err != nil {
		t.Fatal(err)
	}
	stop, done := make(chan struct{}), make(chan error)
	go func() {
		for i := 1; ; i++ {
			select {
			case <-stop:
				done <- nil
				return
			default:
			}
			if err := put(i); err != nil {
				done <- err
				return
			}
		}
	}()
	for range 500 {
		data, err := readFile(path, recordFile)
		if err == nil && string(data) != texts[0] && string(data) != texts[1] {
			t.Fatalf("read %d bytes that are neither the old nor the new", len(data))
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	close(stop)
	if err := <-done; err != nil {
		t.Fatal(err)
	}
}
