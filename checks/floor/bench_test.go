package floor

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"setline.example/schema/length"
)

// surveyed is a floor of n readings 12 in apart, always the same.
func surveyed(n int) Line {
	rng := rand.New(rand.NewPCG(1, 2))
	return profile(n, func(int) int64 { return rng.Int64N(int64(inch) / 4) })
}

var counts = []int{10, 1000, 10_000}

func BenchmarkDownAt(b *testing.B) {
	for _, n := range counts {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			l := surveyed(n)
			x := l[0].At
			step := (l[n-1].At - l[0].At) / 97
			b.ReportAllocs()
			for b.Loop() {
				if x += step; x > l[n-1].At {
					x = l[0].At + 1
				}
				if _, ok := l.DownAt(x); !ok {
					b.Fatal("outside")
				}
			}
		})
	}
}

func BenchmarkStraightedgeGap(b *testing.B) {
	for _, n := range counts {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			l := surveyed(n)
			b.ReportAllocs()
			for b.Loop() {
				if _, ok := l.StraightedgeGap(10 * length.Foot); !ok {
					b.Fatal("nothing to see")
				}
			}
		})
	}
}

func BenchmarkFNumbers(b *testing.B) {
	for _, n := range counts {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			l := surveyed(n)
			b.ReportAllocs()
			for b.Loop() {
				if f := l.FNumbers(); n > 11 != f.HasFL {
					b.Fatal(f)
				}
			}
		})
	}
}
