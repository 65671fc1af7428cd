package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"testing"
)

// TestSavedAtThatMoment: what an editor saves between the last comparison and
// the new name is never lost, where the system swaps names.
func TestSavedAtThatMoment(t *testing.T) {
	long(t)
	folder := t.TempDir()
	path, temp, edited := filepath.Join(folder, "job.json"), filepath.Join(folder, "temp"), filepath.Join(folder, "edited")
	store(t, path, nil)
	store(t, temp, nil)
	if err := swapNames(path, temp); err != nil {
		t.Skipf("%v: files are compared before they are replaced, and no more, so this was not checked", err)
	}
	refused, replaced := 0, 0
	for i := range 2000 {
		was, ours, theirs := fmt.Appendf(nil, "was %d", i), fmt.Appendf(nil, "ours %d", i), fmt.Appendf(nil, "theirs %d", i)
		store(t, path, was)
		store(t, temp, ours)
		store(t, edited, theirs)
		var both sync.WaitGroup
		both.Go(func() {
			if err := os.Rename(edited, path); err != nil {
				t.Error(err)
			}
		})
		err := replace(temp, path, was)
		both.Wait()
		switch got := string(fetch(t, path)); {
		case got != string(theirs):
			t.Fatalf("%d: %q is there (%v), and what was saved is lost", i, got, err)
		case errors.Is(err, errOtherText):
			refused++
		case err != nil:
			t.Fatal(err)
		default:
			replaced++
		}
	}
	t.Logf("%d refused, %d replaced before", refused, replaced)
}
