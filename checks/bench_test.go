package checks

import (
	"encoding/json"
	"os"
	"testing"

	"setline.example/schema"
)

// BenchmarkRoom measures reading and checking the annex example beside plain
// decoding of the same bytes into the same types. Compare within one run:
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
			rec, src, err := schema.Read("job.json", data)
			if err != nil {
				b.Fatal(err)
			}
			if _, err := Run(rec, src); err != nil {
				b.Fatal(err)
			}
		}
	})
}
