package checks

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"setline.example/schema"
	"setline.example/schema/chance"
)

// goods is a job of several rooms, each with a number of cabinets BD24, and
// what lists and receipts say of them; "" for a line that names no room.
type goods struct {
	drawn    []int // in rooms R1, R2, ..
	lines    []schema.PackingLine
	received []schema.Received // of each line; a zero one was counted and nothing came
	lists    int               // over how many lists of the same order the lines are dealt, 1 at least
}

// record writes the job. Lines are numbered from 1 on each list.
func (g goods) record() *schema.Record {
	rec := fixture()
	rec.Measured.Visits = nil
	rec.Planned.Rooms = nil
	for i, n := range g.drawn {
		e := schema.Elevation{Name: "A"}
		for k := range n {
			e.Units = append(e.Units, schema.Unit{Tag: fmt.Sprintf("C%d", k+1), Part: "BD24"})
		}
		if n == 0 {
			e.Units = []schema.Unit{{Tag: "F1", Part: "F3"}}
		}
		rec.Planned.Rooms = append(rec.Planned.Rooms, schema.Room{Name: fmt.Sprintf("R%d", i+1), Elevations: []schema.Elevation{e}})
	}
	rec.Arrived = schema.Arrived{PackingLists: map[string]schema.PackingList{}}
	for i, l := range g.lines {
		list, number := fmt.Sprintf("P%d", i%max(g.lists, 1)+1), fmt.Sprint(i/max(g.lists, 1)+1)
		if rec.Arrived.PackingLists[list].Lines == nil {
			rec.Arrived.PackingLists[list] = schema.PackingList{Order: "O1", Lines: map[string]schema.PackingLine{}}
		}
		l.Part = "BD24"
		rec.Arrived.PackingLists[list].Lines[number] = l
		if i < len(g.received) {
			rec.Arrived.Receipts = append(rec.Arrived.Receipts, schema.Receipt{
				PackingList: list, Date: "2026-09-01", By: "B. Counter", Lines: map[string]schema.Received{number: g.received[i]},
			})
		}
	}
	return rec
}

func lineOf(n int, room string) schema.PackingLine {
	return schema.PackingLine{Quantity: n, Room: room}
}
func whole(n int) schema.Received { return schema.Received{Good: n} }

// partResults are what is said of BD24 in each room, in walking order.
func partResults(t *testing.T, rec *schema.Record) map[string]Result {
	t.Helper()
	all := map[string]Result{}
	for _, r := range judge(t, rec).Results {
		if r.Rule == partsReceived && r.Subject.Item == "part BD24" {
			all[r.Subject.Room] = r
		}
	}
	return all
}

