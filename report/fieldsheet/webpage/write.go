package webpage

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/base64"
	"fmt"
	"io"
	"path"
	"strings"
	"sync"
	"unicode/utf16"
	"unicode/utf8"

	"github.com/klauspost/compress/gzip"
	"setline.example/report/fieldsheet"
	"setline.example/schema/plaintext"
)

//go:generate go run ./generate web

// web holds the page itself.
//
//go:embed web/*.js web/page.css web/rules.wasm
var web embed.FS

// engine and scripts are the files of the two scripts of a page, in order. The
// first is what a worker runs too; it is Go's own support for its programs and a
// little more.
var (
	engine  = []string{"wasm_exec.js", "engine.js"}
	scripts = []string{"data.js", "answers.js", "rules.js", "status.js", "boxes.js", "pad.js", "draw.js", "photos.js", "keep.js", "drafts.js", "save.js", "print.js", "main.js"}
)

// Marks of the blocks that a page carries, by which it is read back.
const (
	planBlock    = "setline-plan"
	answersBlock = "setline-answers"
	photoBlock   = "setline-photo-" // and the SHA-256 of the picture
	noAnswers    = `{"setline_answers":1,"entries":{},"stands":[],"photos":[]}`
)

// Write writes a sheet as a page of one file, that needs no network and no
// server.
func Write(w io.Writer, s *fieldsheet.Sheet) error {
	text, err := document(s, false)
	if err == nil {
		_, err = w.Write(text)
	}
	return err
}

// document is the page. Its parts stand as a browser writes them when it saves
// them, so that a copy that holds no answers is this page byte for byte.
func document(s *fieldsheet.Sheet, served bool) ([]byte, error) {
	plan, err := s.Plan()
	if err != nil {
		return nil, err
	}
	a, err := (&writer{s}).asked()
	if err != nil {
		return nil, err
	}
	questions, err := a.encode()
	if err != nil {
		return nil, err
	}
	sheet, err := packed(questions)
	if err != nil {
		return nil, err
	}
	rules, err := rules()
	if err != nil {
		return nil, err
	}
	first, second, look := join(engine...), "\"use strict\";(() => {\n"+join(scripts...)+"})();\n", join("page.css")
	head := []string{
		`<meta data-setline="" charset="utf-8">`,
		`<meta data-setline="" http-equiv="Content-Security-Policy" content="` + policy(served, look, first, second) + `">`,
		`<meta data-setline="" name="viewport" content="width=device-width, initial-scale=1, viewport-fit=cover">`,
		`<meta data-setline="" name="referrer" content="no-referrer">`,
		`<title data-setline="">` + plain(plaintext.Visible(a.Title+": "+a.Job)) + `</title>`,
	}
	if served {
		head = append(head, `<link data-setline="" rel="manifest" href="manifest.webmanifest">`, `<link data-setline="" rel="icon" href="icon.png">`, `<link data-setline="" rel="apple-touch-icon" href="icon.png">`)
	}
	head = append(head, `<style data-setline="">`+look+`</style>`)
	body := []string{
		`<div id="setline-app" data-setline=""></div>`,
		`<noscript data-setline=""><p>` + plain(s.Say.Words("This sheet is filled in with JavaScript, which is off in this browser. Turn it on, or fill in the sheet as PDF or on paper.")) + `</p></noscript>`,
		block("text/plain", planBlock, plan),
		block("application/json", answersBlock, noAnswers),
		block("text/plain", "setline-sheet", sheet),
		`<script id="setline-engine" data-setline="">` + first + `</script>`,
		`<script id="setline-page" data-setline="">` + second + `</script>`,
		block("text/plain", "setline-rules", rules), // last: the page is drawn while it is read
	}
	return []byte("<!DOCTYPE html>\n<html lang=\"en\"><head>" + strings.Join(head, "\n") + "</head><body>" + strings.Join(body, "\n") + "</body></html>"), nil
}

// rules is the program of the page, packed once for all pages of a job.
var rules = sync.OnceValues(func() (string, error) {
	program, err := web.ReadFile("web/rules.wasm")
	if err != nil {
		return "", err
	}
	return packed(program)
})

func block(kind, id, text string) string {
	return `<script type="` + kind + `" id="` + id + `" data-setline="">` + text + `</script>`
}

// policy lets a page run the scripts and the look that it was made with, the
// program that is in it, and nothing from anywhere (Content Security Policy
// Level 3). One that is served may also have its worker and its manifest.
func policy(served bool, look string, code ...string) string {
	var sums []string
	for _, text := range code {
		sums = append(sums, sum(text))
	}
	workers, more := "blob:", ""
	if served {
		workers, more = "'self' blob:", " 'self'; manifest-src 'self'"
	}
	// Drawings size their parts through the style of elements; an attribute cannot
	// load anything under this policy.
	return "default-src 'none'; script-src " + strings.Join(sums, " ") + " 'wasm-unsafe-eval'; worker-src " + workers +
		"; style-src " + sum(look) + "; img-src data: blob:" + more + "; base-uri 'none'; form-action 'none'"
}

func sum(text string) string {
	h := sha256.Sum256([]byte(text))
	return "'sha256-" + base64.StdEncoding.EncodeToString(h[:]) + "'"
}

// join puts files of the page together.
func join(names ...string) string {
	var b strings.Builder
	for _, name := range names {
		text, err := web.ReadFile("web/" + name)
		if err != nil {
			panic(fmt.Sprintf("the program lacks a file of the page: %v", err)) // it is embedded
		}
		b.WriteString(inASCII(string(text), path.Ext(name)))
	}
	return b.String()
}

// inASCII writes a script or a style sheet without a character beyond ASCII: one
// such and a browser holds all of the page, most of which is the program, in twice
// the memory, and reads it a third slower.
func inASCII(text, kind string) string {
	var b strings.Builder
	for _, r := range text {
		switch {
		case r < utf8.RuneSelf:
			b.WriteRune(r)
		case kind == ".css":
			fmt.Fprintf(&b, "\\%x ", r) // the space ends it
		default:
			for _, unit := range utf16.AppendRune(nil, r) {
				fmt.Fprintf(&b, "\\u%04x", unit)
			}
		}
	}
	return b.String()
}

// plain is text as a browser writes it.
func plain(s string) string {
	return strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", "\u00a0", "&nbsp;").Replace(s)
}

// packed makes data small, and text that no editor and no browser changes: gzip
// (RFC 1952) without a date, in base64. The library's version is fixed, so that
// the same data gives the same text.
func packed(data []byte) (string, error) {
	var b bytes.Buffer
	w, err := gzip.NewWriterLevel(&b, gzip.BestCompression)
	if err != nil {
		return "", err
	}
	if _, err := w.Write(data); err != nil {
		return "", err
	}
	if err := w.Close(); err != nil {
		return "", err
	}
	return base64.StdEncoding.EncodeToString(b.Bytes()), nil
}
