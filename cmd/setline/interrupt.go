package main

import (
	"os"
	"os/signal"
	"sync"
)

// interrupts removes what the program has not finished when it is interrupted
// (Ctrl-C, SIGTERM, a terminal that closes), and lets it end as it would have.
// There is one, as there is one process that gets the signals.
var interrupts = &unfinished{files: map[string]int{}}

// unfinished are files that are to be removed when the program is interrupted.
type unfinished struct {
	mu    sync.Mutex
	files map[string]int
	come  chan os.Signal // nil while there are none
}

// removes has the file at path removed on an interrupt, until done is called.
func (u *unfinished) removes(path string) (done func()) {
	u.mu.Lock()
	defer u.mu.Unlock()
	if u.files[path]++; u.come == nil {
		u.come = make(chan os.Signal, 1)
		for _, s := range endings {
			if !signal.Ignored(s) { // as by nohup
				signal.Notify(u.come, s)
			}
		}
		go u.await(u.come)
	}
	return func() {
		u.mu.Lock()
		defer u.mu.Unlock()
		if u.files[path]--; u.files[path] == 0 {
			delete(u.files, path)
		}
		if len(u.files) == 0 && u.come != nil {
			signal.Stop(u.come)
			close(u.come)
			u.come = nil
		}
	}
}

// undisturbed does what an interrupt must not cut in two; it comes after.
func (u *unfinished) undisturbed(do func() error) error {
	u.mu.Lock()
	defer u.mu.Unlock()
	return do()
}

// await ends the program on the first signal, by the very signal where the
// system has that, so that a shell sees why it ended.
func (u *unfinished) await(come <-chan os.Signal) {
	s, ok := <-come
	if !ok {
		return
	}
	u.mu.Lock() // for ever: nothing may be begun any more
	for path := range u.files {
		os.Remove(path)
	}
	signal.Reset(s)
	if p, err := os.FindProcess(os.Getpid()); err == nil && p.Signal(s) == nil {
		select {} // it comes
	}
	os.Exit(exitInput)
}
