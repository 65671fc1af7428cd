package schema

import (
	"encoding/json"
	"fmt"
	"os"
	"runtime"
	"strings"
	"testing"
)

// longest gives the length of the longest number in plain values.
func longest(tree any) int {
	n := 0
	switch v := tree.(type) {
	case map[string]any:
		for _, item := range v {
			n = max(n, longest(item))
		}
	case []any:
		for _, item := range v {
			n = max(n, longest(item))
		}
	case json.Number:
		n = len(v)
	}
	return n
}

// TestNoLongNumbers: a number of more digits than any value needs is refused
// where it stands, before anything computes with it, wherever in a record it is.
func TestNoLongNumbers(t *testing.T) {
	data, err := os.ReadFile("../examples/metric/job.json")
	if err != nil {
		t.Fatal(err)
	}
	places := []string{`"width": "600 mm"`, `"setline": 1`, `"name": "`}
	for _, number := range []string{"7", "0.", "-1e", "1.5E+"} {
		for _, place := range places {
			name, _, _ := strings.Cut(place, ": ")
			digits := strings.Repeat("0", mostDigits+1)
			text := strings.Replace(string(data), place, name+": "+number+digits+", "+`"x": "`, 1)
			if strings.HasPrefix(place, `"name"`) { // inside a text of its own, so that JSON stays whole
				text = strings.Replace(string(data), place, `"x": [[`+number+digits+`]], `+place, 1)
			}
			src := NewSource("job.json", []byte(text))
			b := newTreeBuilder(src)
			if tree, err := b.whole(); err == nil {
				t.Errorf("%s%s at %s: read, with %d characters", number, "0…", place, longest(tree))
			}
			if _, ok := decode([]byte(text)); ok {
				t.Errorf("%s at %s: read at once", number, place)
			}
		}
	}
	// The longest that is read has as many.
	most := "0." + strings.Repeat("0", mostDigits-2)
	b := newTreeBuilder(NewSource("x", []byte("["+most+"]")))
	if tree, err := b.whole(); err != nil || longest(tree) != mostDigits {
		t.Errorf("%v, %v", tree, err)
	}
}

// TestDigitsCostNoMore: what is allocated to refuse a number grows with the
// file and no faster: twice the digits, twice the memory at most.
func TestDigitsCostNoMore(t *testing.T) {
	data, err := os.ReadFile("../examples/metric/job.json")
	if err != nil {
		t.Fatal(err)
	}
	cost := func(digits int) uint64 {
		text := []byte(strings.Replace(string(data), `"width": "600 mm"`, `"width": `+strings.Repeat("7", digits), 1))
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		_, _, err := Read("job.json", text)
		runtime.ReadMemStats(&after)
		if err == nil || !strings.Contains(err.Error(), fmt.Sprintf("found a number of %d characters (7777", digits)) {
			t.Fatalf("%.300v", err)
		}
		return after.TotalAlloc - before.TotalAlloc
	}
	cost(1000) // what is made once
	small, large := cost(500_000), cost(1_000_000)
	if large > 2*small+1<<20 {
		t.Errorf("%d bytes for half a million digits, %d for a million", small, large)
	}
	if large > 16*1_000_000 {
		t.Errorf("%d bytes for a million digits", large)
	}
}
