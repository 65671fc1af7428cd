package main

import (
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"
	"setline.example/checks"
	"setline.example/schema/plaintext"
)

func newStatus() *cobra.Command {
	var format string
	c := &cobra.Command{
		Use:   "status PATH...",
		Short: "Say in one line for each room how far it is",
		Long: `Status reads job records, and folders of them with all that lies below, and
prints one line for each room: its units, how much of what has to be observed
was observed, open faults, what nobody observed, and whether it is ready; then
the total. In a folder every *.json file with a "setline" member at its top is
a job record; other files are passed over. Files are in the order of their
paths, rooms as planned. "-" reads standard input.

A file that cannot be used is named on standard error and does not stop the
others.

Exit codes: 0 every room is ready, 1 a room is not ready, 2 a record cannot be
used or there is none.`,
		Example: `  setline status examples
  setline status examples/annex/job.json examples/metric/job.json
  setline status examples --format json`,
		Args: func(c *cobra.Command, args []string) error {
			if len(args) == 0 {
				return usage(c, errors.New("found no path, expected job records or folders of them"))
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			if err := knownFormat(format); err != nil {
				return usage(c, err)
			}
			all, err := statuses(args, c.InOrStdin(), newProgress(c.ErrOrStderr(), 0))
			if err != nil {
				return err
			}
			if len(all) == 0 {
				return hinted{errors.New(`found no job record, expected *.json files with "setline" at their top`), "name a record itself to see what is wrong with it"}
			}
			s, broken := gathered(all)
			if format == "json" {
				err = writeJSON(c.OutOrStdout(), s)
			} else if len(s.Rooms) > 0 {
				err = s.print(c.OutOrStdout())
			}
			if err != nil || len(broken) > 0 {
				return errors.Join(append(broken, err)...)
			}
			return settled(s.Total.Ready == s.Total.Rooms, nil)
		},
	}
	addFormatFlag(c, &format)
	return c
}

// status is what status says, in its machine form version 1.
type status struct {
	Format  int          `json:"setline_status"`
	Rooms   []roomStatus `json:"rooms"`
	NotRead []string     `json:"not_read"`
	Total   struct {
		Files int `json:"files"`
		Rooms int `json:"rooms"`
		Ready int `json:"ready"`
		tally
	} `json:"total"`
}

// roomStatus is one line.
type roomStatus struct {
	File string `json:"file"`
	Room string `json:"room"`
	Use  string `json:"use,omitempty"`
	tally
	Ready bool `json:"ready"`
}

// tally are the numbers of a room, or of all. Needed are all results but those
// with nothing to judge; of them Observed are those that somebody looked at.
type tally struct {
	Units       int `json:"units"`
	Needed      int `json:"needed"`
	Observed    int `json:"observed"`
	Faults      int `json:"open_faults"`
	Undecided   int `json:"undecided"`
	NotObserved int `json:"not_observed"`
}

func (t *tally) add(o tally) {
	t.Units += o.Units
	t.Needed += o.Needed
	t.Observed += o.Observed
	t.Faults += o.Faults
	t.Undecided += o.Undecided
	t.NotObserved += o.NotObserved
}

// roomStatuses gives the lines of one record.
func roomStatuses(path string, found *checks.Findings) []roomStatus {
	var all []roomStatus
	for _, v := range found.Rooms {
		r := roomStatus{File: path, Room: v.Room.Name, Use: v.Room.Use, Ready: v.Ready}
		for _, e := range v.Room.Elevations {
			r.Units += len(e.Units)
		}
		r.NotObserved = v.Counts[checks.NotObserved]
		r.Needed = len(v.Results) - v.Counts[checks.NotApplicable]
		r.Observed = r.Needed - r.NotObserved
		r.Faults, r.Undecided = v.Counts[checks.Fail], v.Counts[checks.Undecided]
		all = append(all, r)
	}
	return all
}

func (s *status) add(r roomStatus) {
	s.Rooms = append(s.Rooms, r)
	s.Total.Rooms++
	s.Total.add(r.tally)
	if r.Ready {
		s.Total.Ready++
	}
}

// print writes the lines as a table.
func (s *status) print(w io.Writer) error {
	t := aligned{right: map[int]bool{2: true, 3: true, 4: true, 5: true, 6: true}}
	t.row("file", "room", "units", "observed", "open faults", "undecided", "not observed", "answer")
	line := func(file, room string, n tally, answer string) {
		t.row(plaintext.Visible(file), plaintext.Visible(room), fmt.Sprint(n.Units), fmt.Sprintf("%d of %d", n.Observed, n.Needed),
			fmt.Sprint(n.Faults), fmt.Sprint(n.Undecided), fmt.Sprint(n.NotObserved), answer)
	}
	for _, r := range s.Rooms {
		answer := "READY"
		if !r.Ready {
			answer = "NOT READY"
		}
		line(r.File, r.Room, r.tally, answer)
	}
	line("total, "+plaintext.Count(s.Total.Files, "file"), plaintext.Count(s.Total.Rooms, "room"), s.Total.tally, fmt.Sprintf("%d of %d READY", s.Total.Ready, s.Total.Rooms))
	_, err := io.WriteString(plaintext.Lines(w), t.text())
	return err
}
