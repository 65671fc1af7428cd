package checks

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"setline.example/checks/internal/rooms"
	"setline.example/schema"
)

// visited gives a record whose one visit was made so many times.
func visited(size rooms.Size, visits int) *schema.Record {
	rec := rooms.New(rand.New(rand.NewPCG(1, 2)), size)
	for range visits - 1 {
		rec.Measured.Visits = append(rec.Measured.Visits, rec.Measured.Visits[0])
	}
	return rec
}

// BenchmarkHistory measures the history of a room of 100 to 1,000 visits, and
// of 10 to 1,000 rooms of two. Look at the time per visit or room, which must
// not grow:
//
//	go test -run '^$' -bench History -benchtime 3x ./checks
func BenchmarkHistory(b *testing.B) {
	run := func(name string, rec *schema.Record, n int) {
		_, src := source(b, rec)
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if _, err := History(rec, src); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/float64(n), "µs/each")
		})
	}
	for _, n := range []int{100, 200, 400, 1000} {
		run(fmt.Sprintf("%d visits", n), visited(rooms.Size{Rooms: 1, Elevations: 1, Cabinets: 5}, n), n)
	}
	for _, n := range []int{10, 100, 1000} {
		run(fmt.Sprintf("%d rooms", n), visited(rooms.Size{Rooms: n, Elevations: 1, Cabinets: 5}, 2), n)
	}
}
