package checks

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"setline.example/checks/internal/rooms"
	"setline.example/checks/turns"
	"setline.example/schema"
	"setline.example/schema/chance"
	"setline.example/schema/length"
)

// disturbed is a random room whose tops a crew has left as they may be.
func disturbed(rng *rand.Rand) *schema.Record {
	rec := rooms.New(rng, rooms.Size{Rooms: 1, Elevations: 1})
	if rng.IntN(4) == 0 {
		rec.Planned.DecisionRule = Guarded
	}
	l := rec.Planned.Usual.Leveler
	if l.ThreadsPerInch = []int{16, 18, 20, 13}[rng.IntN(4)]; rng.IntN(4) == 0 {
		l.ThreadsPerInch, l.Pitch = 0, in("1.75 mm")
	}
	seen := rec.Measured.Visits[0].Rooms["R101"]
	unmarked, loose := rng.IntN(8) == 0, rng.IntN(2) == 0
	spread := 1 + rng.IntN(8)
	for _, tag := range sortedNames(seen.Cabinets) {
		alter(seen.Cabinets, tag, func(c *schema.CabinetSeen) {
			for i, top := range topsOf(c) {
				if rng.IntN(3) == 0 {
					by := length.Length(rng.IntN(2*spread+1)-spread) * length.Inch / 64
					**top -= by
					*extensionsOf(c)[i] += by
				}
			}
			if rng.IntN(30) == 0 {
				*topsOf(c)[rng.IntN(4)] = nil
			}
		})
	}
	for name := range seen.Joints {
		if loose {
			alter(seen.Joints, name, func(j *schema.JointSeen) { j.Fastened = schema.FastenedSeen{} })
		}
	}
	if unmarked {
		alter(seen.Elevations, "A", func(e *schema.ElevationSeen) { e.Mark, e.Floor.Back = nil, e.Floor.Back[1:] })
	}
	return rec
}

func topsOf(c *schema.CabinetSeen) [4]**length.Length {
	return [4]**length.Length{&c.Tops.FL, &c.Tops.FR, &c.Tops.BL, &c.Tops.BR}
}

func extensionsOf(c *schema.CabinetSeen) [4]*length.Length {
	return [4]*length.Length{c.Extension.FL, c.Extension.FR, c.Extension.BL, c.Extension.BR}
}

// turn turns the bolts of a list.
func turn(rec *schema.Record, turns []Turn) {
	seen := rec.Measured.Visits[0].Rooms["R101"]
	for _, t := range turns {
		at := slices.IndexFunc(corners[:], func(c corner) bool { return c.key == t.Key })
		alter(seen.Cabinets, t.Unit, func(c *schema.CabinetSeen) {
			**topsOf(c)[at] -= t.Rise
			*extensionsOf(c)[at] += t.Rise
		})
	}
}

func listsOf(t *testing.T, rec *schema.Record) []TurnList {
	return judge(t, rec).Rooms[0].Turns
}

// wrongTops are the results that lists are for.
func wrongTops(found *Findings) (n int) {
	for i := range found.Results {
		if found.Results[i].turnable() {
			n++
		}
	}
	return n
}

// TestTurningHelps: what a list says makes every rule pass, judged anew from
// readings; of no list a bolt can be left out; and the room in a mirror, and in
// metric bolts of the same pitch, has the same lists.
func TestTurningHelps(t *testing.T) {
	rng := chance.Source(t)
	n := fewer(2000, 25)
	runs, solved, bolts, least, fewest := 0, 0, 0, 0, 0
	why := map[string]int{}
	for i := range n {
		rec := disturbed(rng)
		before := judge(t, rec)
		lists := before.Rooms[0].Turns
		if len(lists) == 0 && wrongTops(before) > 0 {
			t.Fatalf("nothing to turn:\n%s", summary(before))
		}
		after := copied(t, rec)
		open := 0
		for _, l := range lists {
			runs++
			if l.Nothing() {
				why[l.Text(length.InchSystem).String()[:24]]++
				open++
				continue
			}
			solved, bolts, least = solved+1, bolts+len(l.Turns), least+l.AtLeast
			if l.Fewest {
				fewest++
			}
			turn(after, l.Turns)
		}
		if found := judge(t, after); len(found.Rooms[0].Turns) != open {
			t.Fatalf("%+v do not help:\n%s", lists, summary(found))
		}
		if i%8 == 0 {
			noneTooMany(t, rec, lists)
			sameInMirror(t, rec, lists)
			sameInMetric(t, rec, lists)
		}
	}
	t.Logf("%d runs to turn of %d rooms: %d solved, not %v; %d bolts, at least %d; the fewest in %d", runs, n, solved, why, bolts, least, fewest)
}

