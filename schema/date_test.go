package schema

import (
	"fmt"
	"testing"
	"time"

	"setline.example/schema/chance"
)

// TestDay: a day is read as Go's own reader of times reads it, for every day and
// every slip of some years, and for dates in which a character is another.
func TestDay(t *testing.T) {
	same := func(text string) {
		t.Helper()
		want, err := time.Parse(time.DateOnly, text)
		got, ok := Date(text).Day()
		if ok != (err == nil) || ok && got != want {
			t.Fatalf("%q: %v, %v, want %v, %v", text, got, ok, want, err)
		}
	}
	for _, year := range []int{0, 1, 1600, 1899, 1900, 1999, 2000, 2024, 2026, 2100, 9999} {
		for month := range 15 {
			for day := range 34 {
				same(fmt.Sprintf("%04d-%02d-%02d", year, month, day))
			}
		}
	}
	for _, text := range []string{"", "2026", "2026-1-01", "2026-01-1", "02026-01-01", "2026-01-01 ", "2026/01/01", "-026-01-01", "+026-01-01", "2026-001-1", "２026-01"} {
		same(text)
	}
	rng := chance.Source(t)
	for range 20_000 {
		text := []byte("2026-02-28")
		text[rng.IntN(len(text))] = byte(rng.IntN(128))
		same(string(text))
	}
}
