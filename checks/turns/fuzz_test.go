package turns

import (
	"testing"

	"setline.example/checks/zone"
	"setline.example/schema/chance"
	"setline.example/schema/length"
)

// FuzzSolve: whatever heights, bolts and decision rule, there is an answer, and
// where it is one it passes.
func FuzzSolve(f *testing.F) {
	f.Add([]byte{1, 2, 3, 4, 5, 6, 7, 8}, int64(396_875), int64(0), int64(16), int64(0), true)
	f.Add([]byte{200, 2, 3, 90, 5, 6, 7, 8, 1, 1, 1, 1}, int64(1), int64(1<<40), int64(3), int64(1), false)
	f.Fuzz(func(t *testing.T, heights []byte, scale, travel, pitch, guard int64, marked bool) {
		if len(heights) < 4 || len(heights) > 40 {
			return
		}
		all := row(24*inch, make([]int, len(heights)/4*4)...)
		for i := range all {
			c := &all[i]
			c.H = length.Length(int64(heights[i]&^128) * scale)
			if c.Step, _ = Eighth(int(pitch&63), length.Length(pitch>>8)); c.Step.Num <= 0 {
				return
			}
			c.Travel, c.Down, c.Up, c.Reserve = travel != 0, length.Length(travel), length.Length(travel>>3), length.Length(travel>>5)
		}
		if heights[0] > 127 {
			joined(all)
		}
		r := usual(all)
		r.Marked = marked
		if guard != 0 {
			r.Guard = func([]zone.Weight) (length.Length, bool) { return length.Length(guard), guard > 0 }
		}
		if a := Solve(r); a.Solved && guard >= 0 && !passes(&r, a.Eighths) {
			t.Fatalf("%v does not pass with %+v", r.Corners, a)
		}
	})
}

// BenchmarkSolve finds what to turn in runs of 20 cabinets.
//
//	go test -run '^$' -bench . ./checks/turns
func BenchmarkSolve(b *testing.B) {
	rng := chance.Source(b)
	for _, c := range []struct {
		name   string
		spread int
	}{{"few wrong", 2}, {"most wrong", 8}} {
		var runs []Run
		for range 50 {
			heights := make([]int, 80)
			for i := range heights {
				heights[i] = rng.IntN(2*c.spread+1) - c.spread
			}
			runs = append(runs, usual(row(24*inch, heights...)))
		}
		b.Run(c.name, func(b *testing.B) {
			for i := 0; b.Loop(); i++ {
				Solve(runs[i%len(runs)])
			}
		})
	}
}
