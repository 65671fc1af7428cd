package main

import (
	"testing"
	"testing/synctest"
	"time"
)

// TestCollectedInPauses: a collection is made once nobody enters anything, after as
// many entries as are worth one, and once; never within an entry, nor while entries
// follow each other, however long they take to judge. The clock is that of the test.
func TestCollectedInPauses(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		collected, within := 0, false
		p := newPauses(func() {
			collected++
			if within {
				t.Error("it is collected within an entry")
			}
		})
		enter := func(judging time.Duration) {
			p.around(func() {
				within = true
				time.Sleep(judging)
				synctest.Wait()
				within = false
			})
		}
		rests := func(when string, wait time.Duration, want int) {
			t.Helper()
			time.Sleep(wait)
			synctest.Wait()
			if collected != want {
				t.Errorf("%s: collected %d times, want %d", when, collected, want)
			}
		}
		rests("before anything is asked", time.Hour, 0)
		enter(time.Second) // opens the room
		rests("before it is quiet", quiet-1, 0)
		enter(3 * quiet) // longer than it would have waited
		for range 10 * answersToRest {
			rests("in the middle", quiet/4, 0)
			enter(quiet / 4)
		}
		rests("right after the last", quiet-1, 0)
		rests("in the pause", 1, 1)
		rests("in a long pause", time.Hour, 1)
		for range answersToRest - 1 {
			enter(0)
		}
		rests("after few", time.Hour, 1)
		enter(0)
		rests("after enough", quiet, 2)
	})
}
