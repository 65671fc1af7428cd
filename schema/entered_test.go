package schema

import (
	"encoding/json"
	"fmt"
	"os"
	"slices"
	"testing"
)

// TestCorrectionsInProportion: to read a record with eight times the corrections
// takes about eight times as much for them. For each of them the whole visit was
// once taken apart, and a record of a megabyte kept its reader busy for a minute.
func TestCorrectionsInProportion(t *testing.T) {
	data, err := os.ReadFile("../examples/annex/job.json")
	if err != nil {
		t.Fatal(err)
	}
	rec, _, err := Read("annex", data)
	if err != nil {
		t.Fatal(err)
	}
	asked := func(corrections int) float64 {
		v := &rec.Measured.Visits[0]
		v.Corrections = nil
		for i := range corrections {
			v.Corrections = append(v.Corrections, Correction{
				At: "/purpose", Was: json.RawMessage(fmt.Sprintf("%q", fmt.Sprint("was ", i))), By: Party{Name: "R. Okafor"}, Date: v.Date, Reason: "misread",
			})
		}
		text, err := json.Marshal(rec)
		if err != nil {
			t.Fatal(err)
		}
		return testing.AllocsPerRun(1, func() {
			if _, _, e := Read("annex", text); e != nil {
				err = e
			}
		})
	}
	none := asked(0)
	if few, many := asked(50)-none, asked(400)-none; many > 12*few || many > 8*none {
		t.Errorf("400 corrections ask %v times for memory, 50 of them %v times, all else %v times", many, few, none)
	}
}

// TestLastCorrections: the last of a place is that after which no other was
// entered, or stands in the record where that is not known: as the definition
// says, by trying each against all others.
func TestLastCorrections(t *testing.T) {
	for code := range 2 * 2 * 2 * 2 * 3 * 3 * 3 * 3 {
		v, rest := Visit{}, code
		for range 4 {
			v.Corrections = append(v.Corrections, Correction{At: fmt.Sprint("/", rest%2), Entered: rest / 2 % 3})
			rest /= 6
		}
		last := v.lastCorrections()
		for k, c := range v.Corrections {
			i := 0
			after := slices.ContainsFunc(v.Corrections, func(o Correction) bool {
				i++
				return o.At == c.At && (o.Entered > c.Entered || o.Entered == c.Entered && i-1 > k)
			})
			if got := last[c.At] == k; got == after {
				t.Errorf("%+v: %d is the last: %v", v.Corrections, k, got)
			}
		}
	}
}
