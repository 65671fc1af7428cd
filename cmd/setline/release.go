package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"setline.example/checks"
	"setline.example/schema"
)

// releaseFlags are what release is told.
type releaseFlags struct {
	of                   []string
	by, date, hold, runs string
}

func newRelease() *cobra.Command {
	var f releaseFlags
	var backup bool
	c := changing(&cobra.Command{
		Use:   "release FILE --of PLACE --by WHO --date DATE",
		Short: "Write down that a run is released for its top",
		Long: `Release writes down the hold point before a top is laid: who released which runs
of an elevation, and when. After it levelers, drawers and screws above can no
longer be reached. It becomes a visit of the record, so that it can be withdrawn
or corrected as one. With --hold the run is not released, and why.

An elevation is named with its room, "S-104/A"; a room alone means all of its
elevations. --runs names runs of one elevation, each by the tag of one of its
units, where not all are meant. What speaks against the release as the record
has it is told, and the release is written all the same: whoever released it has
seen the run. "setline layout --tops" makes the page.

Exit codes: 0 the record has it now, 2 it has not, and is as it was; 4 the
record was changed, and telling so failed.`,
		Example: `  setline release job.json --of S-104/A --by "Ingrid Sørlie, inspector, Halden Quality Services" --date 2026-10-08
  setline release job.json --of S-104 --of S-106/B --by "Ingrid Sørlie, inspector" --date 2026-10-08
  setline release job.json --of S-104/A --runs A4 --by "Ingrid Sørlie" --date 2026-10-08 --hold "A5 not anchored yet"`,
	}, &backup, f.write)
	c.Flags().StringArrayVar(&f.of, "of", nil, "room and elevation, such as S-104/A, or a room; may be given more than once")
	c.Flags().StringVar(&f.runs, "runs", "", "tags of units of the runs that are meant, with commas between; without it all")
	c.Flags().StringVar(&f.by, "by", "", `who released it, "NAME, ROLE, FIRM"`)
	c.Flags().StringVar(&f.date, "date", "", "on what day, YYYY-MM-DD")
	c.Flags().StringVar(&f.hold, "hold", "", "why it is not released")
	return c
}

func (f *releaseFlags) write(c *cobra.Command, e *edit) error {
	if err := needs(c, "of", "by", "date"); err != nil {
		return err
	}
	visit, err := e.visitOf("release for tops", f.by, f.date)
	if err != nil {
		return err
	}
	places, err := e.elevations("--of", f.of)
	if err != nil {
		return err
	}
	released := f.hold == ""
	closing := schema.ClosingSeen{TopsReleased: &released, Remark: f.hold}
	for tag := range strings.SplitSeq(f.runs, ",") {
		if tag = strings.TrimSpace(tag); tag != "" {
			closing.ReleasedRuns = append(closing.ReleasedRuns, tag)
		}
	}
	if len(places) > 1 && len(closing.ReleasedRuns) > 0 {
		return usage(c, fmt.Errorf("found --runs and %d elevations, expected one that has these runs", len(places)))
	}
	return f.released(c, e, &visit, places, closing)
}

// released writes a visit that says of places what the record does not say yet.
func (f *releaseFlags) released(c *cobra.Command, e *edit, visit *schema.Visit, places []elevationAt, closing schema.ClosingSeen) error {
	word := "released"
	if f.hold != "" {
		word = "not released"
	}
	from := map[string]string{"date": "--date", "people": "--by"}
	places = slices.DeleteFunc(places, func(p elevationAt) bool {
		now := schema.Visit{Date: visit.Date, People: visit.People}
		now.Rooms = map[string]schema.RoomSeen{p.room: {Elevations: map[string]schema.ElevationSeen{p.name: {Closing: closing}}}}
		return slices.ContainsFunc(e.rec.Measured.Visits, func(old schema.Visit) bool { return sameRelease(&old, &now, p) })
	})
	for _, p := range places {
		if visit.Rooms[p.room].Elevations == nil {
			visit.Rooms[p.room] = schema.RoomSeen{Elevations: map[string]schema.ElevationSeen{}}
		}
		visit.Rooms[p.room].Elevations[p.name] = schema.ElevationSeen{Closing: closing}
		here := "rooms/" + p.room + "/elevations/" + p.name
		from[here], from[here+"/closing/released_runs"], from[here+"/closing/remark"] = "--of", "--runs", "--hold"
		e.say("%s/%s: %s for its top by %s on %s", p.room, p.name, word, visit.People[0].Name, visit.Date)
	}
	if len(places) == 0 {
		return nil
	}
	if err := e.last("/measured/visits", len(e.rec.Measured.Visits), visit, from); err != nil {
		return err
	}
	return f.against(c, e, places)
}

// sameRelease reports whether a visit says of an elevation what another does.
func sameRelease(old, visit *schema.Visit, p elevationAt) bool {
	was, now := old.Rooms[p.room].Elevations[p.name].Closing, visit.Rooms[p.room].Elevations[p.name].Closing
	return old.Withdrawn == nil && old.Date == visit.Date && slices.Equal(old.People, visit.People) &&
		was.TopsReleased != nil && *was.TopsReleased == *now.TopsReleased && slices.Equal(was.ReleasedRuns, now.ReleasedRuns)
}

// against tells what speaks against a release as the record has it.
func (f *releaseFlags) against(c *cobra.Command, e *edit, places []elevationAt) error {
	if f.hold != "" {
		return nil
	}
	found, err := checks.Run(e.rec, e.src)
	if err != nil {
		return err
	}
	draft := checks.NewDraft(e.rec, found)
	for i := range e.rec.Planned.Rooms {
		for _, r := range draft.Releases(i) {
			if slices.Contains(places, elevationAt{r.Room, r.Elevation}) && !r.Ready() {
				note(c.ErrOrStderr(), fmt.Sprintf("%s: %s/%s: not all that is under the top holds as the record has it; \"setline layout --tops\" lists it", e.path, r.Room, r.Elevation))
			}
		}
	}
	return nil
}
