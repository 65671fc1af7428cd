package main

import (
	"errors"
	"slices"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"
)

// The tests below run in a bubble, which fails where a goroutine is left
// behind, and where time passes only when nothing else can happen.

// TestInOrder: whoever finishes first, results come in order, and as soon as
// all before them are done.
func TestInOrder(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		start := time.Now()
		items := make([]int, 100)
		for i := range items {
			items[i] = i
		}
		var got []int
		var first time.Duration
		work := func(i int) int {
			time.Sleep(time.Duration(1+i*37%11) * time.Second)
			return i
		}
		err := inOrder(slices.Values(items), 4, 16, work, func(i int) error {
			if len(got) == 0 {
				first = time.Since(start)
			}
			got = append(got, i)
			return nil
		})
		if err != nil || !slices.Equal(got, items) {
			t.Errorf("error %v, order %v", err, got)
		}
		if first != time.Second {
			t.Errorf("the first result came after %v, and was there after 1s", first)
		}
	})
}

// TestInOrderStaysNear: while the first is slow, the others wait for it once
// the window is full.
func TestInOrderStaysNear(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		const window = 8
		var begun atomic.Int32
		items := func(yield func(int) bool) {
			for i := 0; i < 10_000 && yield(i); i++ {
			}
		}
		work := func(i int) int {
			begun.Add(1)
			if i == 0 {
				time.Sleep(time.Hour)
			}
			return i
		}
		go func() {
			time.Sleep(time.Minute)
			if n := begun.Load(); n > window+2 {
				t.Errorf("%d begun while the first is at work, with a window of %d", n, window)
			}
		}()
		n := 0
		if err := inOrder(items, 4, window, work, func(int) error { n++; return nil }); err != nil || n != 10_000 {
			t.Errorf("%d results, error %v", n, err)
		}
	})
}

// TestInOrderEnds: an error ends everything, also an endless list.
func TestInOrderEnds(t *testing.T) {
	enough := errors.New("enough")
	synctest.Test(t, func(t *testing.T) {
		endless := func(yield func(int) bool) {
			for i := 0; yield(i); i++ {
			}
		}
		work := func(i int) int { time.Sleep(time.Second); return i }
		err := inOrder(endless, 3, 8, work, func(i int) error {
			if i == 20 {
				return enough
			}
			return nil
		})
		if !errors.Is(err, enough) {
			t.Errorf("error %v", err)
		}
	})
}
