package schema

import (
	"bytes"
	stdjson "encoding/json"
	"fmt"
	"math/big"
	"math/rand/v2"
	"os"
	"reflect"
	"slices"
	"strings"
	"testing"

	"setline.example/schema/chance"
)

func examples(t testing.TB) [][]byte {
	t.Helper()
	var all [][]byte
	for _, path := range []string{"../examples/annex/job.json", "../examples/metric/job.json"} {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, data)
	}
	return all
}

// full is a record with every kind of value: what the examples do not have.
const full = `{"setline": 1.0, "planned": {
 "project": {"name": "é\u00e9\ud83d\ude00\"\\\/"},
 "instruments": {"l": {"kind": "rule", "reads": ["offsets", "gaps"]}, "": {"kind": "other", "reads": []}},
 "fasteners": {"s": {"size": "#8", "length": "½ in", "point_number": 2e0, "use": ["filler", "upper rear"], "each": 50}},
 "cabinets": {"B": {"width": "1 m", "gauge": 30, "front": [{"panels": 12}, {"doors": 1, "height": "6 in"}]}},
 "rooms": [{"name": "Rüm 1", "elevations": [{"name": "A", "accessible": true, "units": [{"tag": "Ä1._-", "part": "B"}, {"tag": "2", "part": "B"}]}]}]},
 "arrived": {"packing_lists": {"P": {"date": "2024-02-29", "lines": {}}, "Q": {"lines": {"1": {"part": "B", "quantity": 100e-1}}}}},
 "measured": {"visits": [{"date": "2026-09-10", "people": [{"name": "I", "role": "other"}],
  "instruments": {"l": {"two_peg": {"midway": ["1 m", "1 m"], "unequal": ["1 m", "1 m"], "distances": ["1 m", "30 m"]}}},
  "site": {"slab_cured": false, "remark": ""},
  "rooms": {"Rüm 1": {"elevations": {"A": {"floor": {"front": [], "back": [["-0 in", "1 in"]]}}},
   "cabinets": {"Ä1._-": {"bearing": {"FL": true}, "works": {"door 1": false}, "in_sight": {"closed": -0, "standing": 1000}}},
   "fillers": {"x": {"held_from": [], "in_sight": {"closed": 0.0}}},
   "photos": [{"file": "a", "sha256": "0123456789abcdefABCDEF0123456789abcdefABCDEF0123456789abcdefABCD"}], "remarks": ["", "a"]}}}]},
 "agreed": {"concessions": [], "sign_off": {"inspector": {"name": "I"}}}}`

func TestDecodeAgrees(t *testing.T) {
	for i, data := range append(examples(t), []byte(full)) {
		if !compare(t, data) {
			t.Errorf("record %d is not read at once", i)
		}
	}
}

// TestChangedRecordsAgree changes records at random, value by value and byte by byte.
func TestChangedRecordsAgree(t *testing.T) {
	rng := chance.Source(t)
	records := [][]byte{[]byte(full), examples(t)[1]}
	good := 0
	n := 800
	if testing.Short() {
		n = 160
	}
	for range n {
		data := records[rng.IntN(len(records))]
		if rng.IntN(3) > 0 {
			data = changedValue(t, rng, data)
		}
		if rng.IntN(3) == 0 {
			data = changedBytes(rng, data)
		}
		if compare(t, data) {
			good++
		}
		if t.Failed() {
			return
		}
	}
	if good < n/16 || good > n*15/16 {
		t.Errorf("%d of %d changed records are right; the changes are too harsh or too mild to show anything", good, n)
	}
}

func FuzzDecode(f *testing.F) {
	for seed := range uint64(4) {
		f.Add([]byte(full), seed)
	}
	f.Fuzz(func(t *testing.T, data []byte, seed uint64) {
		compare(t, data)
		if seed > 0 && stdjson.Valid(data) {
			compare(t, changedValue(t, rand.New(rand.NewPCG(seed, 0)), data))
		}
	})
}

