package lenient

import (
	"bytes"
	"compress/zlib"
	"encoding/hex"
	"fmt"
	"io"
	"regexp"
	"strings"
)

// Limits on what the library unpacks as soon as it opens a file. It has none of
// its own for the cross-reference stream (512 MiB, each), and none for all
// object streams together.
const (
	MaxTable  = 4 << 20   // one cross-reference stream, unpacked: 100,000 entries need 2 MiB
	maxPacked = 128 << 20 // all object streams together, unpacked
	mostDict  = 64 << 10  // how far before its stream a dictionary is looked for
)

var (
	streamWord = []byte("stream")
	objectWord = []byte("obj")
	escapedHex = regexp.MustCompile(`#[0-9A-Fa-f]{2}`)
	filterKey  = regexp.MustCompile(`/Filter\b\s*(\[[^\]]*\]|/[^\s/<>\[\]()]*|)`)
)

// bounded refuses a file whose cross-reference and object streams unpack into
// more than a sheet can need (ISO 32000-1, 7.5.7 and 7.5.8), before anything is
// unpacked into memory.
func bounded(data []byte) error {
	if err := plain(data); err != nil {
		return err
	}
	var packed int64
	for at := 0; ; {
		i := bytes.Index(data[at:], streamWord)
		if i < 0 {
			return nil
		}
		at += i + len(streamWord)
		if bytes.HasSuffix(data[:at-len(streamWord)], []byte("end")) {
			continue // what is before it is packed data, in which any bytes may stand
		}
		dict := dictionaryBefore(data[:at-len(streamWord)])
		table, objects := bytes.Contains(dict, []byte("/XRef")), bytes.Contains(dict, []byte("/ObjStm"))
		if !table && !objects {
			continue
		}
		filters := filterKey.FindAllSubmatch(dict, -1)
		if len(filters) == 0 {
			continue // not packed
		}
		if name := strings.Trim(string(filters[0][1]), "[] \t\r\n"); len(filters) > 1 || name != "/FlateDecode" {
			return fmt.Errorf("its objects are packed by the filter %q, expected /FlateDecode alone", name)
		}
		most := int64(MaxStream)
		if table {
			most = MaxTable
		}
		n := unpackedSize(data[at:], most)
		if n > most {
			return fmt.Errorf("what it packs unpacks into more than %d MiB", most>>20)
		}
		if packed += n; packed > maxPacked {
			return fmt.Errorf("its objects unpack into more than %d MiB", int64(maxPacked)>>20)
		}
	}
}

// maxObject is how long one object is at most, without its stream.
const maxObject = 8 << 20

// plain refuses a file with more objects, or entries of its tables, than any
// that is read, and one with an object that has no end: the library looks at the
// number of them when it has them all in memory.
func plain(data []byte) error {
	entries := 0
	for _, end := range []string{" n \n", " n \r", " n\r\n", " f \n", " f \r", " f\r\n"} {
		entries += bytes.Count(data, []byte(end))
	}
	// A revision may say again where each object is, and ends its own.
	if objects := bytes.Count(data, []byte("endobj")); objects > 2*MaxObjects || entries > 4*MaxObjects {
		return fmt.Errorf("it has %d objects and %d entries of tables; %d objects are read", objects, entries, MaxObjects)
	}
	for at := 0; ; {
		next := bytes.Index(data[at:], objectWord)
		if next < 0 {
			next = len(data) - at
		}
		if next > maxObject && !bytes.Contains(data[at:at+mostDict], streamWord) {
			return fmt.Errorf("it has an object of %d MiB", next>>20)
		}
		if at += next + len(objectWord); at >= len(data) {
			return nil
		}
	}
}

// dictionaryBefore gives the text of the dictionary that ends data, with its
// names as they are meant (7.3.5): /Obj#53tm is /ObjStm.
func dictionaryBefore(data []byte) []byte {
	data = data[max(0, len(data)-mostDict):]
	if i := bytes.LastIndex(data, objectWord); i >= 0 {
		data = data[i:]
	}
	return unescaped(data)
}

func unescaped(data []byte) []byte {
	return escapedHex.ReplaceAllFunc(data, func(b []byte) []byte {
		c, _ := hex.DecodeString(string(b[1:]))
		return c
	})
}

// Hybrid reports whether a file has a cross-reference stream beside a table
// (ISO 32000-1, 7.5.8.4): objects that some programs see and others do not. Such
// a file is two documents, whichever of them [Read] reads.
func Hybrid(data []byte) bool {
	return bytes.Contains(unescaped(data), []byte("/XRefStm")) // trailers are never packed
}

// unpackedSize gives the size of a packed stream, and no more than one beyond
// most. What cannot be unpacked to its end counts as far as it can.
func unpackedSize(data []byte, most int64) int64 {
	rest := bytes.TrimPrefix(bytes.TrimPrefix(data, []byte("\r")), []byte("\n"))
	r, err := zlib.NewReader(bytes.NewReader(rest))
	if err != nil {
		return 0
	}
	defer r.Close()
	n, _ := io.Copy(io.Discard, io.LimitReader(r, most+1))
	return n
}
