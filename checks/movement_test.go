package checks

import (
	"fmt"
	"math"
	"math/big"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"setline.example/schema"
	"setline.example/schema/chance"
	"setline.example/schema/length"
)

// moveJob is a run of cabinets BD24 that is read on several visits. Places are
// from the left end of the run, heights up from where everything began.
type moveJob struct {
	cabinets   int
	resolution length.Length
	accuracy   length.Length // of the laser, over 50 ft; 0 for none stated
	visits     []moveVisit
}

type moveVisit struct {
	unmarked bool
	markAt   *length.Length
	mark     length.Length                            // as read, down from the line
	top      func(cabinet, corner int) *length.Length // as read; nil where nobody did
}

// record writes the job.
func (j moveJob) record() *schema.Record {
	rec := fixture()
	laser := schema.Instrument{Kind: "laser", Resolution: &j.resolution}
	if j.accuracy > 0 {
		laser.Accuracy, laser.Over = &j.accuracy, in("50 ft")
	}
	rec.Planned.Instruments = map[string]schema.Instrument{"laser": laser}
	e := schema.Elevation{Name: "A"}
	for i := range j.cabinets {
		e.Units = append(e.Units, schema.Unit{Tag: fmt.Sprintf("C%d", i+1), Part: "BD24"})
	}
	rec.Planned.Rooms = []schema.Room{{Name: "R1", Elevations: []schema.Elevation{e}}}
	rec.Measured.Visits = nil
	for n, v := range j.visits {
		room := schema.RoomSeen{Cabinets: map[string]schema.CabinetSeen{}}
		if !v.unmarked {
			room.Elevations = map[string]schema.ElevationSeen{"A": {Mark: of(v.mark), MarkAt: v.markAt}}
		}
		for i := range j.cabinets {
			t := schema.CornerLengths{FL: v.top(i, 0), FR: v.top(i, 1), BL: v.top(i, 2), BR: v.top(i, 3)}
			if t != (schema.CornerLengths{}) {
				room.Cabinets[e.Units[i].Tag] = schema.CabinetSeen{Tops: t}
			}
		}
		rec.Measured.Visits = append(rec.Measured.Visits, schema.Visit{
			Date: schema.Date(fmt.Sprintf("2026-09-%02d", n+1)), People: []schema.Party{{Name: "I"}},
			Instruments: map[string]schema.InstrumentUse{"laser": {}}, Rooms: map[string]schema.RoomSeen{"R1": room},
		})
	}
	return rec
}

// judged judges movement alone, and gives the changes and what they tell.
func (j moveJob) judged() (r Result, all []change, x explanation) {
	rec := j.record()
	f := newFacts(rec, rec.Measured.VisitsInTime())
	b := &bench{facts: f, rule: movement, limit: movement.Limit}
	e := f.rooms[0].elevations[0]
	b.movement(e)
	all, _ = b.changes(e)
	if len(b.results) == 0 {
		return Result{}, nil, x
	}
	if worst, known := mostMoved(all); known && worst.moved() {
		x = explain(b.changesOver(e, worst.from, worst.visit))
	}
	return b.results[0], all, x
}

// corner of a cabinet 24 in wide and 22 in deep: from the left end, and out.
func cornerAt(cabinet, corner int) (x, y float64) {
	return 24 * float64(cabinet+corner%2), 22 * float64(1-corner/2)
}

// scene is what truly happened between two visits, in inches up.
type scene struct {
	name    string
	floor   bool         // a common tilt
	alike   bool         // all by as much
	odd     map[int]bool // cabinets that moved by themselves
	corner  bool         // only one corner of it
	up      func(cabinet, corner int) float64
	missing float64 // share of cabinets not read again
}

// read reads a scene twice with a laser of a resolution that stands off level
// by up to its accuracy, each time otherwise. Readings are off by up to 0.45 of
// the resolution.
func (s scene) read(rng *rand.Rand, n int, resolution, accuracy float64) moveJob {
	j := moveJob{cabinets: n, resolution: length.Length(resolution * float64(length.Inch)), accuracy: length.Length(accuracy * float64(length.Inch))}
	gone := map[int]bool{}
	for i := range n {
		gone[i] = rng.Float64() < s.missing
	}
	markAt := 24 * float64(n) * rng.Float64()
	noise := func() float64 { return (rng.Float64() - 0.5) * 0.9 * resolution }
	for v := range 2 {
		down := 10 + 5*rng.Float64()
		along, out := (2*rng.Float64()-1)*accuracy/600/math.Sqrt2, (2*rng.Float64()-1)*accuracy/600/math.Sqrt2
		inch := func(x float64) length.Length { return length.Length(x * float64(length.Inch)) }
		at := inch(markAt)
		mv := moveVisit{mark: inch(down + along*markAt + noise()), markAt: &at}
		tops := map[[2]int]*length.Length{}
		for i := range n {
			for c := range 4 {
				x, y := cornerAt(i, c)
				read := down + along*x + out*y + noise()
				if v == 1 {
					read -= s.up(i, c)
				}
				if v == 0 || !gone[i] {
					tops[[2]int{i, c}] = of(inch(read))
				}
			}
		}
		mv.top = func(cabinet, corner int) *length.Length { return tops[[2]int{cabinet, corner}] }
		j.visits = append(j.visits, mv)
	}
	return j
}