func TestParts(t *testing.T) {
	type want struct {
		outcome Outcome
		finding string // a part of it
	}
	for _, tc := range []struct {
		name string
		goods
		want []want // by room
	}{
		{"as drawn", goods{[]int{2}, []schema.PackingLine{lineOf(2, "R1")}, []schema.Received{whole(2)}, 1},
			[]want{{Pass, "2 drawn, 2 listed for this room; 2 came whole"}}},
		{"more listed than drawn, the rest damaged",
			goods{[]int{2}, []schema.PackingLine{lineOf(3, "R1")}, []schema.Received{{Good: 2, Damaged: 1}}, 1},
			[]want{{Fail, "1 more listed than drawn: 2 drawn, 3 listed for this room; 2 came whole, 1 damaged"}}},
		{"the same with no room named",
			goods{[]int{2}, []schema.PackingLine{lineOf(3, "")}, []schema.Received{{Good: 2, Damaged: 1}}, 1},
			[]want{{Fail, "1 more listed than drawn: listed 3, drawn 2; 1 of 3 damaged; listed with no room named; for R1 (2)"}}},
		{"more listed than drawn, and never came",
			goods{[]int{2}, []schema.PackingLine{lineOf(3, "R1")}, []schema.Received{whole(2)}, 1},
			[]want{{Fail, "1 more listed than drawn"}}},
		{"one of seven damaged, shared by three rooms",
			goods{[]int{4, 1, 2}, []schema.PackingLine{lineOf(7, "")}, []schema.Received{{Good: 6, Damaged: 1, Remark: "side dented"}}, 1},
			[]want{
				{Fail, "1 of 7 damaged; listed with no room named; rooms that share them: R1 (4), R2 (1), R3 (2) (side dented)"},
				{NotObserved, "not yet settled, told at R1/part BD24"}, {NotObserved, "not yet settled, told at R1/part BD24"},
			}},
		{"one of seven did not come",
			goods{[]int{4, 3}, []schema.PackingLine{lineOf(7, "")}, []schema.Received{whole(6)}, 1},
			[]want{{Fail, "1 of 7 did not come; listed with no room named"}, {NotObserved, "told at R1/part BD24"}}},
		{"one damaged and one that did not come",
			goods{[]int{4, 3}, []schema.PackingLine{lineOf(7, "")}, []schema.Received{{Good: 5, Damaged: 1}}, 1},
			[]want{{Fail, "1 of 7 damaged, 1 did not come; listed with no room named"}, {NotObserved, "told at R1/part BD24"}}},
		{"shared, and all came",
			goods{[]int{4, 3}, []schema.PackingLine{lineOf(7, "")}, []schema.Received{whole(7)}, 1},
			[]want{{Pass, "7 listed with no room named"}, {Pass, "7 listed with no room named"}}},
		{"a room with its own line does not share",
			goods{[]int{4, 3, 1}, []schema.PackingLine{lineOf(4, "R1"), lineOf(4, "")}, []schema.Received{whole(4), {Good: 3, Damaged: 1}}, 1},
			[]want{{Pass, "4 drawn, 4 listed for this room"}, {Fail, "1 of 4 damaged; listed with no room named; rooms that share them: R2 (3), R3 (1)"}, {NotObserved, "told at R2/part BD24"}}},
		{"a room with a line of its own for some",
			goods{[]int{4, 3}, []schema.PackingLine{lineOf(3, "R1"), lineOf(4, "")}, []schema.Received{{Good: 2, Damaged: 1}, whole(4)}, 1},
			[]want{{Fail, "Short by 1: 4 drawn, 3 listed for this room; 2 came whole, 1 damaged"}, {Pass, "of which all rooms want 4 and 4 came whole"}}},
		{"both short",
			goods{[]int{4, 3}, []schema.PackingLine{lineOf(3, "R2"), lineOf(4, "")}, []schema.Received{whole(2), whole(3)}, 1},
			[]want{{Fail, "1 of 4 did not come; listed with no room named; for R1 (4)"}, {Fail, "Short by 1: 3 drawn, 3 listed for this room; 2 came whole"}}},
		{"fewer listed than drawn",
			goods{[]int{4, 3}, []schema.PackingLine{lineOf(6, "")}, []schema.Received{whole(6)}, 1},
			[]want{{Fail, "1 not on any packing list: 7 drawn, 6 listed"}, {NotObserved, "told at R1/part BD24"}}},
		{"more came than listed",
			goods{[]int{4, 3}, []schema.PackingLine{lineOf(7, "")}, []schema.Received{whole(8)}, 1},
			[]want{{Fail, "1 more came than listed"}, {NotObserved, "told at R1/part BD24"}}},
		{"nobody counted",
			goods{[]int{4, 3}, []schema.PackingLine{lineOf(7, "")}, nil, 1},
			[]want{{NotObserved, "Not all counted: 7 listed, 0 came whole"}, {NotObserved, "told at R1/part BD24"}}},
		{"one line short, and another not counted",
			goods{[]int{4}, []schema.PackingLine{lineOf(2, "R1"), lineOf(2, "R1")}, []schema.Received{{Good: 1, Damaged: 1}}, 1},
			[]want{{Fail, "Short by 1: 4 drawn, 4 listed for this room; 1 came whole, 1 damaged"}}},
		{"one line too many, another too few",
			goods{[]int{4}, []schema.PackingLine{lineOf(2, "R1"), lineOf(2, "R1")}, []schema.Received{whole(3), whole(1)}, 1},
			[]want{{Fail, "1 short on one line and 1 too many on another"}}},
		{"listed for the wrong room",
			goods{[]int{2, 2}, []schema.PackingLine{lineOf(3, "R1"), lineOf(1, "R2")}, []schema.Received{whole(3), whole(1)}, 1},
			[]want{{Fail, "1 more listed than drawn"}, {Fail, "1 not on any packing list: 2 drawn, 1 listed for this room"}}},
		{"wanted by no room",
			goods{[]int{0, 2}, []schema.PackingLine{lineOf(2, "R2"), lineOf(1, "")}, []schema.Received{whole(2), whole(1)}, 1},
			[]want{{}, {Fail, "1 more listed than drawn: listed 1, drawn 0; listed with no room named; no room wants any"}}},
		{"on lists that each start at 1",
			goods{[]int{2, 2}, []schema.PackingLine{lineOf(2, "R1"), lineOf(2, "R2")}, []schema.Received{whole(2), whole(2)}, 2},
			[]want{{Pass, "2 drawn, 2 listed"}, {Pass, "2 drawn, 2 listed"}}},
	} {
		got := partResults(t, tc.record())
		for i, w := range tc.want {
			r := got[fmt.Sprintf("R%d", i+1)]
			if r.Outcome != w.outcome || !strings.Contains(r.Finding.String(), w.finding) {
				t.Errorf("%s, R%d: %s: %q; want %s: %q", tc.name, i+1, r.Outcome, r.Finding.String(), w.outcome, w.finding)
			}
		}
	}
}

