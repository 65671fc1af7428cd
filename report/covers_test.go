package report

import (
	"bytes"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
	"testing"

	"setline.example/report/results"
	"setline.example/schema"
)

// covering makes the report of some rooms of the annex.
func covering(t *testing.T, rooms ...string) (*Report, *Coverage) {
	t.Helper()
	found, faults, data := findings(t, annex)
	o := options(nil)
	var err error
	if o.Covers, err = Cover(found.Record, rooms); err != nil {
		t.Fatal(err)
	}
	r, err := New(found, faults, data, o)
	if err != nil {
		t.Fatal(err)
	}
	return r, o.Covers
}

// TestCover: rooms are named as they are planned, each once whatever was said, and
// all of them are the job.
func TestCover(t *testing.T) {
	found, _, _ := findings(t, annex)
	for _, names := range [][]string{nil, {"S-106", "S-104"}, {"S-104", "S-106", "S-104"}} {
		if c, err := Cover(found.Record, names); c != nil || err != nil {
			t.Errorf("%q: %v, %v; want the whole job", names, c, err)
		}
	}
	if c, err := Cover(found.Record, []string{"S-106", "S-106"}); err != nil || fmt.Sprint(*c) != "{[S-106] [S-104]}" {
		t.Errorf("%v, %v", c, err)
	}
	for _, names := range [][]string{{""}, {"S-104", "S-105"}, {"s-104"}} {
		if c, err := Cover(found.Record, names); !errors.Is(err, ErrRooms) || c != nil || !strings.Contains(err.Error(), "expected one of") {
			t.Errorf("%q: %v, %v", names, c, err)
		}
	}
}

// TestOneRoom: a report of one room has that room's answer and says of how many
// it is wherever it says the answer, in the file and on its pages; it shows nothing
// of the others, and made again from the whole record it is the same.
func TestOneRoom(t *testing.T) {
	long(t)
	for room, ready := range map[string]bool{"S-104": true, "S-106": false} {
		r, c := covering(t, room)
		other := c.Others[0]
		want := "1 OF 2 ROOMS ONLY: READY"
		if !ready {
			want = "1 OF 2 ROOMS ONLY: NOT READY"
		}
		if r.Ready() != ready || r.subject != want || !strings.HasSuffix(r.title, ": "+want) || r.running != "Turnover report: "+want {
			t.Errorf("%s: ready %v, %q, %q, %q", room, r.Ready(), r.subject, r.title, r.running)
		}
		text := markdown(t, r)
		hands := "This report hands over " + room + ", and nothing else. The job also has " + other + ", of which it says nothing."
		if !strings.Contains(text, "> ## "+want+"\n") || strings.Count(text, hands) != 2 {
			t.Errorf("%s: the report does not say %q, and twice %q", room, want, hands)
		}
		if n := strings.Count(strings.ReplaceAll(text, hands, ""), other); n != 0 {
			t.Errorf("%s: it names %s %d times more", room, other, n)
		}
		file := pdfOf(t, r)
		again, err := Rebuild(file)
		if err != nil || again.Differs != "" || again.Ready != ready || again.Covers == nil || again.Covers.Rooms[0] != room || !bytes.Equal(again.Record, r.record) {
			t.Errorf("%s: made again: %+v, %v", room, again, err)
		}
		if reason := again.Reason(); !strings.HasSuffix(reason, ": "+want) {
			t.Errorf("%s: signed for %q", room, reason)
		}
	}
}

// TestNoRoomPassesForTheJob: whoever changes in a file which rooms it hands over
// has a file that does not give itself again.
func TestNoRoomPassesForTheJob(t *testing.T) {
	for name, tc := range map[string]struct{ made, claims []string }{
		"a room as the job":          {[]string{"S-104"}, nil},
		"the job as a room":          {nil, []string{"S-104"}},
		"one room as the other":      {[]string{"S-104"}, []string{"S-106"}},
		"all by name":                {nil, []string{"S-104", "S-106"}},
		"a room as all by name":      {[]string{"S-104"}, []string{"S-104", "S-106"}},
		"twice":                      {[]string{"S-104"}, []string{"S-104", "S-104"}},
		"one that there is not":      {[]string{"S-104"}, []string{"S-104", "S-999"}},
		"an empty list for all":      {nil, []string{}},
		"a room, and an empty list ": {[]string{"S-104"}, []string{}},
	} {
		t.Run(name, func(t *testing.T) {
			if name != "a room as the job" {
				long(t)
			}
			r, _ := covering(t, tc.made...)
			data, err := results.Read(r.results)
			if err != nil {
				t.Fatal(err)
			}
			data.Covers = tc.claims
			r.results = data.JSON()
			again, err := Rebuild(pdfOf(t, r))
			if err == nil && again.Differs == "" {
				t.Errorf("it is taken for what it claims: %+v", again.Covers)
			}
		})
	}
}