// noneTooMany leaves out one bolt, or the two of a fastened joint, after the other.
func noneTooMany(t *testing.T, rec *schema.Record, lists []TurnList) {
	for _, l := range lists {
		for _, one := range l.Turns {
			with := beside(rec, one)
			fewer := slices.DeleteFunc(slices.Clone(l.Turns), func(o Turn) bool { return o == one || o.CornerName == with })
			after := copied(t, rec)
			turn(after, fewer)
			if !slices.ContainsFunc(listsOf(t, after), func(o TurnList) bool { return o.Of == l.Of }) {
				t.Fatalf("%v can be left out of %+v", one, l)
			}
		}
	}
}

// beside is the corner with which one goes in a fastened joint; itself where
// there is none.
func beside(rec *schema.Record, t Turn) CornerName {
	units := rec.Planned.Rooms[0].Elevations[0].Units
	i := slices.IndexFunc(units, func(u schema.Unit) bool { return u.Tag == t.Unit })
	to, place := i-1, map[string]string{"FL": "FR", "BL": "BR"}
	if strings.HasSuffix(t.Key, "R") {
		to, place = i+1, map[string]string{"FR": "FL", "BR": "BL"}
	}
	if to < 0 || to == len(units) {
		return t.CornerName
	}
	joint := schema.JointName(units[min(i, to)].Tag, units[max(i, to)].Tag)
	if j := rec.Measured.Visits[0].Rooms["R101"].Joints[joint]; j.Fastened.Front == nil {
		return t.CornerName
	}
	at := slices.IndexFunc(corners[:], func(c corner) bool { return c.key == place[t.Key] })
	return CornerName{units[to].Tag, corners[at].key, corners[at].word}
}

func turnsTold(lists []TurnList, rename func(Turn) string) []string {
	var all []string
	for _, l := range lists {
		for _, t := range l.Turns {
			all = append(all, fmt.Sprintf("%s %d %d", rename(t), t.Eighths, t.Rise))
		}
	}
	slices.Sort(all)
	return all
}

func asItIs(t Turn) string { return t.Unit + " " + t.Key }

func inMirror(t Turn) string {
	return t.Unit + " " + t.Key[:1] + map[string]string{"L": "R", "R": "L"}[t.Key[1:]]
}

func sameInMirror(t *testing.T, rec *schema.Record, lists []TurnList) {
	image := copied(t, rec)
	mirror(image)
	if is, was := turnsTold(listsOf(t, image), asItIs), turnsTold(lists, inMirror); !slices.Equal(is, was) {
		t.Fatalf("in a mirror %v, not %v", is, was)
	}
}

func sameInMetric(t *testing.T, rec *schema.Record, lists []TurnList) {
	image := copied(t, rec)
	l := image.Planned.Usual.Leveler
	image.Planned.LengthsIn = length.Metric
	if l.ThreadsPerInch == 16 {
		l.ThreadsPerInch, l.Pitch = 0, in("1.5875 mm")
	}
	if is, was := turnsTold(listsOf(t, image), asItIs), turnsTold(lists, asItIs); !slices.Equal(is, was) {
		t.Fatalf("in millimetres %v, not %v", is, was)
	}
}

