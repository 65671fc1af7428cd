package report

import (
	"image"
	"image/color"
	"math/rand/v2"
	"testing"
)

// TestShrunk holds the scaled copy to means taken the slow way: every pixel is
// written out as many times as it takes for all areas to be whole.
func TestShrunk(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for _, size := range [][4]int{{7, 5, 3, 2}, {4, 4, 2, 2}, {9, 1, 4, 1}, {5, 8, 5, 3}, {6, 6, 6, 6}, {13, 11, 12, 10}, {3, 2, 1, 1}} {
		wide, high, w, h := size[0], size[1], size[2], size[3]
		img := image.NewRGBA(image.Rect(-2, 3, wide-2, high+3)) // not every picture begins at 0, 0
		for i := range img.Pix {
			img.Pix[i] = uint8(rng.IntN(256))
			if i%4 == 3 {
				img.Pix[i] = 255
			}
		}
		got := shrunk(img, w, h)
		for y := range h {
			for x := range w {
				if want := slowMean(img, x, y, w, h); got.RGBAAt(x, y) != want {
					t.Errorf("%d by %d to %d by %d: at %d, %d found %v, want %v", wide, high, w, h, x, y, got.RGBAAt(x, y), want)
				}
			}
		}
	}
}

func slowMean(img *image.RGBA, x, y, w, h int) color.RGBA {
	b := img.Bounds()
	var sum [3]int
	n := 0
	for v := y * b.Dy(); v < (y+1)*b.Dy(); v++ {
		for u := x * b.Dx(); u < (x+1)*b.Dx(); u++ {
			c := img.RGBAAt(b.Min.X+u/w, b.Min.Y+v/h)
			sum[0], sum[1], sum[2], n = sum[0]+int(c.R), sum[1]+int(c.G), sum[2]+int(c.B), n+1
		}
	}
	mean := func(s int) uint8 { return uint8((s + n/2) / n) }
	return color.RGBA{mean(sum[0]), mean(sum[1]), mean(sum[2]), 255}
}

// BenchmarkShrunk is a photograph of 12 million pixels, as telephones take them.
func BenchmarkShrunk(b *testing.B) {
	img := image.NewYCbCr(image.Rect(0, 0, 4000, 3000), image.YCbCrSubsampleRatio420)
	for b.Loop() {
		shrunk(img, photoPixels, photoPixels*3/4)
	}
}
