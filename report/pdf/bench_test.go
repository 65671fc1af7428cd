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

// BenchmarkLayOut leaves out what fpdf does.
func BenchmarkLayOut(b *testing.B) {
	d := sample()
	for b.Loop() {
		if _, err := layOut(d); err != nil {
			b.Fatal(err)
		}
	}
}