// TestTurningHelpsAnywhere: the same for records of several visits, contracts
// that set other limits, instruments of which little is known, and tops read to
// 50 micrometres; and the second opinion finds nothing wrong either.
func TestTurningHelpsAnywhere(t *testing.T) {
	rng := chance.Source(t)
	n := fewer(600, 25)
	solved, why, agreed := 0, map[string]int{}, 0
	for range n {
		rec := scattered(rng)
		for v := range rec.Measured.Visits {
			cabinets := rec.Measured.Visits[v].Rooms["R101"].Cabinets
			for _, tag := range sortedNames(cabinets) {
				alter(cabinets, tag, func(c *schema.CabinetSeen) { c.Level, c.Plumb = schema.LevelSeen{}, schema.PlumbSeen{} })
			}
		}
		rec, _ = source(t, rec)
		lists := listsOf(t, rec)
		open := 0
		for _, l := range lists {
			if l.Nothing() {
				why[l.Text(length.InchSystem).String()[:30]]++
				open++
			}
			solved += min(len(l.Turns), 1)
			for _, one := range l.Turns {
				turnLast(rec, one)
			}
		}
		found := judge(t, rec)
		if len(found.Rooms[0].Turns) != open {
			t.Fatalf("%+v do not help:\n%s", lists, summary(found))
		}
		all, near := second{rec, rec.Measured.VisitsInTime()}.outcomes(t)
		for _, key := range sortedNames(all) {
			if open > 0 || len(lists) == 0 || near[key] {
				continue
			}
			if agreed++; all[key] == Fail || all[key] == Undecided {
				t.Fatalf("%+v: the second opinion is that %s is %s", lists, key, all[key])
			}
		}
	}
	t.Logf("%d runs solved, not %v; %d results of the second opinion", solved, why, agreed)
	if solved < n/6 || agreed < n {
		t.Error("this says little")
	}
}

// turnLast turns a bolt where its top was read last.
func turnLast(rec *schema.Record, one Turn) {
	at := slices.IndexFunc(corners[:], func(c corner) bool { return c.key == one.Key })
	for _, v := range slices.Backward(rec.Measured.VisitsInTime()) {
		cabinets := rec.Measured.Visits[v].Rooms["R101"].Cabinets
		if c, seen := cabinets[one.Unit]; !seen || *topsOf(&c)[at] == nil {
			continue
		}
		alter(cabinets, one.Unit, func(c *schema.CabinetSeen) { **topsOf(c)[at] -= one.Rise })
		return
	}
}

