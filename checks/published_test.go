package checks

import (
	"encoding/json"
	"math"
	"math/big"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"setline.example/checks/floor"
	"setline.example/schema"
	"setline.example/schema/length"
)

// computations are what the published cases under testdata/published are
// compared with, by name. Lengths come out in the unit the name gives, or in
// millimetres.
var computations = map[string]func(t *testing.T, in []string) float64{
	"level limit": func(t *testing.T, in []string) float64 {
		l := newLevelLimit(nil)
		return mm(l.reading(lengthOf(t, in[0])))
	},
	"default limit": func(t *testing.T, in []string) float64 {
		return mm(length.Length(Find(in[0]).Limit.N))
	},
	"accessible least": func(_ *testing.T, in []string) float64 {
		least, _ := accessibleRange(length.System(in[0]))
		return mm(least)
	},
	"accessible greatest": func(_ *testing.T, in []string) float64 {
		_, greatest := accessibleRange(length.System(in[0]))
		return mm(greatest)
	},
	"sheet thickness, in": func(t *testing.T, in []string) float64 {
		l, ok := sheetThickness(int(number(t, in[0])))
		if !ok {
			t.Fatalf("no gauge %s", in[0])
		}
		return inches(l)
	},
	"least screw, in": func(t *testing.T, in []string) float64 {
		l, ok := leastScrew(in[0], lengthOf(t, in[1]))
		if !ok {
			t.Fatalf("no screw %s", in[0])
		}
		return inches(l)
	},
	"pilot drill, mm": func(t *testing.T, in []string) float64 {
		return mm(pilotDrill(in[0], lengthOf(t, in[1])))
	},
	"drilling capacity, in": func(t *testing.T, in []string) float64 {
		return inches(drillingCapacity[screwPoint{in[0], int(number(t, in[1]))}])
	},
	"two-peg error over 100 m, m": func(t *testing.T, in []string) float64 {
		l := make([]length.Length, len(in))
		for i := range in {
			l[i] = lengthOf(t, in[i])
		}
		off, over := twoPegError(schema.TwoPeg{
			Midway: [2]length.Length(l[0:2]), Unequal: [2]length.Length(l[2:4]), Distances: [2]length.Length(l[4:6]),
		})
		per, _ := new(big.Rat).SetFrac(off, over).Float64()
		return 100 * per
	},
	"resolution uncertainty, mm": func(t *testing.T, in []string) float64 {
		return resolutionUncertainty(lengthOf(t, in[0])) / float64(length.Millimetre)
	},
	"rectangular uncertainty, mm": func(t *testing.T, in []string) float64 {
		// The floor between two readings that differ by twice the half-width.
		l := floor.Line{{}, {At: 2 * length.Metre, Down: 2 * lengthOf(t, in[0])}}
		return between(l, length.Metre).u / float64(length.Millimetre)
	},
	"conformity": func(t *testing.T, in []string) float64 {
		return conformity(0, lengthOf(t, in[0]), float64(lengthOf(t, in[1])))
	},
	"conformity on both sides": func(t *testing.T, in []string) float64 {
		return conformityBothSides(lengthOf(t, in[0]), lengthOf(t, in[1]), float64(lengthOf(t, in[2])))
	},
}

// TestPublished compares with published values: standards, statutes,
// handbooks and textbooks, each named in its file.
func TestPublished(t *testing.T) {
	files, err := filepath.Glob("../testdata/published/*.json")
	if err != nil || len(files) < 5 {
		t.Fatalf("%d files of published values, %v", len(files), err)
	}
	used := map[string]bool{}
	for _, path := range files {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		var file struct {
			Source string
			Cases  []struct {
				Name, Of     string
				In           []string
				Want, Within float64
			}
		}
		if err := json.Unmarshal(data, &file); err != nil {
			t.Fatalf("%s: %v", path, err)
		}
		if file.Source == "" || len(file.Cases) == 0 {
			t.Errorf("%s: no source, or no cases", path)
		}
		for _, c := range file.Cases {
			t.Run(filepath.Base(path)+"/"+c.Name, func(t *testing.T) {
				compute := computations[c.Of]
				if compute == nil {
					t.Fatalf("nothing computes %q", c.Of)
				}
				used[c.Of] = true
				// A nanometre of rounding is within any published value.
				if got := compute(t, c.In); math.Abs(got-c.Want) > c.Within+1e-9 {
					t.Errorf("%v, published %v", got, c.Want)
				}
			})
		}
	}
	for name := range computations {
		if !used[name] {
			t.Errorf("no published case for %q", name)
		}
	}
}

func mm(l length.Length) float64     { return float64(l) / float64(length.Millimetre) }
func inches(l length.Length) float64 { return float64(l) / float64(length.Inch) }

func lengthOf(t *testing.T, s string) length.Length {
	t.Helper()
	l, err := length.Parse(s)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	n, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return n
}