func randomScene(rng *rand.Rand, n int) scene {
	size := (0.02 + 0.25*rng.Float64()) * float64(1-2*rng.IntN(2))
	slope, hinge := size/(24*float64(n)), 24*float64(n)*rng.Float64()
	one, corner := rng.IntN(n), rng.IntN(4)
	off := (0.02 + 0.2*rng.Float64()) * float64(1-2*rng.IntN(2))
	tilt := func(i, c int) float64 { x, _ := cornerAt(i, c); return slope * (x - hinge) }
	s := scene{up: func(int, int) float64 { return 0 }, odd: map[int]bool{}}
	if rng.IntN(3) == 0 {
		s.missing = 0.4
	}
	switch rng.IntN(6) {
	case 0:
		s.name = "nothing"
	case 1:
		s.name, s.floor, s.up = "tilt", true, tilt
	case 2:
		s.name, s.odd[one] = "one cabinet", true
		s.up = func(i, _ int) float64 { return map[bool]float64{true: off}[i == one] }
	case 3:
		s.name, s.odd[one], s.corner = "one corner", true, true
		s.up = func(i, c int) float64 { return map[bool]float64{true: off}[i == one && c == corner] }
	case 4:
		s.name, s.alike, s.up = "all alike", true, func(int, int) float64 { return size }
	case 5:
		s.name, s.floor, s.odd[one] = "tilt and one cabinet", true, true
		s.up = func(i, c int) float64 { return tilt(i, c) + map[bool]float64{true: off}[i == one] }
	}
	return s
}

// false tells what an explanation says that did not happen, "" where all did.
func (s scene) wrong(x explanation) string {
	for _, o := range x.odd {
		var n int
		_, _ = fmt.Sscanf(o.tag, "C%d", &n)
		switch x.cause {
		case causeCabinets, causeBoth:
			if !s.odd[n-1] {
				return o.tag + " did not move by itself"
			}
		}
	}
	switch {
	case slices.Contains([]cause{causeTilt, causeBoth, causePart}, x.cause) && !s.floor:
		return "the floor did not tilt"
	case x.cause == causeAlike && !s.alike:
		return "not all changed alike"
	}
	return ""
}

// TestMovementTellsNothingFalse reads random scenes, and what is told of their
// cause must be so. The factor for residuals lets one run in twenty be told
// wrong if errors were normal; those of reading to a step never come to it.
func TestMovementTellsNothingFalse(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	told, wrong := map[string]int{}, 0
	const runs = 3000
	for range runs {
		n := 1 + rng.IntN(7)
		s := randomScene(rng, n)
		j := s.read(rng, n, []float64{1. / 64, 1. / 128, 0.002}[rng.IntN(3)], []float64{0, 1. / 16, 1. / 8}[rng.IntN(3)])
		_, _, x := j.judged()
		if x.cause != "" {
			told[s.name+": "+string(x.cause)]++
		}
		// All that is left may agree with less than what happened.
		left := s.asRead(j)
		if why := left.wrong(x); why != "" {
			wrong++
			t.Logf("%s of %d cabinets: told %q: %s", s.name, n, x.words().String(), why)
		}
	}
	if wrong > runs/200 {
		t.Errorf("told wrong %d times of %d", wrong, runs)
	}
	for _, want := range []string{"tilt: tilt", "one cabinet: cabinets", "one corner: cabinets", "all alike: alike", "tilt and one cabinet: both"} {
		if told[want] < 40 {
			t.Errorf("%s only %d times; all: %v", want, told[want], told)
		}
	}
}

// asRead is what can be seen of a scene at all where what moved beside the
// rest, or all but one, was not read again; a tilt over one cabinet that the
// rest does not show is that cabinet's.
func (s scene) asRead(j moveJob) scene {
	again := 0
	for i := range j.cabinets {
		if j.visits[1].top(i, 0) != nil {
			again++
		}
	}
	if s.floor && again < 3 {
		s.floor = false
	}
	return s
}

