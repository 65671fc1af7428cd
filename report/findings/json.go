package findings

import (
	"bufio"
	"bytes"
	"encoding/json"
	"io"

	"setline.example/schema/plaintext"
)

// jsonWriter writes a [Report] piece by piece.
type jsonWriter struct {
	w    *bufio.Writer
	some bool // a record has been written
}

func newJSON(w io.Writer) Writer { return &jsonWriter{w: bufio.NewWriter(w)} }

func (j *jsonWriter) Begin(run Run) error {
	j.w.WriteString("{\n")
	j.member("setline_findings", Form)
	j.member("program", run.Program)
	j.member("shown", run.Shown)
	_, err := j.w.WriteString(`  "files": [`)
	return err
}

// member writes one member of the outermost object, and a comma.
func (j *jsonWriter) member(name string, v any) {
	j.w.WriteString(`  "` + name + `": `)
	j.w.Write(encoded(v, "  "))
	j.w.WriteString(",\n")
}

func (j *jsonWriter) File(f *File) error {
	if j.some {
		j.w.WriteString(",")
	}
	j.some = true
	j.w.WriteString("\n    ")
	j.w.Write(encoded(f, "    "))
	return j.w.Flush()
}

func (j *jsonWriter) End(sum Summary, _ int) error {
	if j.some {
		j.w.WriteString("\n  ")
	}
	j.w.WriteString("],\n  \"summary\": ")
	j.w.Write(encoded(sum, "  "))
	j.w.WriteString("\n}\n")
	return j.w.Flush()
}

// encoded writes v as JSON, indented for people who read a difference of two
// such files. Everything given to it can be encoded.
func encoded(v any, prefix string) []byte {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent(prefix, "  ")
	if err := e.Encode(v); err != nil {
		panic(err)
	}
	return plaintext.JSON(bytes.TrimRight(b.Bytes(), "\n"))
}
