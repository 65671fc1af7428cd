package findings

import (
	"fmt"
	"slices"
	"strings"

	"setline.example/checks"
	"setline.example/schema/plaintext"
)

// What nobody looked at is told by place where it is much: text for people grows
// with what is wrong. Every other format has each result.

// fewUnseen is how many things that nobody looked at are told one by one, at each
// place.
const fewUnseen = 10

// unseen is what nobody looked at in one place.
type unseen struct {
	where string   // "S-104/elevation A", or the room
	items []string // units, joints and what else, in walking order
	known int      // how many the baseline has
	n     int
}

// gathered takes out of the results of a room what nobody looked at, where it is
// more than a few: all of it as one where nothing else is known of the room, else
// by elevation.
func gathered(room *Room, results []Result) (left []Result, all []unseen) {
	whole := true
	for o := range room.Counts {
		whole = whole && (o == checks.NotObserved || o == checks.NotApplicable)
	}
	at := func(r *Result) string {
		if whole || r.Elevation == "" {
			return room.Name
		}
		return room.Name + "/elevation " + r.Elevation
	}
	count := map[string]int{}
	for i := range results {
		if results[i].Outcome == checks.NotObserved {
			count[at(&results[i])]++
		}
	}
	for i := range results {
		r := &results[i]
		where := at(r)
		if r.Outcome != checks.NotObserved || count[where] <= fewUnseen {
			left = append(left, *r)
			continue
		}
		k := slices.IndexFunc(all, func(u unseen) bool { return u.where == where })
		if k < 0 {
			k, all = len(all), append(all, unseen{where: where})
		}
		u := &all[k]
		u.n++
		if r.Known {
			u.known++
		}
		if !slices.Contains(u.items, r.item) {
			u.items = append(u.items, r.item)
		}
	}
	return left, all
}

// toldAlone reports whether several things that nobody looked at in one elevation
// are told one by one.
func toldAlone(room *Room) bool {
	left, _ := gathered(room, room.Results)
	n := map[string]int{}
	for i := range left {
		if r := &left[i]; r.Outcome == checks.NotObserved && r.Elevation != "" {
			if n[r.Elevation]++; n[r.Elevation] > 1 {
				return true
			}
		}
	}
	return false
}

// much tells what nobody looked at, place by place.
func (t *text) much(all []unseen) {
	for _, u := range all {
		t.unseen(u)
	}
}

// unseen says how much nobody looked at in one place, and of what.
func (t *text) unseen(u unseen) {
	known := ""
	if u.known > 0 {
		known = fmt.Sprintf(" (%d known)", u.known)
	}
	outcome := fmt.Sprintf("%-13s", checks.NotObserved)
	fmt.Fprintf(t.w, "    %s %s  %d things that nobody looked at%s\n", t.in(outcomeStyle[checks.NotObserved], outcome), plaintext.Visible(u.where), u.n, known)
	const some = 6
	items := strings.Join(u.items[:min(some, len(u.items))], ", ")
	if more := len(u.items) - some; more > 0 {
		items += fmt.Sprintf(" and %d more places", more)
	}
	t.filled("of " + plaintext.Visible(items))
	t.filled("to do: Take along what `setline sheet` asks for; --all lists each")
}