// TestMovementCause are the cases that a person would draw on paper: how far
// up each corner came, in sixty-fourths, front and back alike.
func TestMovementCause(t *testing.T) {
	tilted := func(n int) func(int, int) float64 {
		return func(i, c int) float64 { x, _ := cornerAt(i, c); return -float64(n) * x / 96 }
	}
	flat := func(int, int) float64 { return 0 }
	plus := func(f func(int, int) float64, cabinet int, by float64) func(int, int) float64 {
		return func(i, c int) float64 { return f(i, c) + map[bool]float64{true: by}[i == cabinet] }
	}
	for _, tc := range []struct {
		name     string
		cabinets int
		up       func(int, int) float64
		cause    cause
		words    string
	}{
		{"one corner down by 5", 3, func(i, c int) float64 { return map[bool]float64{true: -5}[i == 1 && c == 0] }, causeCabinets, "C2 front-left changed"},
		{"one cabinet down by 8", 3, plus(flat, 1, -8), causeCabinets, "C2 changed"},
		{"the last of four down by 8", 4, plus(flat, 3, -8), causeCabinets, "C4 changed"},
		{"a tilt of 10 over four", 4, tilted(10), causeTilt, "the floor has moved under the run"},
		{"a tilt of 10, and the third 5 down", 4, plus(tilted(10), 2, -5), causeBoth, "Only C3 does not go with it"},
		{"a tilt of 10, and the second 5 up", 4, plus(tilted(10), 1, 5), causeBoth, "Only C2 does not go with it"},
		{"a tilt of 10, and the first 5 down", 4, plus(tilted(10), 0, -5), causeBoth, "Only C1 does not go with it"},
		{"a tilt of 10, and the third half a step off", 4, plus(tilted(10), 2, -0.5), causeTilt, "the floor has moved under the run"},
		{"all down by 8", 4, func(int, int) float64 { return -8 }, causeAlike, "or the mark was read wrong"},
		{"two of two down by 8", 2, func(int, int) float64 { return -8 }, causeAlike, "or the mark was read wrong"},
		{"one of one", 1, func(int, int) float64 { return -8 }, causeAlone, "only that it moved"},
		{"one of two down by 8", 2, plus(flat, 1, -8), causeCabinets, "C2 changed"},
		{"two of two tilt", 2, tilted(20), causeUnclear, "cannot be told"},
		{"two apart of five", 5, plus(plus(flat, 1, -8), 3, 8), causeCabinets, "C2 and C4 changed"},
		{"two side by side", 5, plus(plus(flat, 1, -8), 2, -8), causeSome, "whether the cabinets or the floor under them moved cannot be told"},
		{"half of them tilt", 6, func(i, c int) float64 { x, _ := cornerAt(i, c); return -max(0, x-72) / 6 }, causePart, "The changes of C4, C5 and C6 lie in one plane"},
		{"every other one", 3, plus(plus(flat, 0, -8), 2, -8), causeSome, "cannot be told"},
		{"a tilt of three, or one of three by a little", 3, plus(flat, 2, -1.9), causeUnclear, "cannot be told"},
	} {
		s := scene{up: func(i, c int) float64 { return tc.up(i, c) / 64 }}
		j := s.read(rand.New(rand.NewPCG(1, 1)), tc.cabinets, 1./64, 1./16)
		for i := range j.visits { // as drawn, with nothing read wrong
			down := []float64{10, 12}[i]
			j.visits[i].mark, j.visits[i].markAt = length.Length(down*64)*length.Inch/64, nil
			j.visits[i].top = func(cabinet, corner int) *length.Length {
				return of(length.Length((down*64 - float64(i)*tc.up(cabinet, corner)) * float64(length.Inch) / 64))
			}
		}
		r, _, x := j.judged()
		if r.Outcome != Notice || x.cause != tc.cause || !strings.Contains(x.words().String(), tc.words) {
			t.Errorf("%s: %s, %s %v: %q; want %s: %q", tc.name, r.Outcome, x.cause, x.odd, r.Finding.String(), tc.cause, tc.words)
		}
	}
}