// values stand in for others, so that each keyword of the schema is met and broken.
var values = func() []any {
	all := []any{nil, true, false, map[string]any{}, []any{}, []any{"inside", "inside"}, []any{"face", "side"}, []any{"1 in", "2 in"},
		[]any{"1 in", "2 in", "3 in"}, "", " ", "a/b", "a\x00", "é\u2028", "wall", "#8", "laser", "24", "1/3 in", "1/0 in", "−½″", "0.0000001 mm",
		"2026-02-30", "2026-2-3", "2024-02-29", "0000-01-01", "９", strings.Repeat("ab", 32), strings.Repeat("g", 64)}
	for _, n := range []int{40, 60, 85, 120, 200, 2000} {
		// Characters of one, two and four bytes, as many as allowed and one more.
		for _, c := range []string{"a", "é", "😀"} {
			all = append(all, strings.Repeat(c, n), strings.Repeat(c, n+1))
		}
	}
	for _, n := range []int{-1, 0, 1, 2, 3, 12, 13, 30, 31, 50, 51, 80, 81, 1000, 1001, 10000, 10001} {
		for _, form := range []string{"%d", "%d.0", "%de0", "%d0E-1", "%d.5", "%de+1"} {
			if number := fmt.Sprintf(form, n); stdjson.Valid([]byte(number)) {
				all = append(all, stdjson.Number(number))
			}
		}
	}
	return append(all, stdjson.Number("-0"), stdjson.Number("1e300"), stdjson.Number("1e-300"), stdjson.Number("99999999999999999999"))
}()

// changedValue changes one value, member or item of a record.
func changedValue(t *testing.T, rng *rand.Rand, data []byte) []byte {
	t.Helper()
	d := stdjson.NewDecoder(bytes.NewReader(data))
	d.UseNumber()
	var tree any
	if err := d.Decode(&tree); err != nil {
		return data
	}
	places := 0
	tree = changed(rng, tree, func() bool { places++; return false })
	left := rng.IntN(places)
	tree = changed(rng, tree, func() bool { left--; return left == -1 })
	changed, err := stdjson.Marshal(tree)
	if err != nil {
		t.Fatal(err)
	}
	return changed
}

// changed changes the values in value for which here says so.
func changed(rng *rand.Rand, value any, here func() bool) any {
	if here() {
		return values[rng.IntN(len(values))]
	}
	switch v := value.(type) {
	case map[string]any:
		for _, name := range sortedKeys(v) {
			switch {
			case here():
				delete(v, name)
			case here():
				v[name+"s"] = v[name]
			default:
				v[name] = changed(rng, v[name], here)
			}
		}
	case []any:
		for i := range v {
			v[i] = changed(rng, v[i], here)
		}
		switch {
		case here() && len(v) > 0:
			return append(v, v[rng.IntN(len(v))])
		case here():
			return v[:len(v)/2]
		}
	}
	return value
}

// changedBytes changes a few bytes; what stands in JSON more often than the rest.
func changedBytes(rng *rand.Rand, data []byte) []byte {
	data = slices.Clone(data)
	const signs = "{}[],:\"\\ \t\n0123456789.eE+-/utrfnal"
	for range 1 + rng.IntN(2) {
		at := rng.IntN(len(data))
		with := byte(rng.IntN(256))
		if rng.IntN(4) > 0 {
			with = signs[rng.IntN(len(signs))]
		}
		switch rng.IntN(4) {
		case 0:
			data = slices.Delete(data, at, at+1)
		case 1:
			data = slices.Insert(data, at, with)
		case 2:
			// A part of the text a second time: members and items twice.
			end := min(len(data), at+rng.IntN(60))
			data = slices.Insert(data, end, slices.Clone(data[at:end])...)
		default:
			data[at] = with
		}
	}
	return data
}

