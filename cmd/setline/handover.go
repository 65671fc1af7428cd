package main

import (
	"fmt"
	"slices"

	"github.com/go-json-experiment/json"
	"github.com/spf13/cobra"
	"setline.example/schema"
)

// handoverFlags are what agree handover is told.
type handoverFlags struct {
	rooms                                  []string
	to, warranty, papers, spares, by, date string
}

func newHandover() *cobra.Command {
	var f handoverFlags
	var backup bool
	c := changing(&cobra.Command{
		Use:   "handover FILE --room ROOM --to WHO --by WHO --date DATE",
		Short: "Write down that rooms were handed over",
		Long: `Handover writes down that rooms were handed over: to whom, on what day, from when
the warranty runs, and whether papers and spare parts were received. It becomes a
visit of the record, so that it can be withdrawn or corrected as one. What comes
later, such as papers, is written down the same way, by itself. The rule handed
over asks for it where the contract asks for closing out.` + agreeExits,
		Example: `  setline agree handover job.json --room S-104 --to "Petra Vance, Tarn Valley Builders" --warranty-from 2026-10-21 --papers yes --spare-parts no --by "Ingrid Sørlie, inspector" --date 2026-10-21
  setline agree handover job.json --room S-104 --spare-parts yes --by "Ingrid Sørlie, inspector" --date 2026-10-28`,
	}, &backup, f.write)
	c.Flags().StringArrayVar(&f.rooms, "room", nil, "room that was handed over; may be given more than once")
	c.Flags().StringVar(&f.to, "to", "", `to whom, "NAME, FIRM"`)
	c.Flags().StringVar(&f.warranty, "warranty-from", "", "day on which the warranty starts, YYYY-MM-DD")
	c.Flags().StringVar(&f.papers, "papers", "", "whether the papers were received: yes or no")
	c.Flags().StringVar(&f.spares, "spare-parts", "", "whether the spare parts and keys were received: yes or no")
	c.Flags().StringVar(&f.by, "by", "", `who says so, "NAME, ROLE, FIRM"`)
	c.Flags().StringVar(&f.date, "date", "", "on what day it was handed over, YYYY-MM-DD")
	return c
}

func (f *handoverFlags) write(c *cobra.Command, e *edit) error {
	if err := needs(c, "room", "by", "date"); err != nil {
		return err
	}
	seen, err := f.seen(c)
	if err != nil {
		return err
	}
	visit, err := e.visitOf("handing over", f.by, f.date)
	if err != nil {
		return err
	}
	from := map[string]string{"date": "--date", "people": "--by"}
	for _, name := range f.rooms {
		room, _, err := e.room("--room", name)
		if err != nil {
			return err
		}
		now := schema.Visit{Date: visit.Date, People: visit.People, Rooms: map[string]schema.RoomSeen{room: {Handover: *seen}}}
		if _, twice := visit.Rooms[room]; twice || slices.ContainsFunc(e.rec.Measured.Visits, func(old schema.Visit) bool { return sameHandover(&old, &now, room) }) {
			continue
		}
		visit.Rooms[room] = now.Rooms[room]
		here := "rooms/" + room
		from[here], from[here+"/handover/to"], from[here+"/handover/warranty_from"] = "--room", "--to", "--warranty-from"
		e.say("room %s: handed over as of %s, says %s", room, visit.Date, visit.People[0].Name)
	}
	if len(visit.Rooms) == 0 {
		return nil
	}
	return e.last("/measured/visits", len(e.rec.Measured.Visits), visit, from)
}

// visitOf is a visit at which somebody says something, so far of no room.
func (e *edit) visitOf(purpose, by, date string) (schema.Visit, error) {
	who, err := person("--by", by)
	if err != nil {
		return schema.Visit{}, err
	}
	day, err := dated("--date", date)
	return schema.Visit{Date: day, Purpose: purpose, People: []schema.Party{who}, Entered: e.rec.NextEntry(), Rooms: map[string]schema.RoomSeen{}}, err
}

// seen is what is said of handing over.
func (f *handoverFlags) seen(c *cobra.Command) (*schema.HandoverSeen, error) {
	seen := &schema.HandoverSeen{To: f.to, WarrantyFrom: schema.Date(f.warranty)}
	for _, q := range []struct {
		flag, typed string
		to          **bool
	}{{"papers", f.papers, &seen.Papers}, {"spare-parts", f.spares, &seen.SpareParts}} {
		yes := q.typed == "yes"
		switch {
		case q.typed == "":
		case !yes && q.typed != "no":
			return nil, hinted{fmt.Errorf("found --%s %q, expected yes or no", q.flag, q.typed), ""}
		default:
			*q.to = &yes
		}
	}
	if *seen == (schema.HandoverSeen{}) {
		return nil, usage(c, fmt.Errorf("found nothing said of handing over, expected --to, --warranty-from, --papers or --spare-parts"))
	}
	return seen, nil
}

// sameHandover reports whether a visit says of a room what another does.
func sameHandover(old, visit *schema.Visit, room string) bool {
	was, _ := json.Marshal(old.Rooms[room].Handover) // plain values, which can always be written
	now, _ := json.Marshal(visit.Rooms[room].Handover)
	return old.Withdrawn == nil && old.Date == visit.Date && slices.Equal(old.People, visit.People) && string(was) == string(now)
}