// TestMovementPassesOverUnmarkedVisits: what a visit without a mark read ties
// to nothing, and what others read is held against each other all the same.
func TestMovementPassesOverUnmarkedVisits(t *testing.T) {
	at := func(down string, by length.Length) func(int, int) *length.Length {
		return func(cabinet, _ int) *length.Length {
			if cabinet == 1 {
				return of(*in(down) + by)
			}
			return in(down)
		}
	}
	job := func(unmarked ...bool) moveJob {
		j := moveJob{cabinets: 3, resolution: length.Inch / 64, accuracy: length.Inch / 16}
		for i, u := range unmarked {
			by := length.Length(i) * length.Inch / 8
			j.visits = append(j.visits, moveVisit{unmarked: u, mark: *in("10 in"), top: at("10 in", by)})
		}
		return j
	}
	for _, tc := range []struct {
		name     string
		unmarked []bool
		want     Outcome
		up       length.Length
	}{
		{"first without a mark", []bool{true, false, false}, Notice, length.Inch / 8},
		{"last without a mark", []bool{false, false, true}, Notice, length.Inch / 8},
		{"between without a mark", []bool{false, true, false}, Notice, length.Inch / 4},
		{"the last against the first", []bool{false, false, false}, Notice, length.Inch / 4},
		{"only one with a mark", []bool{true, false, true}, NotApplicable, 0},
	} {
		r, _, _ := job(tc.unmarked...).judged()
		if r.Outcome != tc.want || length.Length(r.Value.N) != tc.up {
			t.Errorf("%s: %s of %s: %s", tc.name, r.Outcome, r.Value.In("in"), r.Finding.String())
		}
	}
}

// TestMovementSecondOpinion computes every change and its uncertainty again, as
// big rationals and by formulas of its own, and finds the corner with the
// greatest change over its uncertainty. u² = Σ d²/12 over the readings of corner
// and mark on both visits + Σ (a s / D)² / 3 over both lines (JCGM 100:2008,
// 5.1.2; a reading to a step d is off by up to d/2, a line stated as ±a over D).
func TestMovementSecondOpinion(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	seen := map[Outcome]int{}
	for range 400 {
		n := 1 + rng.IntN(5)
		s := randomScene(rng, n)
		j := s.read(rng, n, 1./64, []float64{0, 1. / 16}[rng.IntN(2)])
		if rng.IntN(2) == 0 {
			j.visits[0].markAt, j.visits[1].markAt = nil, nil
		}
		r, all, _ := j.judged()
		var most *big.Rat // greatest (change / u)²
		for i := range n {
			for c := range 4 {
				a, b := j.visits[0].top(i, c), j.visits[1].top(i, c)
				if a == nil || b == nil {
					continue
				}
				up := rat(int64(j.visits[1].mark-*b) - int64(j.visits[0].mark-*a))
				u2 := j.variance(i, c)
				ratio := new(big.Rat).Quo(new(big.Rat).Mul(up, up), u2)
				if most == nil || ratio.Cmp(most) > 0 {
					most = ratio
				}
				k := slices.IndexFunc(all, func(x change) bool {
					return x.unit.plan.Tag == fmt.Sprintf("C%d", i+1) && x.of == corners[c].word
				})
				want, _ := u2.Float64()
				if k < 0 || rat(int64(all[k].up)).Cmp(up) != 0 || math.Abs(all[k].doubt.u-math.Sqrt(want)) > 1e-6*math.Sqrt(want) {
					t.Fatalf("C%d %s: %+v, want %v with variance %v", i+1, corners[c].word, all[k], up, u2)
				}
			}
		}
		if most == nil {
			if r.Rule != nil {
				t.Fatalf("nothing was read again: %s", r.Finding.String())
			}
			continue
		}
		seen[r.Outcome]++
		want := Pass
		if most.Cmp(rat(coverage*coverage)) > 0 {
			want = Notice
		}
		if r.Outcome != want {
			t.Fatalf("%s, want %s: %s", r.Outcome, want, r.Finding.String())
		}
		k := slices.IndexFunc(all, func(x change) bool {
			return strings.HasPrefix(r.Finding.String(), x.point.words().String()+" came") || strings.HasSuffix(r.Finding.String(), "at "+x.point.words().String())
		})
		got := float64(all[k].up) / all[k].doubt.u
		if w, _ := most.Float64(); math.Abs(got*got-w) > 1e-6*w {
			t.Fatalf("judged by %s, (%v)², want %v", all[k].name, got, w)
		}
	}
	if seen[Pass] < 20 || seen[Notice] < 20 {
		t.Errorf("only %v", seen)
	}
}

func rat(n int64) *big.Rat { return new(big.Rat).SetInt64(n) }