// TestRefusedAtOnce: what the general validator is not needed for.
func TestRefusedAtOnce(t *testing.T) {
	for name, edit := range map[string][2]string{
		"invalid UTF-8":           {`"name": "A"`, "\"name\": \"\xff\""},
		"lone surrogate":          {`"name": "A"`, `"name": "\ud800"`},
		"surrogates in reverse":   {`"name": "A"`, `"name": "\ude00\ud83d"`},
		"name twice in an object": {`"accessible": true`, `"accessible": true, "accessible": true`},
		"name twice by an escape": {`"accessible": true`, `"accessible": true, "\u0061ccessible": true`},
		"key twice":               {`"door 1": false`, `"door 1": false, "door 1": false`},
		"key twice by an escape":  {`"door 1": false`, `"door 1": false, "\u0064oor 1": false`},
		"a byte order mark":       {`{"setline"`, "\ufeff{\"setline\""},
		"a second value":          {`"inspector": {"name": "I"}}}}`, `"inspector": {"name": "I"}}}} {}`},
		"a number with a zero":    {`"each": 50`, `"each": 050`},
		"a comment":               {`"each": 50`, `"each": 50 /* screws */`},
	} {
		data := strings.Replace(full, edit[0], edit[1], 1)
		if data == full {
			t.Fatalf("%s: nothing changed", name)
		}
		if _, ok := decode([]byte(data)); ok {
			t.Errorf("%s: read", name)
		}
		if _, _, err := Read("x.json", []byte(data)); err == nil {
			t.Errorf("%s: no problem", name)
		}
	}
}

// TestWhole compares with arithmetic on fractions of whole numbers.
func TestWhole(t *testing.T) {
	for _, number := range []string{"0", "-0", "0.0", "0e5", "3", "3.0", "30e-1", "0.3e1", "3.5", "-7", "-70E-1", "1e17", "999999999999999999", "1e-1", "0.10", "120.00", "1200e-3"} {
		want, _ := new(big.Rat).SetString(number)
		n, ok := whole(number)
		if ok != want.IsInt() || ok && want.Cmp(new(big.Rat).SetInt64(n)) != 0 {
			t.Errorf("%s: %d, %v, want %s", number, n, ok, want)
		}
	}
	for number, ok := range map[string]bool{"1e9999999": true, "-1e99999999999999999999": true, "1e-9999999": false, "1e-99999999999999999999": false, "1e18": true, "0e99999999999999999999": true} {
		if n, got := whole(number); got != ok || ok && number[0] != '0' && -1e17 < n && n < 1e17 {
			t.Errorf("%s: %d, %v", number, n, got)
		}
	}
}

// TestWholeNumbers: a program that writes 3.0 for 3 writes a right record.
func TestWholeNumbers(t *testing.T) {
	job := string(examples(t)[1])
	for _, edit := range [][2]string{{`"setline": 1,`, `"setline": 1.0,`}, {`"part": "P75", "quantity": 1}`, `"part": "P75", "quantity": 10e-1}`}} {
		changed := strings.Replace(job, edit[0], edit[1], 1)
		if changed == job {
			t.Fatalf("no %s to change", edit[0])
		}
		rec, _, err := Read("job.json", []byte(changed))
		want, _, wantErr := Read("job.json", []byte(job))
		if err != nil || wantErr != nil || !reflect.DeepEqual(rec, want) {
			t.Errorf("%s: %v", edit[1], err)
		}
	}
}

// TestHugeNumber: the exponent of a number is no reason to stop.
func TestHugeNumber(t *testing.T) {
	for _, number := range []string{"1e9999999", "-1e9999999", "1e-9999999", "1e99999999999999999999"} {
		_, _, err := Read("x.json", []byte(strings.Replace(full, `"each": 50`, `"each": `+number, 1)))
		if err == nil || !strings.Contains(err.Error(), "/planned/fasteners/s/each: found ") || !strings.Contains(err.Error(), number) {
			t.Errorf("%s: %v", number, err)
		}
	}
}
