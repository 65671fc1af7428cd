package findings

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"

	"setline.example/checks"
)

// Baseline is what an earlier run found, by which a later one tells what is new.
//
// A record is compared with the one of the same path. One whose path the
// baseline does not know is compared with those of the baseline that are no
// longer there: it may be one of them, renamed.
type Baseline struct {
	files map[string]map[string]checks.Outcome // by path, then fingerprint
	gone  map[string]checks.Outcome            // of all records that are no longer there
}

// ErrNoBaseline is the error of a file that is no baseline.
var ErrNoBaseline = errors.New("not the findings of an earlier run")

// ReadBaseline reads the JSON format, version 1. Of it only what keeps a room
// from being ready counts; a record that could not be used then has nothing
// known. there says whether a record is still at its path; nil looks at the
// file system.
func ReadBaseline(r io.Reader, there func(path string) bool) (*Baseline, error) {
	if there == nil {
		there = func(path string) bool {
			_, err := os.Stat(path)
			return err == nil
		}
	}
	var was struct {
		Form  *int `json:"setline_findings"`
		Files []struct {
			Path  string
			Rooms []struct {
				Results []struct {
					Outcome     checks.Outcome
					Fingerprint string
				}
			}
		}
	}
	d := json.NewDecoder(r)
	if err := d.Decode(&was); err != nil {
		return nil, fmt.Errorf("%w: %w", ErrNoBaseline, err)
	}
	if was.Form == nil {
		return nil, fmt.Errorf(`%w: no "setline_findings"`, ErrNoBaseline)
	}
	if *was.Form != Form {
		return nil, fmt.Errorf("%w: version %d of the form, and this program knows version %d", ErrNoBaseline, *was.Form, Form)
	}
	b := &Baseline{map[string]map[string]checks.Outcome{}, map[string]checks.Outcome{}}
	for _, f := range was.Files {
		known := map[string]checks.Outcome{}
		for _, room := range f.Rooms {
			for _, r := range room.Results {
				if r.Fingerprint != "" && !r.Outcome.Holds() {
					known[r.Fingerprint] = r.Outcome
				}
			}
		}
		b.files[f.Path] = known
		if f.Path == "-" || there(f.Path) {
			continue
		}
		for fingerprint, outcome := range known {
			if was, ok := b.gone[fingerprint]; !ok || noBetter(outcome, was) {
				b.gone[fingerprint] = outcome
			}
		}
	}
	return b, nil
}

// of gives what is known of the record at path, by fingerprint.
func (b *Baseline) of(path string) map[string]checks.Outcome {
	if b == nil {
		return nil
	}
	if known, ok := b.files[path]; ok {
		return known
	}
	return b.gone
}
