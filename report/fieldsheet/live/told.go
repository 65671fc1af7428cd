package live

import "setline.example/checks"

// told are the results of the last verdict, and those of the one before. After an
// entry most are the same at the same position, or a few positions off.
type told struct {
	now, before tellings
	same        []int // of each now: its position before, -1 where it is new
}

// tellings are the results of one verdict: as the rules gave them, and in words.
type tellings struct {
	found []*checks.Result
	words []Result
}

// begin begins a verdict of at most so many results.
func (t *told) begin(most int) {
	t.now, t.before = tellings{make([]*checks.Result, 0, most), make([]Result, 0, most)}, t.now
	t.same = t.same[:0]
}

// tell adds a result in words, taken over where it says what it said before.
func (t *told) tell(res *checks.Result, words func(*checks.Result) Result) {
	at := t.find(res)
	if at >= 0 {
		t.now.words = append(t.now.words, t.before.words[at])
	} else {
		t.now.words = append(t.now.words, words(res))
	}
	t.now.found, t.same = append(t.now.found, res), append(t.same, at)
}

// find gives the position of the same result in the verdict before, -1 where it
// has none. It looks on from the one that the last was found at, since results
// keep their order.
func (t *told) find(res *checks.Result) int {
	n := len(t.same)
	if n > 0 && t.same[n-1] >= 0 {
		n = t.same[n-1] + 1
	}
	was := t.before.found
	if n < len(was) && says(was[n], res) {
		return n
	}
	const near = 8 // results that one entry brings or takes away side by side, as good as always
	for i := max(0, n-near); i < min(len(was), n+near); i++ {
		if says(was[i], res) {
			return i
		}
	}
	return -1
}

// says reports whether two results come to the same words: this is all that they
// are made of.
func says(a, b *checks.Result) bool {
	return a.Rule == b.Rule && a.Outcome == b.Outcome && a.Pointer == b.Pointer && a.Subject == b.Subject &&
		a.Finding.Equal(b.Finding) && a.Remedy.Equal(b.Remedy)
}
