package plaintext

import (
	"bytes"
	"encoding/json"
	"io"
	"strings"
	"testing"
)

// TestLines: no line is a command, however it comes in parts; all else is as it was.
func TestLines(t *testing.T) {
	for text, want := range map[string]string{
		"::error::x\n":          "‹U+003A›:error::x\n",
		" \t::stop::\n":         " \t‹U+003A›:stop::\n",
		"a::b: ##[error]x\n":    "a::b: ##‹U+005B›error]x\n",
		"a ##task[x]##Do[\nb\n": "a ##task‹U+005B›x]##Do‹U+005B›\nb\n",
		"###[\n":                "###‹U+005B›\n",
		"# [a](b) ## c [d]\n":   "# [a](b) ## c [d]\n",
		"a\n::b\nno end":        "a\n‹U+003A›:b\n",
		"":                      "",
	} {
		for size := 1; size <= len(text)+1; size++ {
			var out strings.Builder
			w := Lines(&out)
			for part := range slicesOf(text, size) {
				if n, err := io.WriteString(w, part); err != nil || n != len(part) {
					t.Fatal(n, err)
				}
			}
			if out.String() != want {
				t.Errorf("%q by %d: %q, want %q", text, size, out.String(), want)
			}
		}
	}
}

func slicesOf(s string, size int) func(func(string) bool) {
	return func(yield func(string) bool) {
		for len(s) > 0 {
			n := min(size, len(s))
			if !yield(s[:n]) {
				return
			}
			s = s[n:]
		}
	}
}

// TestJSON: the value is the same, and nothing in it acts on who reads the text.
func TestJSON(t *testing.T) {
	for _, value := range []string{
		"a", "Žofie", "\u009b31m\u007f", "\u202eb\u200b\ufeff", "\U000e0041\U000f0000", "😀", "##[x] ##task[y]", "\ufffd", "‹\"\\\u2028",
	} {
		var b bytes.Buffer
		e := json.NewEncoder(&b)
		e.SetEscapeHTML(false)
		if err := e.Encode([]string{value}); err != nil {
			t.Fatal(err)
		}
		text := JSON(b.Bytes())
		var back []string
		if err := json.Unmarshal(text, &back); err != nil || back[0] != value {
			t.Errorf("%q becomes %s, read as %q (%v)", value, text, back, err)
		}
		if strings.ContainsFunc(strings.TrimSpace(string(text)), Invisible) || noCommand(string(text)) != string(text) {
			t.Errorf("%q becomes %s", value, text)
		}
	}
	if got := JSON([]byte(`"a\u009b"`)); string(got) != `"a\u009b"` {
		t.Errorf("%s", got)
	}
}
