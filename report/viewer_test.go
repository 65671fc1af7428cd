package report

import (
	"testing"

	"setline.example/checks/say"
	"setline.example/schema/length"
)

// TestDecimal: two significant digits, no zeros that say nothing, and none lost
// that does.
func TestDecimal(t *testing.T) {
	for nm, want := range map[float64]string{
		0: "0", 120_000: "0.12", 100_000: "0.1", 1_040_000: "1", 1_500_000: "1.5", 10_000_000: "10", 123_400_000: "123", 99_600: "0.1", 1234: "0.0012",
	} {
		b := &viewer{words: say.Writer{Lengths: length.Metric}}
		if got := b.decimal(nm); got != want+" mm" {
			t.Errorf("%v nm is written %q mm, want %q", nm, got, want)
		}
	}
}