// TestReplacedLater: a damaged part that a later count against its own line
// replaces is no shortage; nor is one more than that.
func TestReplacedLater(t *testing.T) {
	g := goods{[]int{4, 3}, []schema.PackingLine{lineOf(7, "")}, []schema.Received{{Good: 6, Damaged: 1}}, 1}
	for _, tc := range []struct {
		good int
		want Outcome
	}{{0, Fail}, {1, Pass}, {2, Fail}} {
		rec := g.record()
		rec.Arrived.Receipts = append(rec.Arrived.Receipts, schema.Receipt{
			PackingList: "P1", Date: "2026-09-20", By: "B. Counter", Lines: map[string]schema.Received{"1": whole(tc.good)},
		})
		if r := partResults(t, rec)["R1"]; r.Outcome != tc.want {
			t.Errorf("%d came later: %s: %s", tc.good, r.Outcome, r.Finding.String())
		}
	}
}

// TestSharedShortageIsConcededOnce: permission at the one subject that tells
// it holds for every room that shares it, and can be given nowhere else.
func TestSharedShortageIsConcededOnce(t *testing.T) {
	rec := goods{[]int{4, 1, 2}, []schema.PackingLine{lineOf(7, "")}, []schema.Received{{Good: 6, Damaged: 1}}, 1}.record()
	concession := schema.Concession{Rule: "parts received", Subject: "R1/part BD24", Reason: "comes later", By: schema.Party{Name: "G. Contractor"}, Date: "2026-09-30"}
	rec.Agreed.Concessions = []schema.Concession{concession}
	for room, r := range partResults(t, rec) {
		if r.Outcome != Conceded || r.Concession != 0 {
			t.Errorf("%s: %s: %s", room, r.Outcome, r.Finding.String())
		}
	}
	concession.Subject = "R2/part BD24"
	rec.Agreed.Concessions = []schema.Concession{concession}
	_, err := Run(source(t, rec))
	if err == nil || !strings.Contains(err.Error(), "the subject at which it is told, R1/part BD24") {
		t.Errorf("permission where it is not told: %v", err)
	}
}

// TestPartsSecondWay holds random jobs against the sentence of the rule itself,
// part by part: right if every room has what it draws listed and whole, for
// some way of giving out what names no room.
func TestPartsSecondWay(t *testing.T) {
	long(t)
	rng := chance.Source(t)
	seen := map[bool]int{}
	for range 600 {
		g := randomGoods(rng)
		right := g.right()
		seen[right]++
		fails, open := 0, 0
		for _, r := range partResults(t, g.record()) {
			switch r.Outcome {
			case Fail:
				fails++
			case NotObserved:
				open++
			}
		}
		if right != (fails+open == 0) || !right && fails == 0 {
			t.Fatalf("%+v: %d fail, %d open; right is %v", g, fails, open, right)
		}
	}
	if seen[true] < 100 || seen[false] < 100 {
		t.Errorf("only %v", seen)
	}
}

func randomGoods(rng *rand.Rand) goods {
	g := goods{lists: 1 + rng.IntN(2)}
	for i := range 1 + rng.IntN(3) {
		g.drawn = append(g.drawn, 1+rng.IntN(3))
		room := fmt.Sprintf("R%d", i+1)
		if rng.IntN(2) == 0 {
			room = ""
		}
		g.lines = append(g.lines, lineOf(g.drawn[i], room))
		g.received = append(g.received, whole(g.drawn[i]))
	}
	switch i := rng.IntN(len(g.drawn)); rng.IntN(6) {
	case 0:
		g.lines[i].Quantity++
	case 1:
		g.received[i].Good--
		g.received[i].Damaged++
	case 2:
		g.received[i].Good++
	case 3:
		g.drawn[i]++
	}
	return g
}

// right gives what names no room to the rooms that lack it.
func (g goods) right() bool {
	free := 0
	lack := append([]int(nil), g.drawn...)
	for i, l := range g.lines {
		if g.received[i].Good != l.Quantity {
			return false
		}
		if l.Room == "" {
			free += l.Quantity
		} else {
			lack[i] -= l.Quantity
		}
	}
	for _, n := range lack {
		if n < 0 {
			return false
		}
		free -= n
	}
	return free == 0
}