// TestTurnsOfRun plants faults in the fixture of three cabinets, and holds what
// is told of them: the first remedy has the list, the others say where it is.
func TestTurnsOfRun(t *testing.T) {
	low := func(r *schema.Record) { setTops(r, "C2", "9 1/2 in", "9 1/2 in", "9 1/2 in", "9 5/8 in") }
	apart := func(r *schema.Record) {
		for name := range seen(r).Joints {
			alter(seen(r).Joints, name, func(j *schema.JointSeen) { j.Fastened = schema.FastenedSeen{} })
		}
	}
	for _, tc := range []struct {
		name  string
		edits []func(*schema.Record)
		want  string
	}{
		{"one corner low", []func(*schema.Record){apart, low},
			"Turn 1 of 12 bolts, the fewest that serve: C2 back-right up 2. Then see that all four levelers of C2 bear, and read the tops there again"},
		{"the same in a fastened joint", []func(*schema.Record){low},
			"Loosen the joint C2+C3 first. Turn 1 of 12 bolts, the fewest that serve: C2 back-right up 2. Then see that all four levelers of C2 bear, and read the tops there again"},
		{"the same, and a step measured in another fastened joint", []func(*schema.Record){low, func(r *schema.Record) {
			alter(seen(r).Joints, "C1+C2", func(j *schema.JointSeen) { j.TopOffset = in("3/32 in") })
		}},
			"Loosen the joints C1+C2 and C2+C3 first. Turn 1 of 12 bolts, the fewest that serve: C2 back-right up 2. Then see that all four levelers of C2 bear, and read the tops there again"},
		{"the same on a foot that does not bear", []func(*schema.Record){low, func(r *schema.Record) {
			alter(seen(r).Cabinets, "C2", func(c *schema.CabinetSeen) { *c.Bearing.BR = false })
		}},
			"C2 back-right does not bear, so that nothing is computed: run it down until it carries load, and read the tops again; what to turn is told then"},
		{"the same with bolts of which no threads are planned", []func(*schema.Record){apart, low, func(r *schema.Record) {
			r.Planned.Usual.Leveler.ThreadsPerInch = 0
		}},
			"Turn 1 of 12 bolts, the fewest that serve: C2 back-right up by 1/8 in. Then see that all four levelers of C2 bear, and read the tops there again"},
		{"the same with a bolt that does not reach", []func(*schema.Record){apart, low, func(r *schema.Record) {
			r.Planned.Usual.Leveler.Greatest = *in("17/32 in")
		}},
			"No turns serve: bolts do not reach. C2 back-right would have to come up by 3/32 in more than its bolt can. Pack under C2 back-right by at least 3/32 in"},
		{"the same without a mark", []func(*schema.Record){apart, low, func(r *schema.Record) {
			alter(seen(r).Elevations, "A", func(e *schema.ElevationSeen) { e.Mark, e.Floor = nil, schema.FloorSeen{} })
		}},
			"Turn 1 of 12 bolts, the fewest that serve: C2 back-right up 2. No set-height mark was read: this brings it level, at the height that most of it has. Then see that all four levelers of C2 bear, and read the tops there again"},
		{"the same under the guarded rule, by an instrument that tells too little", []func(*schema.Record){apart, low, func(r *schema.Record) {
			r.Planned.DecisionRule = Guarded
			l := r.Planned.Instruments["laser"]
			l.Resolution = in("1/8 in")
			r.Planned.Instruments["laser"] = l
		}},
			"No turns can be shown to serve: the instrument tells less than the decision rule asks. Read the tops with a finer one. Measure again with a finer instrument: an expanded uncertainty of no more than 3/32 in would decide"},
		{"read from two lines", []func(*schema.Record){low, func(r *schema.Record) {
			readAgain(r, "2026-09-20", "", map[string]schema.CornerLengths{"C3": {FL: in("12 in"), FR: in("12 in"), BL: in("12 in"), BR: in("12 in")}})
		}},
			"Read all tops of run C1 to C3 again on one visit, with the set-height mark; what to turn is told then"},
		{"a corner not read", []func(*schema.Record){low, func(r *schema.Record) {
			setTops(r, "C1", "9 1/2 in", "9 17/32 in", "9 1/2 in", "")
		}},
			"Loosen the joint C2+C3 first. Turn 1 of 11 bolts, the fewest that serve: C2 back-right up 2. 1 corner stays as it is though off the mark, by 1/32 in (C1 front-right). Then see that all four levelers of C2 bear, and read the tops there again. Tops not read: C1 back-right"},
		{"a corner too high on a bolt that is fully in", []func(*schema.Record){apart, func(r *schema.Record) {
			setTops(r, "C2", "9 3/8 in", "9 1/2 in", "9 1/2 in", "9 1/2 in")
			r.Planned.Usual.Leveler.Least = *in("5/8 in")
		}},
			"No turns serve: bolts do not reach. C2 front-left would have to come down by 1/8 in more than its bolt can. A set height 1/8 in higher serves"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			rec := fixture()
			for _, edit := range tc.edits {
				edit(rec)
			}
			found, first := judge(t, rec), ""
			for i := range found.Results {
				if r := &found.Results[i]; r.turnable() && first == "" {
					first = r.Remedy.String()
				} else if r.turnable() && !strings.HasPrefix(r.Remedy.String(), "Turn what is listed at run C1 to C3") {
					t.Errorf("%s of %s: %s", r.Rule.Name, r.Subject, r.Remedy.String())
				}
			}
			if first != tc.want {
				t.Errorf("told %q\nwant %q", first, tc.want)
			}
		})
	}
}

// TestStiff: a corner that moved less than half of what it was turned, seen from
// two visits: by the list of the first, where another corner shows that it was
// followed, or by the extensions that both recorded.
func TestStiff(t *testing.T) {
	corner := func(fl, br string) map[string]schema.CornerLengths {
		return map[string]schema.CornerLengths{"C2": {FL: in(fl), FR: in("9 1/2 in"), BL: in("9 1/2 in"), BR: in(br)}}
	}
	for _, tc := range []struct {
		name, fl, br, extension string // as read again; as recorded again, "" for nothing
		want                    string
	}{
		{"the list was followed, and one corner hardly moved", "9 1/2 in", "9 19/32 in", "",
			"C2 back-right came up by 1/32 in of the 1/8 in that the list of 2026-09-10 asks for: if it was turned, the box is stiffer than one thinks; turn in pairs along a side"},
		{"half of it is enough", "9 1/2 in", "9 9/16 in", "", ""},
		{"nothing was turned", "9 5/8 in", "9 5/8 in", "", ""},
		{"nobody follows a list, and the extension was recorded", "9 5/8 in", "9 19/32 in", "5/8 in",
			"C2 back-right came up by 1/32 in when its leveler was turned by 1/8 in: the box is stiffer than one thinks; turn in pairs along a side"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			rec := fixture()
			for name := range seen(rec).Joints {
				alter(seen(rec).Joints, name, func(j *schema.JointSeen) { j.Fastened = schema.FastenedSeen{} })
			}
			setTops(rec, "C2", "9 5/8 in", "9 1/2 in", "9 1/2 in", "9 5/8 in")
			setTops(rec, "C3", "9 1/2 in", "9 1/2 in", "9 1/2 in", "9 3/4 in") // so that there is a list
			readAgain(rec, "2026-09-20", "9 1/2 in", corner(tc.fl, tc.br))
			if tc.extension != "" {
				alter(rec.Measured.Visits[1].Rooms["R1"].Cabinets, "C2", func(c *schema.CabinetSeen) { c.Extension.BR = in(tc.extension) })
			}
			var said []string
			for _, s := range listsOf(t, rec)[0].Stiff {
				said = append(said, s.words().String())
			}
			if got := strings.Join(said, "; "); got != tc.want {
				t.Errorf("told %q, want %q", got, tc.want)
			}
		})
	}
}