// TestRoomsOfAnotherFormat: of a report whose pages cannot be drawn here the
// answer is still that of its rooms, and a page that leaves the rooms out
// contradicts it.
func TestRoomsOfAnotherFormat(t *testing.T) {
	long(t)
	r, _ := covering(t, "S-104")
	whole, _ := covering(t)
	now := pageFormat
	defer func() { pageFormat = now }()
	pageFormat = func() int { return now() + 1 }
	file, mixed := pdfOf(t, r), *whole
	mixed.results = r.results // says that it is of one room, on the page of a job
	forged := pdfOf(t, &mixed)
	pageFormat = now
	again, err := Rebuild(file)
	if err != nil || again.Compared || again.FirstPage == nil || !*again.FirstPage || again.Contradiction() != "" || len(again.Otherwise) > 0 {
		t.Errorf("%+v, %v, %q", again, err, again.Contradiction())
	}
	if again, err := Rebuild(forged); err != nil || again.FirstPage != nil || again.Answer() != "1 OF 2 ROOMS ONLY: READY" {
		t.Errorf("%+v, %v", again, err)
	}
}

// TestVisitsOfOneRoom: a report of one room tells of the visits that looked at it
// and no other, by the numbers that they have in the job, of the people and
// instruments of these, and of what was corrected in that room.
func TestVisitsOfOneRoom(t *testing.T) {
	for room, want := range map[string][]string{"S-104": {"1", "2", "4"}, "S-106": {"1", "3"}} {
		found, faults, data := findings(t, annex)
		for i := range found.Record.Measured.Visits {
			v := &found.Record.Measured.Visits[i]
			v.Instruments = maps.Clone(v.Instruments)
			for name := range v.Rooms {
				v.Corrections = append(v.Corrections, schema.Correction{At: "/rooms/" + name + "/remarks/0", By: schema.Party{Name: "C. Orrector"}, Reason: "of " + name})
				v.Instruments["used in "+name] = schema.InstrumentUse{}
			}
		}
		o := options(nil)
		var err error
		if o.Covers, err = Cover(found.Record, []string{room}); err != nil {
			t.Fatal(err)
		}
		view, _ := newView(found, faults, data, o)
		var numbers []string
		for _, v := range view.Visits {
			numbers = append(numbers, strconv.Itoa(v.Number))
		}
		if !slices.Equal(numbers, want) {
			t.Errorf("%s: visits %q, want %q", room, numbers, want)
		}
		if n := len(view.Trail); n != len(want) || slices.ContainsFunc(view.Trail, func(v TrailView) bool { return v.Reason != Text("of "+room) }) {
			t.Errorf("%s: corrections %+v", room, view.Trail)
		}
		first, last := view.Visits[0].Date, view.Visits[len(want)-1].Date
		if i := slices.IndexFunc(view.Facts, func(f NamedText) bool { return f.Name == "Visits" }); view.Facts[i].Value != Text(fmt.Sprintf("%d, from %s to %s", len(want), string(first), string(last))) {
			t.Errorf("%s: %q", room, view.Facts[i].Value)
		}
		for _, in := range view.Instruments {
			if strings.HasPrefix(string(in.Name), "used in") && !visitedWith(found.Record, room, string(in.Name)) {
				t.Errorf("%s: it has the instrument %q", room, in.Name)
			}
		}
	}
}

// visitedWith reports whether an instrument was used on a visit of a room.
func visitedWith(rec *schema.Record, room, instrument string) bool {
	return slices.ContainsFunc(rec.Measured.Visits, func(v schema.Visit) bool {
		_, there := v.Rooms[room]
		_, used := v.Instruments[instrument]
		return there && used
	})
}
