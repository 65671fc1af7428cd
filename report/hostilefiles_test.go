package report

import (
	"bytes"
	"compress/zlib"
	"crypto/sha256"
	"encoding/binary"
	"encoding/csv"
	"fmt"
	"hash/crc32"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"setline.example/schema"
	"setline.example/schema/plaintext"
)

// strip is a black PNG (ISO/IEC 15948) of w by h pixels of one bit, which
// takes next to no room however long it is.
func strip(w, h int) []byte {
	var packed bytes.Buffer
	z := zlib.NewWriter(&packed)
	row := make([]byte, 1+(w+7)/8)
	for range h {
		z.Write(row)
	}
	z.Close()
	file := []byte("\x89PNG\r\n\x1a\n")
	chunk := func(kind string, data []byte) {
		file = binary.BigEndian.AppendUint32(file, uint32(len(data)))
		sum := crc32.ChecksumIEEE(append([]byte(kind), data...))
		file = append(append(file, kind...), data...)
		file = binary.BigEndian.AppendUint32(file, sum)
	}
	header := binary.BigEndian.AppendUint32(nil, uint32(w))
	header = binary.BigEndian.AppendUint32(header, uint32(h))
	chunk("IHDR", append(header, 1, 0, 0, 0, 0))
	chunk("IDAT", packed.Bytes())
	chunk("IEND", nil)
	return file
}

// recordWithPhotos names these photographs with the SHA-256 of data.
func recordWithPhotos(data []byte, files ...string) *schema.Record {
	var room schema.RoomSeen
	for _, file := range files {
		room.Photos = append(room.Photos, schema.Photo{File: file, SHA256: fmt.Sprintf("%x", sha256.Sum256(data))})
	}
	rec := &schema.Record{}
	rec.Measured.Visits = []schema.Visit{{Rooms: map[string]schema.RoomSeen{"R": room}}}
	return rec
}

// TestLongStrips: a picture one pixel wide and millions long is within any
// limit on pixels, and cost hours and gigabytes to scale.
func TestLongStrips(t *testing.T) {
	for _, size := range [][2]int{{1, 1 << 20}, {1 << 20, 1}} {
		data := strip(size[0], size[1])
		photos := LoadPhotos(recordWithPhotos(data, "p.png"), fstest.MapFS{"p.png": {Data: data}})
		if got := photos["p.png"].Problem; !strings.Contains(got, "more than 32768 on a side") {
			t.Errorf("photograph of %v pixels: %q", size, got)
		}
		_, err := NewLetterhead(fstest.MapFS{"logo.png": {Data: data}})
		if err == nil || !strings.Contains(err.Error(), "more than 32768 on a side") {
			t.Errorf("logo of %v pixels: %v", size, err)
		}
	}
	data := strip(1, maxPhotoSide)
	if p := LoadPhotos(recordWithPhotos(data, "p.png"), fstest.MapFS{"p.png": {Data: data}})["p.png"]; p.Picture == nil {
		t.Errorf("a picture at the limit is not shown: %s", p.Problem)
	}
}

