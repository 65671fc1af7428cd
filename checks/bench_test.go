package checks

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"testing"
	"time"

	"setline.example/checks/internal/rooms"
	"setline.example/schema"
	"setline.example/schema/length"
)

// BenchmarkRoom measures reading and checking the annex example beside plain
// decoding of the same bytes into the same types. Compare within one run; the
// last takes turns with plain decoding, so that a busy machine slows both, and
// reports how many times as long it takes:
//
//	go test -run '^$' -bench Room ./checks
func BenchmarkRoom(b *testing.B) {
	data, err := os.ReadFile("../examples/annex/job.json")
	if err != nil {
		b.Fatal(err)
	}
	b.Run("decode only", func(b *testing.B) {
		b.SetBytes(int64(len(data)))
		b.ReportAllocs()
		for b.Loop() {
			var rec schema.Record
			if err := json.Unmarshal(data, &rec); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("read", func(b *testing.B) {
		b.SetBytes(int64(len(data)))
		b.ReportAllocs()
		for b.Loop() {
			if _, _, err := schema.Read("job.json", data); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("read and check", func(b *testing.B) {
		b.SetBytes(int64(len(data)))
		b.ReportAllocs()
		for b.Loop() {
			readAndCheck(b, data)
		}
	})
	b.Run("times plain decoding", func(b *testing.B) {
		var plain, all time.Duration
		for b.Loop() {
			start := time.Now()
			var rec schema.Record
			if err := json.Unmarshal(data, &rec); err != nil {
				b.Fatal(err)
			}
			between := time.Now()
			readAndCheck(b, data)
			plain += between.Sub(start)
			all += time.Since(between)
		}
		b.ReportMetric(float64(all)/float64(plain), "times")
	})
}

// readAndCheck does all that stands between the bytes of a record and its verdicts.
func readAndCheck(b *testing.B, data []byte) {
	rec, src, err := schema.Read("job.json", data)
	if err != nil {
		b.Fatal(err)
	}
	if _, err := Run(rec, src); err != nil {
		b.Fatal(err)
	}
}

// BenchmarkGrowth measures judging alone for records of 50, 500 and 5,000
// cabinets: in rooms of the usual size; in one run, in which all is right; in one
// under the guarded rule; and in one that is out of level from end to end. Look
// at the time per cabinet:
//
//	go test -run '^$' -bench Growth ./checks
func BenchmarkGrowth(b *testing.B) {
	one := func(n int) rooms.Size { return rooms.Size{Rooms: 1, Elevations: 1, Cabinets: n} }
	for _, shape := range []struct {
		name string
		size func(cabinets int) rooms.Size
		edit func(*schema.Record)
	}{
		{"rooms of 10", func(n int) rooms.Size { return rooms.Size{Rooms: n / 10, Elevations: 2, Cabinets: 5} }, func(*schema.Record) {}},
		{"one run", one, func(*schema.Record) {}},
		{"one run, guarded", one, func(rec *schema.Record) { rec.Planned.DecisionRule = Guarded }},
		{"one run, out of level", one, outOfLevel},
	} {
		for _, n := range []int{50, 500, 5000} {
			rec := rooms.New(rand.New(rand.NewPCG(1, 2)), shape.size(n))
			shape.edit(rec)
			data, err := json.Marshal(rec)
			if err != nil {
				b.Fatal(err)
			}
			rec, src, err := schema.Read("job.json", data)
			if err != nil {
				b.Fatal(err)
			}
			b.Run(fmt.Sprintf("%s/%d cabinets", shape.name, n), func(b *testing.B) {
				for b.Loop() {
					if _, err := Run(rec, src); err != nil {
						b.Fatal(err)
					}
				}
				b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/cabinet")
			})
		}
	}
}

// outOfLevel lets every cabinet of an elevation stand lower than the one on its left.
func outOfLevel(rec *schema.Record) {
	room := rec.Planned.Rooms[0]
	seen := rec.Measured.Visits[0].Rooms[room.Name]
	for i, u := range room.Elevations[0].Units {
		c, ok := seen.Cabinets[u.Tag]
		if !ok {
			continue
		}
		for _, top := range []*length.Length{c.Tops.FL, c.Tops.FR, c.Tops.BL, c.Tops.BR} {
			*top += length.Length(i) * length.Inch / 16
		}
	}
}

// BenchmarkPlausible measures what it takes to hold all readings of a large room
// against what they are plausible beside.
func BenchmarkPlausible(b *testing.B) {
	rec := rooms.New(rand.New(rand.NewPCG(1, 2)), rooms.Size{Rooms: 4, Elevations: 4, Cabinets: 12})
	f := newFacts(rec, rec.Measured.VisitsInTime())
	b.ReportAllocs()
	for b.Loop() {
		for _, r := range f.rooms {
			for _, e := range r.elevations {
				f.doubts(r, e, 0)
			}
		}
	}
}
