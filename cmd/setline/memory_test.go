//go:build unix

package main

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"testing"
)

// addressSpace is what a command may take of it, in KiB: 2 GiB, on a machine of
// an office as well as on one of a shared server.
const addressSpace = 2 << 20

// fuzzed gives the inputs that the fuzz targets of all packages keep, those
// that are bytes or text.
func fuzzed(t *testing.T) map[string][]byte {
	all := map[string][]byte{}
	top := os.DirFS("../..")
	err := fs.WalkDir(top, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.Contains(name, "/testdata/fuzz/") {
			return err
		}
		text, err := fs.ReadFile(top, name)
		for line := range strings.Lines(string(text)) {
			line = strings.TrimSpace(line)
			for _, kind := range []string{"[]byte(", "string("} {
				quoted, ok := strings.CutPrefix(line, kind)
				if data, no := strconv.Unquote(strings.TrimSuffix(quoted, ")")); ok && no == nil {
					all[strings.ReplaceAll(name, "/", "-")] = []byte(data)
				}
			}
		}
		return err
	})
	if err != nil || len(all) < 100 {
		t.Fatalf("%d inputs found: %v", len(all), err)
	}
	return all
}

// packedZeros gives n zero bytes as zlib packs them.
func packedZeros(t *testing.T, n int) string {
	var b bytes.Buffer
	z := zlib.NewWriter(&b)
	for ; n > 0; n -= 1 << 20 {
		if _, err := z.Write(make([]byte, 1<<20)); err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// greedy are files that ask for far more memory than they take.
func greedy(t *testing.T) map[string][]byte {
	stream := func(dict, data string) string {
		return fmt.Sprintf("<<%s /Length %d>>\nstream\n%s\nendstream", dict, len(data), data)
	}
	pdf := func(objects ...string) []byte {
		var b bytes.Buffer
		b.WriteString("%PDF-1.7\n%\xE2\xE3\xCF\xD3\n")
		at := make([]int, len(objects))
		for i, o := range objects {
			at[i] = b.Len()
			fmt.Fprintf(&b, "%d 0 obj\n%s\nendobj\n", i+1, o)
		}
		table := b.Len()
		fmt.Fprintf(&b, "xref\n0 %d\n0000000000 65535 f \n", len(objects)+1)
		for _, o := range at {
			fmt.Fprintf(&b, "%010d 00000 n \n", o)
		}
		fmt.Fprintf(&b, "trailer\n<</Size %d /Root 1 0 R>>\nstartxref\n%d\n%%%%EOF\n", len(objects)+1, table)
		return b.Bytes()
	}
	bomb := packedZeros(t, 512<<20)
	catalog := "<</Type /Catalog /Pages 2 0 R /AcroForm <</Fields [3 0 R]>>>>"
	pages := "<</Type /Pages /Kids [] /Count 0>>"
	many := make([]string, 900_000)
	for i := range many {
		many[i] = "0"
	}
	table := stream("/Type /XRef /Size 10 /W [1 2 1] /Root 2 0 R /Filter /FlateDecode", bomb)
	return map[string][]byte{
		"cross-reference bomb": []byte("%PDF-1.7\n1 0 obj\n" + table + "\nendobj\nstartxref\n9\n%%EOF\n"),
		"value bomb":           pdf(catalog, pages, "<</T (a) /FT /Tx /V 4 0 R>>", stream("/Filter /FlateDecode", bomb)),
		"attachment bombs":     pdf(catalog, pages, stream("/Type /EmbeddedFile /Filter /FlateDecode", bomb), stream("/Type /EmbeddedFile /Filter /FlateDecode", bomb)),
		"object bombs":         pdf(catalog, pages, stream("/Type /ObjStm /N 1 /First 4 /Filter /FlateDecode", bomb), stream("/Type /ObjStm /N 1 /First 4 /Filter /FlateDecode", bomb)),
		"many objects":         pdf(append([]string{catalog, pages}, many...)...),
		"lists in lists":       pdf(catalog, pages, strings.Repeat("[", 4<<20)+strings.Repeat("]", 4<<20)),
		"long list":            pdf(catalog, pages, "["+strings.Repeat("0 ", 30<<20)+"]"),
		"long name":            pdf(catalog, pages, "/"+strings.Repeat("a", 60<<20)),
		"large and empty":      append([]byte("%PDF-1.7\n"), make([]byte, 200<<20)...),
		"lines in Markdown":    []byte(strings.Repeat("- a: b\n", 2<<20)),
		"lists in JSON":        []byte(strings.Repeat("[", 60<<20)),
	}
}

// TestHostileFilesInLittleMemory: whatever a file holds, a command that has 2 GiB
// of address space ends with a message and with an exit code of its own.
func TestHostileFilesInLittleMemory(t *testing.T) {
	long(t)
	if runtime.GOOS != "linux" {
		t.Skip("only Linux holds a process to its address space (ulimit -v), so this was not checked")
	}
	dir := t.TempDir()
	setline, key := process(t), filepath.Join(dir, "me.pem")
	store(t, key, identityInPEM(t))
	record := filepath.Join(dir, "job.json")
	store(t, record, fetch(t, "../../examples/metric/job.json"))
	t.Setenv(passphraseVariable, "")
	limited := func(args ...string) (int, string) {
		c := exec.Command("sh", append([]string{"-c", fmt.Sprintf(`ulimit -v %d && exec "$0" "$@"`, addressSpace), setline}, args...)...)
		out, _ := c.CombinedOutput()
		return c.ProcessState.ExitCode(), string(out)
	}
	try := func(name string, args ...string) {
		t.Helper()
		code, said := limited(args...)
		if code < 0 || code > exitAfter || code == exitReady && args[0] != "collect" || said == "" || strings.Contains(said, "goroutine ") || strings.Contains(said, "out of memory") {
			t.Errorf("%s of %s: exit code %d\n%.600s", args[0], name, code, said)
		}
	}
	if code, said := limited("check", record); code != exitReady {
		t.Fatalf("not even a good record is read: %d\n%s", code, said)
	}
	pdf, md := filepath.Join(dir, "x.pdf"), filepath.Join(dir, "x.md")
	each := func(name string, data []byte) {
		store(t, pdf, data)
		try(name, "verify", pdf)
		try(name, "sign", pdf, "--identity", key, "--as", "inspector")
		try(name, "collect", record, pdf)
		store(t, md, data)
		try(name, "collect", record, md)
		try(name, "check", md)
	}
	for name, data := range greedy(t) {
		each(name, data)
	}
	n := 0
	for name, data := range fuzzed(t) {
		// Those of the readers of files; with -short one in ten of them.
		if n++; strings.Contains(name, "Collect") || strings.Contains(name, "Verify") || strings.Contains(name, "ReadBack") {
			if !testing.Short() || n%10 == 0 {
				each(name, data)
			}
		}
	}
}
