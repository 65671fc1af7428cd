package report

import (
	"bytes"
	"strings"
	"testing"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	"golang.org/x/text/unicode/norm"
	"setline.example/report/pdf"
	"setline.example/schema/plaintext"
)

// hostile are texts that people might type, by mistake or on purpose, to
// become something else than text.
var hostile = []string{
	"# Heading", "## READY", "> quote", "- item", "+ item", "* item", "1. item", "12) item", "=====", "-----", "***", "___",
	"**READY**", "__READY__", "*a*", "_a_", "`code`", "```", "~~~", "~~gone~~", "a | b", "|---|", "| a |\n|---|",
	"[link](http://x.example)", "![image](x.png)", "<b>bold</b>", "<!-- ", "<http://x.example>", "http://x.example", "www.x.example",
	"me@x.example", "&amp;", "&lt;", "&#35; x", "\\", "\\*", "a\\", "[ref]: http://x.example", "[ ] task", "[^1]",
	"line\n# heading", "line\n\n## heading", "a\tb", "  spaced  ", "    code", "$x$", "{#id}", "Setext\n===", "term\n: definition",
	"\u202edrow", "zero\u200bwidth", "\u00ad", "\ufeff", "nul\x00", "esc\x1b[2J", "\u2028", "é", "e\u0301", "漢字", "🙂", "…",
}

// TestTypedTextStaysText: in a paragraph, in a table cell, in a heading and in
// a list item, typed text shows as it was typed and makes no other element.
func TestTypedTextStaysText(t *testing.T) {
	for _, typed := range hostile {
		want := plaintext.Visible(norm.NFC.String(typed))
		for name, around := range map[string][2]string{
			"paragraph":      {"", ""},
			"after a word":   {"Remark: ", ""},
			"heading":        {"### ", ""},
			"list item":      {"- ", ""},
			"bold":           {"**x ", " x**"},
			"table cell":     {"| a | b |\n|---|---|\n| ", " | z |"},
			"before a line":  {"", "\nnext line"},
			"before a table": {"", "\n\n| a | b |\n|---|---|\n| c | d |"},
		} {
			plain := shape(t, around[0]+"x"+around[1])
			got := shape(t, around[0]+Text(typed).String()+around[1])
			if want == "" {
				continue
			}
			if got.kinds != plain.kinds {
				t.Errorf("%q in a %s makes %s, plain text makes %s", typed, name, got.kinds, plain.kinds)
			}
			if !strings.Contains(got.text, want) {
				t.Errorf("%q in a %s shows as %q", typed, name, got.text)
			}
		}
	}
}

type shaped struct{ kinds, text string }

// shape gives the kinds of the elements of a Markdown text, and its words.
func shape(t *testing.T, markdown string) shaped {
	t.Helper()
	source := []byte(markdown)
	var kinds, words strings.Builder
	err := ast.Walk(pdf.ParseMarkdown(source), func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering {
			return ast.WalkContinue, nil
		}
		switch n := n.(type) {
		case *ast.Text:
			words.WriteString(unescaped(string(n.Segment.Value(source))))
			if n.SoftLineBreak() {
				words.WriteByte(' ')
			}
		case *ast.String:
			words.Write(n.Value)
		default:
			kinds.WriteString(n.Kind().String() + " ")
		}
		return ast.WalkContinue, nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return shaped{kinds.String(), words.String()}
}

// unescaped takes backslashes off as CommonMark does on rendering.
func unescaped(s string) string {
	var b strings.Builder
	for i := 0; i < len(s); i++ {
		if s[i] == '\\' && i+1 < len(s) && strings.IndexByte("!\"#$%&'()*+,-./:;<=>?@[\\]^_`{|}~", s[i+1]) >= 0 {
			i++
		}
		b.WriteByte(s[i])
	}
	return b.String()
}

// TestTypedTextInOtherReaders: also with the extensions that other readers of
// Markdown switch on, typed text makes no link and no markup.
func TestTypedTextInOtherReaders(t *testing.T) {
	md := goldmark.New(goldmark.WithExtensions(extension.GFM, extension.DefinitionList, extension.Footnote))
	for _, typed := range hostile {
		var html bytes.Buffer
		if err := md.Convert([]byte("Remark: "+Text(typed).String()), &html); err != nil {
			t.Fatal(err)
		}
		inside := strings.TrimSuffix(strings.TrimPrefix(strings.TrimSpace(html.String()), "<p>"), "</p>")
		if strings.ContainsAny(inside, "<>") {
			t.Errorf("%q becomes %s", typed, html.String())
		}
	}
}

func FuzzTypedText(f *testing.F) {
	for _, s := range hostile {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, typed string) {
		escaped := Text(typed).String()
		if escaped == "" {
			return
		}
		for _, prefix := range []string{"", "- ", "### ", "Remark: "} {
			if got, want := shape(t, prefix+escaped), shape(t, prefix+"x"); got.kinds != want.kinds {
				t.Errorf("%q makes %s after %q", typed, got.kinds, prefix)
			}
		}
	})
}
