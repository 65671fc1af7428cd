package rest

import (
	"fmt"
	"math/big"
	"slices"
	"testing"

	"setline.example/schema/length"
)

const inch = length.Inch

// at is a support at so many inches, and so many 64ths of an inch up.
func at(x, y, z int64) Support {
	return Support{length.Length(x) * inch, length.Length(y) * inch, big.NewRat(z*int64(inch), 64)}
}

func centre(x, y float64) Centre {
	return Centre{new(big.Rat).SetFloat64(x * float64(inch)), new(big.Rat).SetFloat64(y * float64(inch))}
}

// TestClosedForms: cases that can be worked out on paper. Gaps are in 64ths.
func TestClosedForms(t *testing.T) {
	for _, tc := range []struct {
		name     string
		x, y     float64
		supports []Support
		state    State
		gaps     []string // of each way, of each support
	}{
		{"nothing", 0, 0, nil, Tipping, nil},
		{"one support under the middle", 2, 3, []Support{at(2, 3, 5)}, OnEdge, nil},
		{"one support beside the middle", 2, 3, []Support{at(3, 3, 5)}, Tipping, nil},
		{"three", 8, 7, []Support{at(0, 0, 0), at(24, 0, 5), at(0, 22, 9)}, Steady, []string{"0 0 0"}},
		{"three, the middle on one side", 12, 0, []Support{at(0, 0, 0), at(24, 0, 5), at(0, 22, 9)}, OnEdge, []string{"0 0 0"}},
		{"three, the middle on a corner", 0, 22, []Support{at(0, 0, 0), at(24, 0, 5), at(0, 22, 9)}, OnEdge, []string{"0 0 0"}},
		{"three, the middle beside them", 20, 20, []Support{at(0, 0, 0), at(24, 0, 5), at(0, 22, 9)}, Tipping, nil},
		{"a level cabinet", 12, 11, box(0, 0, 0, 0), Steady, []string{"0 0 0 0"}},
		{"a tilted cabinet", 12, 11, box(0, 6, 11, 17), Steady, []string{"0 0 0 0"}},
		{"one corner low", 12, 11, box(-4, 0, 0, 0), Rocking, []string{"4 0 0 0", "0 0 0 4"}},
		{"one corner high", 12, 11, box(4, 0, 0, 0), Rocking, []string{"0 4 0 0", "0 0 4 0"}},
		{"one corner low, overhang in front", 12, 11.5, box(-4, 0, 0, 0), Steady, []string{"0 0 0 4"}},
		{"one corner low, overhang to the right", 12.25, 11, box(-4, 0, 0, 0), Steady, []string{"4 0 0 0"}},
		{"the middle as far out as the front", 12, 22, box(0, 0, 0, 0), OnEdge, []string{"0 0 0 0"}},
		{"the middle in front of the front", 12, 22.25, box(0, 0, 0, 0), Tipping, nil},
		{"a line, the middle on it", 12, 0, []Support{at(0, 0, 0), at(9, 0, 7), at(24, 0, 0)}, OnEdge, nil},
		{"a line, the middle at its end", 24, 0, []Support{at(0, 0, 0), at(9, 0, 7), at(24, 0, 0)}, OnEdge, nil},
		{"a line, the middle beyond its end", 25, 0, []Support{at(0, 0, 0), at(9, 0, 7), at(24, 0, 0)}, Tipping, nil},
		{"a line, the middle beside it", 12, 1, []Support{at(0, 0, 0), at(9, 0, 7), at(24, 0, 0)}, Tipping, nil},
		{"two at one place, the higher carries", 12, 11, append(box(0, 0, 0, 0), at(24, 22, -3)), Steady, []string{"0 0 0 0 3"}},
		{
			"a high spot under the middle: rocks every way", 12, 11,
			append(box(0, 0, 0, 0), at(12, 11, 2)), Rocking,
			[]string{"4 4 0 0 0", "0 4 0 4 0", "4 0 4 0 0", "0 0 4 4 0"},
		},
	} {
		t.Run(tc.name, func(t *testing.T) {
			r := Of(centre(tc.x, tc.y), tc.supports)
			var gaps []string
			for _, w := range r.Ways {
				gaps = append(gaps, sixtyFourths(w))
			}
			slices.Sort(gaps)
			slices.Sort(tc.gaps)
			if r.State != tc.state || !slices.Equal(gaps, tc.gaps) {
				t.Errorf("%s %q, want %s %q", r.State, gaps, tc.state, tc.gaps)
			}
		})
	}
}

// box is a cabinet of 24 in by 22 in with its corners so high: front-left,
// front-right, back-left, back-right.
func box(fl, fr, bl, br int64) []Support {
	return []Support{at(0, 22, fl), at(24, 22, fr), at(0, 0, bl), at(24, 0, br)}
}

func sixtyFourths(w Way) string {
	text := ""
	for i, gap := range w.Gaps {
		if i > 0 {
			text += " "
		}
		text += new(big.Rat).Quo(gap, big.NewRat(int64(inch), 64)).RatString()
	}
	return text
}

// TestOrderOfWays: the most level way comes first; of two that are as level the
// one that is lower in front.
func TestOrderOfWays(t *testing.T) {
	for _, tc := range []struct {
		corners []Support
		first   string
	}{
		{box(-4, 0, 0, 0), "4 0 0 0"}, // level
		{box(4, 0, 0, 4), "0 0 8 0"},  // on both front corners and one behind
		{box(0, 4, 4, 0), "0 0 0 8"},
		{box(4, 0, 0, 0), "0 0 4 0"}, // down along the longer side
	} {
		if got := sixtyFourths(Of(centre(12, 11), tc.corners).Ways[0]); got != tc.first {
			t.Errorf("gaps %s, want %s", got, tc.first)
		}
	}
}

// TestWeights: of three supports they are how often each counts in the height of
// a plane through them; of four those of the plane of least squares.
func TestWeights(t *testing.T) {
	three := Of(centre(12, 12), box(-4, 0, 0, 0)).Ways[0]
	if got := fmt.Sprintf("%.6f %v", three.Weights(3), three.On); got != "[-1.000000 1.000000 1.000000] [0 1 2]" {
		t.Error(got)
	}
	four := Of(centre(12, 12), append(box(0, 0, 0, 0), at(12, 11, -4), at(48, 11, -4))).Ways[0]
	for support, want := range map[int]string{4: "[0.25 0.25 0.25 0.25]", 5: "[-0.50 1.00 -0.50 1.00]"} {
		if got := fmt.Sprintf("%.2f", four.Weights(support)); got != want {
			t.Errorf("support %d: %s, want %s", support, got, want)
		}
	}
}
