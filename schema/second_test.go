package schema

import (
	stdjson "encoding/json"
	"os"
	"reflect"
	"testing"

	"github.com/go-json-experiment/json"
)

// compare holds what this package makes of a text against what the general
// validator and the general decoder make of it. It reports whether the text is
// a record that fits.
func compare(t *testing.T, data []byte) bool {
	t.Helper()
	rec, fast := decode(data)
	b := newTreeBuilder(NewSource("second", data))
	tree, err := b.whole()
	if err != nil || len(b.twice) > 0 {
		if fast {
			t.Errorf("read at once in spite of %v, names twice %v:\n%.2000s", err, b.twice, data)
		}
		return false
	}
	want := record.fit(tree)
	if fast != (len(want) == 0) {
		t.Errorf("read at once: %v, the general validator has %v, in\n%.2000s", fast, want, data)
	}
	if fast && len(want) == 0 {
		if again := decodedGenerally(t, tree); !reflect.DeepEqual(rec, again) {
			t.Errorf("read as\n%+v\nthe general decoder reads\n%+v\nfrom\n%.2000s", rec, again, data)
		}
	}
	return fast
}

// decodedGenerally decodes plain values by the general decoder, which wants
// whole numbers written without point and exponent.
func decodedGenerally(t *testing.T, tree any) *Record {
	t.Helper()
	plain, err := stdjson.Marshal(plainNumbers(tree))
	if err != nil {
		t.Fatal(err)
	}
	rec := new(Record)
	if err := json.Unmarshal(plain, rec); err != nil {
		t.Errorf("the general decoder: %v", err)
	}
	return rec
}

// TestDisagreementIsTold: where the one pass refuses what the schema allows, that
// is an error, and no second reading hides it.
func TestDisagreementIsTold(t *testing.T) {
	data, err := os.ReadFile("../examples/metric/job.json")
	if err != nil {
		t.Fatal(err)
	}
	src := NewSource("x.json", data)
	if _, problems := readSlowly(src); len(problems) != 1 || problems[0] != disagreement(src) {
		t.Errorf("found %+v, expected that the two disagree", problems)
	}
}
