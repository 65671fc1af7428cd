package checks_test

import (
	"math/rand/v2"
	"strings"
	"testing"

	"setline.example/checks"
	"setline.example/checks/internal/rooms"
	"setline.example/report"
	"setline.example/schema"
	"setline.example/schema/chance"
	"setline.example/schema/length"
)

// shortened takes readings away from the ends of the floor lines of a room, and sets
// what its bolts reach so that some rooms have heights that serve and some not. It
// returns by elevation whether a leveler stands beyond what was read: by hand, of
// cabinets' sides and the ends of each line.
func shortened(rng *rand.Rand, rec *schema.Record) map[string]bool {
	room := &rec.Planned.Rooms[0]
	seen := rec.Measured.Visits[0].Rooms[room.Name]
	clear(seen.Cabinets)
	unread := map[string]bool{}
	rise := length.Length(rng.IntN(5)-2) * length.Inch / 2
	for _, e := range room.Elevations {
		rooms.Alter(seen.Elevations, e.Name, func(s *schema.ElevationSeen) {
			s.Reference = "L1"
			*s.Mark += rise
			for _, line := range []*[]schema.FloorReading{&s.Floor.Front, &s.Floor.Back} {
				switch rng.IntN(8) {
				case 0:
					*line = (*line)[1:]
				case 1:
					*line = (*line)[:len(*line)-1]
				case 2:
					*line = nil
				}
				at := length.Length(0)
				for _, u := range e.Units {
					if u.SpaceBefore != nil {
						at += *u.SpaceBefore
					}
					width := rec.Planned.Fillers[u.Part].Width
					if c, cabinet := rec.Planned.Cabinets[u.Part]; cabinet {
						width = c.Width
						all := *line
						unread[e.Name] = unread[e.Name] || len(all) == 0 || at < all[0].At() || at+width > all[len(all)-1].At()
					}
					at += width
				}
			}
		})
	}
	return unread
}

// TestServesAsFarAsRead: where a leveler stands beyond what of the floor was read,
// nothing on a layout says that heights serve everywhere, or one height a room,
// without saying that it is as far as is known; and where all was read nothing is
// hedged.
func TestServesAsFarAsRead(t *testing.T) {
	rng := chance.Source(t)
	plain, hedged, common := 0, 0, 0
	count := func(unread bool, text, sure, asFar string) {
		t.Helper()
		says, hedges := strings.Contains(text, sure), strings.Contains(text, asFar)
		if says && unread || hedges && !unread {
			t.Errorf("some of the floor not read: %v, and it says %q", unread, text)
		}
		if says {
			plain++
		}
		if hedges {
			hedged++
		}
	}
	for range 40 {
		rec := rooms.New(rng, rooms.Size{Rooms: 1, Elevations: 2, Cabinets: 2})
		unread := shortened(rng, rec)
		rec, src, err := rooms.Read(rec)
		if err != nil {
			t.Fatal(err)
		}
		found, err := checks.Run(rec, src)
		if err != nil {
			t.Fatal(err)
		}
		some := false
		for _, e := range report.NewLayoutView(found, report.LayoutOptions{}).Elevations {
			some = some || unread[string(e.Name)]
			for _, fact := range e.Facts {
				count(unread[string(e.Name)], string(fact.Value), "reserve left everywhere", "where the floor was read")
			}
		}
		for _, o := range checks.Layouts(rec, found) {
			if o.OneHeight == nil {
				continue
			}
			for i := range o.OneHeight.Lines {
				for _, says := range o.OneHeight.Lines[i].Words(length.InchSystem) {
					if text := says.String(); some && (strings.HasPrefix(text, "One height serves") || strings.HasPrefix(text, "With packing one serves") || strings.HasPrefix(text, "Without reserve one serves")) {
						t.Errorf("some of the floor not read, and it says %q", text)
					} else if strings.HasPrefix(text, "As far as is known one") {
						common++
					}
				}
			}
		}
		for _, r := range found.Results {
			if r.Rule.ID == "floor-within-travel" {
				count(unread[r.Subject.Elevation], r.Remedy.String(), "keep every leveler within", "of which the floor was read")
			}
		}
	}
	if plain < 10 || hedged < 10 || common == 0 {
		t.Errorf("%d said plainly and %d as far as read, %d of a room; expected ten of each, and some", plain, hedged, common)
	}
}