// variance of the change of a corner.
func (j moveJob) variance(cabinet, corner int) *big.Rat {
	d := rat(int64(j.resolution))
	sum := new(big.Rat).Mul(big.NewRat(4, 12), new(big.Rat).Mul(d, d))
	x := length.Length(24*(cabinet+corner%2)) * length.Inch
	for _, v := range j.visits {
		s := max(x, length.Length(24*j.cabinets)*length.Inch-x)
		if v.markAt != nil {
			s = (x - *v.markAt).Abs()
		}
		line := new(big.Rat).Mul(rat(int64(j.accuracy)), big.NewRat(int64(s), int64(50*length.Foot)))
		sum.Add(sum, new(big.Rat).Mul(big.NewRat(1, 3), new(big.Rat).Mul(line, line)))
	}
	return sum
}

// TestRobustPlaneSecondWay finds the plane by brute force: of the planes
// through every three corners the one with the least median of residuals. The
// cabinets told to be beside the floor must be those that lie furthest off it.
func TestRobustPlaneSecondWay(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	compared := 0
	for compared < 60 {
		n := 4 + rng.IntN(3)
		s := randomScene(rng, n)
		if s.name != "tilt and one cabinet" {
			continue
		}
		s.missing = 0
		_, all, x := s.read(rng, n, 1./128, 1./16).judged()
		if x.cause != causeBoth {
			continue
		}
		compared++
		off := leastMedian(all)
		var inside, outside []float64
		for tag, d := range off {
			if slices.ContainsFunc(x.odd, func(o oddOne) bool { return o.tag == tag }) {
				outside = append(outside, d)
			} else {
				inside = append(inside, d)
			}
		}
		if slices.Max(inside) >= slices.Min(outside) {
			t.Errorf("told %v, and by brute force cabinets lie off by %v", x.odd, off)
		}
	}
}

// leastMedian gives how far each cabinet lies off the plane with the least
// median of residuals (Rousseeuw, 1984), which half of the points cannot spoil.
func leastMedian(all []change) map[string]float64 {
	best, plane := math.Inf(1), [3]float64{}
	residual := func(p [3]float64, c change) float64 {
		return math.Abs(float64(c.up) - (p[0] + p[1]*float64(c.x) + p[2]*float64(c.y)))
	}
	for i := range all {
		for j := range i {
			for k := range j {
				p, ok := through(all[i], all[j], all[k])
				if !ok {
					continue
				}
				var r []float64
				for _, c := range all {
					r = append(r, residual(p, c))
				}
				slices.Sort(r)
				if m := r[len(r)*3/5]; m < best {
					best, plane = m, p
				}
			}
		}
	}
	off := map[string]float64{}
	for _, c := range all {
		off[c.unit.plan.Tag] = max(off[c.unit.plan.Tag], residual(plane, c))
	}
	return off
}

// through is the plane through three points, by Cramer's rule.
func through(a, b, c change) (p [3]float64, ok bool) {
	bx, by, bz := float64(b.x-a.x), float64(b.y-a.y), float64(b.up-a.up)
	cx, cy, cz := float64(c.x-a.x), float64(c.y-a.y), float64(c.up-a.up)
	det := bx*cy - cx*by
	if det == 0 {
		return p, false
	}
	p[1], p[2] = (bz*cy-cz*by)/det, (bx*cz-cx*bz)/det
	p[0] = float64(a.up) - p[1]*float64(a.x) - p[2]*float64(a.y)
	return p, true
}

// TestMovementNobodyCanTell: a corner that was read with an instrument of which
// nothing is known may have moved by any amount, however still the others are.
func TestMovementNobodyCanTell(t *testing.T) {
	still := func(int, int) *length.Length { return in("9 1/2 in") }
	for _, tc := range []struct {
		name string
		with bool // the last visit names its laser
		by   string
		want Outcome
	}{
		{"known, and still", true, "0 in", Pass},
		{"known, and moved", true, "1 in", Notice},
		{"not known, and as it was", false, "0 in", NotApplicable},
		{"not known, and far off", false, "1 in", NotApplicable},
	} {
		t.Run(tc.name, func(t *testing.T) {
			visit := moveVisit{mark: *in("9 1/2 in"), top: still}
			last := visit
			last.top = func(cabinet, corner int) *length.Length {
				if cabinet+corner > 0 {
					return nil
				}
				return of(*in("9 1/2 in") + *in(tc.by))
			}
			rec := moveJob{cabinets: 2, resolution: *in("1/64 in"), visits: []moveVisit{visit, visit, last}}.record()
			if !tc.with {
				rec.Measured.Visits[2].Instruments = nil
			}
			if r := result(t, judge(t, rec), "movement between visits", "elevation A"); r.Outcome != tc.want {
				t.Errorf("%s, want %s: %s", r.Outcome, tc.want, r.Finding.String())
			}
		})
	}
}
