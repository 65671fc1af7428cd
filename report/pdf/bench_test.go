package pdf

import (
	"io"
	"testing"
)

// BenchmarkWrite writes the sample: four pages in six fonts.
func BenchmarkWrite(b *testing.B) {
	d := sample()
	for b.Loop() {
		if err := Write(io.Discard, d); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkLayOut draws nothing.
func BenchmarkLayOut(b *testing.B) {
	d := sample()
	for b.Loop() {
		if err := layOut(d, leastPiece, func(*Layout) func(page) { return func(page) {} }); err != nil {
			b.Fatal(err)
		}
	}
}
