package pdf

import (
	"strings"
	"testing"

	"setline.example/schema/chance"
)

// TestPlainWidth: the widths of a plain text add up to those of its glyphs, as
// they are drawn, and a text that is not plain has no width without them.
func TestPlainWidth(t *testing.T) {
	rng := chance.Source(t)
	var fonts fontSet
	for range 2000 {
		b := make([]byte, rng.IntN(40))
		for i := range b {
			b[i] = byte(' ' + rng.IntN(95))
		}
		text, bold := strings.Join(strings.Fields(string(b)), " "), rng.IntN(2) == 0
		want := newLine(fonts.glyphs(nil, text, style{bold: bold})).width
		if got, ok := fonts.plainWidth(text, style{bold: bold}); !ok || got != want {
			t.Fatalf("%q: %d, %v, its glyphs are %d wide", text, got, ok, want)
		}
	}
	for _, text := range []string{" a", "a ", "a  b", "½", "a\nb", "é"} {
		if w, ok := fonts.plainWidth(text, style{}); ok {
			t.Errorf("%q: %d without its glyphs", text, w)
		}
	}
}

func BenchmarkTextWidth(b *testing.B) {
	for b.Loop() {
		TextWidth(8, false, "Fastened at the upper rear: 1/2 in screws through side")
	}
}