// TestNothingOutsideTheFolder: whatever a record or a folder of templates
// names, by any way out of the folder, nothing outside is read.
func TestNothingOutsideTheFolder(t *testing.T) {
	dir := t.TempDir()
	inside, outside := filepath.Join(dir, "in"), filepath.Join(dir, "out")
	for _, d := range []string{inside, outside, filepath.Join(inside, "folder")} {
		if err := os.Mkdir(d, 0o700); err != nil {
			t.Fatal(err)
		}
	}
	data := strip(8, 8)
	put := func(name string, data []byte) {
		t.Helper()
		if err := os.WriteFile(name, data, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	link := func(to, name string) {
		t.Helper()
		if err := os.Symlink(to, name); err != nil {
			t.Skipf("this system makes no links (%v), so this was not checked", err)
		}
	}
	put(filepath.Join(outside, "p.png"), data)
	put(filepath.Join(outside, "turnover.md"), []byte("what is not ours"))
	put(filepath.Join(inside, "good.png"), data)
	put(filepath.Join(inside, "folder", "good.png"), data)
	link("../out/p.png", filepath.Join(inside, "link.png"))
	link(filepath.Join(outside, "p.png"), filepath.Join(inside, "absolute-link.png"))
	link("../out", filepath.Join(inside, "folder-link"))
	link("first.png", filepath.Join(inside, "second.png"))
	link("second.png", filepath.Join(inside, "first.png"))
	link("good.png", filepath.Join(inside, "good-link.png"))
	names := []string{
		"../out/p.png", "x/../../out/p.png", "./../out/p.png", filepath.Join(outside, "p.png"), "//" + outside + "/p.png",
		`..\out\p.png`, `C:\out\p.png`, "C:/out/p.png", "C:p.png", `\\server\share\p.png`, "//server/share/p.png", `\\?\C:\p.png`,
		"file:///out/p.png", "link.png", "absolute-link.png", "folder-link/p.png", "first.png", ".", "", "good.png/", "good.png/x",
		"NUL", "CON.png", "good.png\x00", "%2e%2e/out/p.png", "~/p.png", strings.Repeat("x/", 2000) + "p.png",
	}
	within := []string{"good.png", "good-link.png", "./good.png", "x/../good.png", "folder/./good.png", "folder//good.png"}
	root, err := os.OpenRoot(inside)
	if err != nil {
		t.Fatal(err)
	}
	defer root.Close()
	photos := LoadPhotos(recordWithPhotos(data, slices.Concat(names, within)...), root.FS())
	for _, name := range names {
		if p := photos[name]; p.Picture != nil || p.Problem == "" {
			t.Errorf("%q is shown", name)
		}
	}
	for _, name := range within {
		if p := photos[name]; p.Picture == nil {
			t.Errorf("%q is not shown: %s", name, p.Problem)
		}
	}
	for _, name := range []string{"turnover.md", "layout.md", "logo.png"} {
		at := filepath.Join(inside, name)
		link("../out/turnover.md", at)
		if _, err := NewLetterhead(root.FS()); err == nil || !strings.Contains(err.Error(), name) {
			t.Errorf("%s leads out of its folder: %v", name, err)
		}
		if err := os.Remove(at); err != nil {
			t.Fatal(err)
		}
	}
}

// A file of a folder that is a pipe says at once that it is none.
type pipeFS struct{ fs.FS }

func (f pipeFS) Open(name string) (fs.File, error) {
	time.Sleep(time.Hour) // as opening one does
	return f.FS.Open(name)
}

func TestPipesAreNotOpened(t *testing.T) {
	for _, mode := range []fs.FileMode{fs.ModeNamedPipe, fs.ModeDevice, fs.ModeSocket, fs.ModeDir} {
		folder := pipeFS{fstest.MapFS{"p.png": {Mode: mode}, "turnover.md": {Mode: mode}}}
		// MapFS has no Stat of its own; fs.Stat would open the file.
		stat := statFS{folder, folder.FS}
		if got := LoadPhotos(recordWithPhotos(nil, "p.png"), stat)["p.png"].Problem; got != "it is not a file" {
			t.Errorf("%v: %q", mode, got)
		}
		if _, err := NewLetterhead(stat); err == nil || err.Error() != "turnover.md: found something that is not a file" {
			t.Errorf("%v: %v", mode, err)
		}
	}
}

type statFS struct {
	pipeFS
	files fs.FS
}

func (f statFS) Stat(name string) (fs.FileInfo, error) { return fs.Stat(f.files, name) }

func TestLargeTemplate(t *testing.T) {
	folder := fstest.MapFS{"turnover.md": {Data: bytes.Repeat([]byte("x"), maxTemplateBytes+1)}}
	if _, err := NewLetterhead(folder); err == nil || !strings.Contains(err.Error(), "turnover.md: found more than 4 MiB") {
		t.Errorf("%v", err)
	}
}

// TestPunchOfHostileRecord: typed text stands in many cells; none begins a
// formula, whichever way white space and control characters stand before it.
func TestPunchOfHostileRecord(t *testing.T) {
	for _, begin := range []string{"=", "+", "-", "@", "＝", ";="} {
		found, faults, _ := findings(t, annex, `"S-106"`, `"`+begin+`1+1"`)
		var out bytes.Buffer
		if err := PunchCSV(&out, found, faults, true); err != nil {
			t.Fatal(err)
		}
		rows, err := csv.NewReader(&out).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		hostile := 0
		for _, row := range rows {
			for _, cell := range row {
				for part := range strings.SplitSeq(cell, ";") {
					if strings.HasPrefix(part, "'") {
						hostile++
					}
					if strings.IndexAny(strings.TrimSpace(part), "=+-@＝\t\r\n") == 0 && plaintext.Inert(part) != part {
						t.Errorf("%q begins a cell: %q", begin, cell)
					}
				}
			}
		}
		if hostile == 0 {
			t.Errorf("%q stands in no cell", begin)
		}
	}
}
