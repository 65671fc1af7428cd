package main

import (
	"iter"
	"sync"
)

// inOrder works on what items gives, on n goroutines, and hands the results to
// take one at a time in the order of the items. Work is never further ahead of
// take than window items, so that memory does not grow with their number. When
// take gives an error, that is returned; in any case every goroutine has ended
// by then.
func inOrder[T, R any](items iter.Seq[T], n, window int, work func(T) R, take func(R) error) error {
	type job struct {
		item   T
		result chan R
	}
	queue := make(chan job, window) // in order
	jobs := make(chan job)          // to whoever is free
	stop := make(chan struct{})
	var all sync.WaitGroup
	defer all.Wait()
	defer close(stop)

	all.Go(func() {
		defer close(queue)
		defer close(jobs)
		for item := range items {
			j := job{item, make(chan R, 1)}
			select {
			case queue <- j:
			case <-stop:
				return
			}
			select {
			case jobs <- j:
			case <-stop:
				return
			}
		}
	})
	for range n {
		all.Go(func() {
			for j := range jobs {
				j.result <- work(j.item)
			}
		})
	}
	for j := range queue {
		if err := take(<-j.result); err != nil {
			return err
		}
	}
	return nil
}
