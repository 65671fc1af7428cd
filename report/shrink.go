package report

import (
	"image"
	"image/draw"
)

// shrunk scales a picture down to w by h pixels, of which each is the mean of
// the area it covers. It computes in whole numbers, so that a photograph
// becomes the same copy on every processor; the filters of
// golang.org/x/image/draw do not.
func shrunk(img image.Image, w, h int) *image.RGBA {
	b := img.Bounds()
	wide, high := b.Dx(), b.Dy()
	out := image.NewRGBA(image.Rect(0, 0, w, h))
	row := image.NewRGBA(image.Rect(0, 0, wide, 1))
	across, held := make([]uint64, 4*w), -1 // the sums of a row of img, and which
	sums := make([]uint64, 4*w)
	area := uint64(wide) * uint64(high)
	for y := range h {
		clear(sums)
		shares(y, h, high, func(i int, part uint64) {
			if i != held {
				draw.Draw(row, row.Bounds(), img, image.Pt(b.Min.X, b.Min.Y+i), draw.Src)
				sumAcross(across, row.Pix, w, wide)
				held = i
			}
			for k, v := range across {
				sums[k] += v * part
			}
		})
		for k, v := range sums {
			out.Pix[y*out.Stride+k] = uint8((v + area/2) / area)
		}
	}
	return out
}

// sumAcross adds up the pixels of a row for each of the w that it becomes.
func sumAcross(sums []uint64, pix []uint8, w, wide int) {
	clear(sums)
	for x := range w {
		to := sums[4*x : 4*x+4 : 4*x+4]
		shares(x, w, wide, func(i int, part uint64) {
			p := pix[4*i : 4*i+4 : 4*i+4]
			to[0] += uint64(p[0]) * part
			to[1] += uint64(p[1]) * part
			to[2] += uint64(p[2]) * part
			to[3] += uint64(p[3]) * part
		})
	}
}

// shares calls f for every one of many places of which part n of parts takes
// some; a whole place counts as parts.
func shares(n, parts, many int, f func(place int, part uint64)) {
	for from, end := n*many, (n+1)*many; from < end; {
		place := from / parts
		to := min((place+1)*parts, end)
		f(place, uint64(to-from))
		from = to
	}
}