// BenchmarkTurnLists finds what to turn in runs of 20 cabinets of which most
// corners are wrong, with what it takes to judge the answer by the rules again.
//
//	go test -run '^$' -bench TurnLists ./checks
func BenchmarkTurnLists(b *testing.B) {
	for _, rule := range []string{Simple, Guarded} {
		b.Run(rule, func(b *testing.B) {
			rng := rand.New(rand.NewPCG(1, 2))
			var all []*elevation
			var at []*bench
			for range 20 {
				rec := rooms.New(rng, rooms.Size{Rooms: 1, Elevations: 1, Cabinets: 20})
				rec.Planned.DecisionRule = rule
				for _, tag := range sortedNames(rec.Measured.Visits[0].Rooms["R101"].Cabinets) {
					alter(rec.Measured.Visits[0].Rooms["R101"].Cabinets, tag, func(c *schema.CabinetSeen) {
						for _, top := range topsOf(c) {
							**top += length.Length(rng.IntN(13)-6) * length.Inch / 64
						}
					})
				}
				job := judging(rec, nil, rec.Measured.VisitsInTime())
				r := newRoom(rec, 0, job.visits)
				job.rooms = []*room{r}
				all, at = append(all, r.elevations[0]), append(at, &bench{facts: job})
			}
			for i := 0; b.Loop(); i++ {
				at[i%len(at)].listsOf(all[i%len(all)], newEarlier(turns.NewBudget()))
			}
		})
	}
}

// manyRuns is a record of an elevation of so many runs of two cabinets, whose
// tops were read twice and stand anyhow.
func manyRuns(runs int) *schema.Record {
	rng := rand.New(rand.NewPCG(1, 2))
	rec := rooms.New(rng, rooms.Size{Rooms: 1, Elevations: 1, Cabinets: 2 * runs})
	units := rec.Planned.Rooms[0].Elevations[0].Units
	for i := range units {
		if i%2 == 0 {
			units[i].SpaceBefore = of(30 * length.Inch)
		}
	}
	anyhow := func(visit *schema.Visit) {
		seen := maps.Clone(visit.Rooms["R101"].Cabinets)
		for _, tag := range sortedNames(seen) {
			alter(seen, tag, func(c *schema.CabinetSeen) {
				c.Extension = schema.CornerLengths{}
				for _, top := range topsOf(c) {
					*top = of(**top + length.Length(rng.IntN(17)-8)*length.Inch/64)
				}
			})
		}
		room := visit.Rooms["R101"]
		room.Cabinets, room.Joints = seen, nil
		visit.Rooms = map[string]schema.RoomSeen{"R101": room}
	}
	again := rec.Measured.Visits[0]
	again.Date = "2026-09-20"
	rec.Measured.Visits = append(rec.Measured.Visits, again)
	for i := range rec.Measured.Visits {
		anyhow(&rec.Measured.Visits[i])
	}
	return rec
}

// TestRunsAreTurnedAlone: what was asked to be turned before is looked for in the
// run itself, in a room made once. Each run once made the room anew and solved
// all runs of its elevation, and a record of a megabyte took seconds, one of five
// minutes.
func TestRunsAreTurnedAlone(t *testing.T) {
	asked := func(runs int) float64 {
		rec := manyRuns(runs)
		return testing.AllocsPerRun(1, func() {
			if got := listsOf(t, rec); len(got) < runs/2 {
				t.Fatalf("%d lists of %d runs", len(got), runs)
			}
		})
	}
	if few, many := asked(8), asked(64); many > 12*few {
		t.Errorf("64 runs ask %v times for memory, 8 of them %v times", many, few)
	}
}
