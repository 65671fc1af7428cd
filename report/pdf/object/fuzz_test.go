package object

import "testing"

// FuzzObject holds that an object written anew reads as the same.
func FuzzObject(f *testing.F) {
	for _, s := range []string{"<< /A [1 0 R (a\\)\\053\\n) <00ff> -1.5 true null] /B#20 << >> >>", "(((", "1 0 R", "[[[["} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		s := scanner{b, 0, len(b)}
		v, err := s.value(0)
		if err != nil {
			return
		}
		w, err := Parse([]byte(v.Source()))
		if err != nil || w.String() != v.String() {
			t.Errorf("%q was written as %q, which reads %s (%v), expected %s", b, v.Source(), w, err, v)
		}
	})
}
