package checks

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"setline.example/schema"
	"setline.example/schema/chance/jobs"
	"setline.example/schema/length"
)

// A concession covers what was found when it was given, and what is no worse;
// found again, it need not be asked for again.
func TestConcessionCoversWhatWasFound(t *testing.T) {
	const in = length.Inch
	for _, c := range []struct {
		name string
		off  []length.Length // found on the 10th, 12th, 14th ... of October
		date string
		want Outcome
		said string
	}{
		{"found once", []length.Length{in / 8}, "2026-10-11", Conceded, ""},
		{"on the same day", []length.Length{in / 8}, "2026-10-10", Conceded, ""},
		{"found again", []length.Length{in / 8, in / 8}, "2026-10-11", Conceded, ""},
		{"found again on the other side", []length.Length{in / 8, -in / 8}, "2026-10-11", Conceded, ""},
		{"less", []length.Length{in / 8, in * 3 / 32}, "2026-10-11", Conceded, ""},
		{"a nanometre more", []length.Length{in / 8, in/8 + 1}, "2026-10-11", Fail, "the concession of 2026-10-11 was for what was found then: Drawer 1 is 1/8 in out of line"},
		{"put right, and back as it was", []length.Length{in / 8, 0, in / 8}, "2026-10-11", Conceded, ""},
		{"put right", []length.Length{in / 8, 0}, "2026-10-11", Pass, ""},
		{"worse at first", []length.Length{in / 4, in / 8, in / 4}, "2026-10-13", Fail, "was for what was found then: Drawer 1 is 1/8 in out of line"},
	} {
		t.Run(c.name, func(t *testing.T) {
			rec := fixture()
			for i, off := range c.off {
				rec.Measured.Visits = append(rec.Measured.Visits, alignmentVisit(10+2*i, off))
			}
			rec.Agreed.Concessions = []schema.Concession{{Rule: "fronts aligned", Subject: "R1/C2", Reason: "behind a door", By: schema.Party{Name: "GC"}, Date: schema.Date(c.date)}}
			found, err := Run(source(t, rec))
			if err != nil {
				t.Fatal(err)
			}
			for _, r := range found.Results {
				if r.Rule.Name == "fronts aligned" && r.Subject.String() == "R1/C2" {
					if r.Outcome != c.want || !strings.Contains(r.Finding.String(), c.said) || c.said == "" && strings.Contains(r.Finding.String(), "concession") {
						t.Errorf("%s, %q; want %s, %q", r.Outcome, r.Finding.String(), c.want, c.said)
					}
				}
			}
		})
	}
}

// Permission for what nobody had found is a slip, and a problem of the record.
func TestConcessionBeforeTheFinding(t *testing.T) {
	for _, earlier := range []length.Length{-1, 0} { // not looked at, and good
		rec := fixture()
		if earlier == 0 {
			rec.Measured.Visits = append(rec.Measured.Visits, alignmentVisit(8, 0))
		}
		rec.Measured.Visits = append(rec.Measured.Visits, alignmentVisit(12, length.Inch/8))
		rec.Agreed.Concessions = []schema.Concession{{Rule: "fronts aligned", Subject: "R1/C2", Reason: "behind a door", By: schema.Party{Name: "GC"}, Date: "2026-10-11"}}
		_, err := Run(source(t, rec))
		var problems schema.Problems
		if !errors.As(err, &problems) || !strings.Contains(err.Error(), "expected a date on or after the finding, 2026-10-12") {
			t.Errorf("got %v", err)
		}
	}
}

func alignmentVisit(day int, off length.Length) schema.Visit {
	return schema.Visit{
		Date: schema.Date(fmt.Sprintf("2026-10-%02d", day)), People: []schema.Party{{Name: "I"}},
		Rooms: map[string]schema.RoomSeen{"R1": {Cabinets: map[string]schema.CabinetSeen{"C2": {Alignment: map[string]length.Length{"drawer 1": off}}}}},
	}
}

// TestConcessionOfWhatIsToldOtherwise: permission for what was found stays in the
// record when the visit that showed it is withdrawn, or a late sheet of an earlier
// day shows it otherwise, and does not hold for what is found since. The record can
// go on; it does not contradict itself.
func TestConcessionOfWhatIsToldOtherwise(t *testing.T) {
	again := func(rec *schema.Record, day schema.Date, off string) {
		v := jobs.CopyVisit(rec.Measured.Visits[0])
		v.Date, v.Entered = day, rec.NextEntry()
		alter(v.Rooms["R1"].Joints, "C1+C2", func(j *schema.JointSeen) { j.FrontOffset = in(off) })
		rec.Measured.Visits = append(rec.Measured.Visits, v)
	}
	withdraw := func(rec *schema.Record) {
		rec.Measured.Visits[1].Withdrawn = &schema.Withdrawn{By: schema.Party{Name: "A. Lead"}, Date: "2026-12-09", Reason: "another room", Entered: rec.NextEntry()}
	}
	for name, tc := range map[string]struct {
		since func(*schema.Record)
		want  Outcome
	}{
		"nothing since": {func(*schema.Record) {}, Conceded},
		"the visit withdrawn, and found again": {func(rec *schema.Record) {
			withdraw(rec)
			again(rec, "2026-12-20", "1/4 in")
		}, Fail},
		"the visit withdrawn, and nobody looked": {func(rec *schema.Record) {
			withdraw(rec)
			alter(rec.Measured.Visits[0].Rooms["R1"].Joints, "C1+C2", func(j *schema.JointSeen) { j.FrontOffset = nil })
		}, NotObserved},
		"a late sheet of the day before the permission, and found again": {func(rec *schema.Record) {
			again(rec, "2026-12-03", "0 in")
			again(rec, "2026-12-20", "1/4 in")
		}, Fail},
	} {
		t.Run(name, func(t *testing.T) {
			rec := fixture()
			rec.Measured.Visits[0].Entered = 1
			again(rec, "2026-12-02", "1/4 in")
			rec.Agreed.Concessions = []schema.Concession{{Rule: "fronts flush", Subject: "R1/C1+C2", Reason: "not in view", By: schema.Party{Name: "GC"}, Date: "2026-12-04"}}
			tc.since(rec)
			for _, r := range judge(t, rec).Results {
				if r.Rule == frontsFlush && r.Subject.Item == "C1+C2" && r.Outcome != tc.want {
					t.Errorf("found %s (%s), expected %s", r.Outcome, r.Finding.String(), tc.want)
				}
			}
		})
	}
}
