package checks

import (
	"slices"
	"testing"

	"setline.example/checks/internal/rooms"
	"setline.example/checks/say"
	"setline.example/schema/chance"
)

// TestSubjectsStay: concessions, baselines and fingerprints hold the names of
// subjects, so that these stay as they are, whatever is said of subjects in
// whichever language; and what is said of one in English is its name.
func TestSubjectsStay(t *testing.T) {
	var names []string
	for _, r := range judge(t, fixture()).Results {
		names = append(names, r.Subject.String())
	}
	for _, want := range []string{
		"R1/C1", "R1/C1+C2", "R1/F1+C1", "R1/elevation A", "R1/run C1 to C3", "R1/part BD24", "R1/site", "R1/laser on 2026-09-10",
	} {
		if !slices.Contains(names, want) {
			t.Errorf("no result of %q among %q", want, slices.Compact(names))
		}
	}
	rng := chance.Source(t)
	brackets := say.Writer{Language: func(one, many string, n int) string { return "[" + one + "]" }}
	for range 8 {
		rec := rooms.New(rng, rooms.Size{Rooms: 1, Elevations: 2, Cabinets: 5})
		for _, r := range judge(t, rec).Results {
			s := r.Subject
			if s.Kind == "" || s.Words().String() != s.String() {
				t.Errorf("%q, a %q, is said as %q", s, s.Kind, s.Words())
			}
			if own := s.Kind == SubjectUnit || s.Kind == SubjectJoint; own != (brackets.Text(s.ItemWords()) == s.Item) {
				t.Errorf("%q is said as %q in another language", s, brackets.Text(s.ItemWords()))
			}
		}
	}
}
