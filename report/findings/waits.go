package findings

import (
	"fmt"
	"slices"
	"strings"

	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/schema"
	"setline.example/schema/plaintext"
)

// One reading may be all that several results lack. Text for people says it once,
// with what waits for it; every other format has each result.

// wait is what nobody observed, and all that some results lack.
type wait struct {
	where string   // "S-104/A3"; the room where it is of several places
	item  string   // "A3"; "" where it is of several places
	what  []string // what to observe: "Top, front-left"
	whole bool     // it is all that there is to observe of its kind there
}

// waiting finds what results of a room wait for together, by their positions.
func waiting(found *checks.Findings, src *schema.Source, room int) map[int]*wait {
	awaited := checks.NewWalk(found.Record, src, found).Awaited(room)
	of, same, n := map[int]string{}, map[string]*wait{}, map[string]int{}
	for i := range found.Rooms[room].Results {
		if len(awaited[i]) == 0 {
			continue
		}
		key := namesOf(awaited[i])
		if n[key]++; n[key] == 1 {
			same[key] = newWait(found, room, awaited[i])
		}
		of[i] = key
	}
	out := map[int]*wait{}
	for i := range found.Rooms[room].Results {
		if n[of[i]] > 1 {
			out[i] = same[of[i]]
		}
	}
	return out
}

// await notes what results wait for, by their positions among all of the room.
func (r *Room) await(waits map[int]*wait) {
	for i := range r.Results {
		r.Results[i].waits = waits[r.Results[i].at]
	}
}

func namesOf(asks []*checks.Ask) string {
	names := make([]string, len(asks))
	for i, a := range asks {
		names[i] = a.Name(nil)
	}
	slices.Sort(names)
	return strings.Join(names, " ")
}

func newWait(found *checks.Findings, room int, asks []*checks.Ask) *wait {
	say := say.Writer{Lengths: found.Record.Planned.LengthsIn}
	at := asks[0].Subject
	w := &wait{where: at.String(), item: at.Item, whole: len(asks) == 1 && asks[0].Key == ""}
	if slices.ContainsFunc(asks, func(a *checks.Ask) bool { return a.Subject.Item != at.Item }) {
		w.where, w.item = found.Rooms[room].Room.Name, ""
	}
	for _, a := range asks {
		words := say.Text(a.Words)
		if w.item == "" {
			words = a.Subject.Item + ": " + words
		}
		w.what = append(w.what, words)
	}
	return w
}

// together takes results out that wait for the same as others, and gives them with
// the first of these. What the baseline has is told apart from what is new.
func together(results []Result) (left []Result, with map[*wait][]Result) {
	with = map[*wait][]Result{}
	first := map[*wait]bool{}
	for _, r := range results {
		if r.waits != nil && !r.Known {
			with[r.waits] = append(with[r.waits], r)
		}
	}
	for _, r := range results {
		if r.waits == nil || r.Known || len(with[r.waits]) == 1 {
			r.waits = nil
		} else if first[r.waits] {
			continue
		} else {
			first[r.waits] = true
		}
		left = append(left, r)
	}
	return left, with
}

// waits says what to observe, and what waits for it.
func (t *text) waits(w *wait, results []Result) {
	const some = 4
	what := strings.Join(w.what[:min(some, len(w.what))], "; ")
	if more := len(w.what) - some; more > 0 {
		what += fmt.Sprintf(" and %d more", more)
	}
	outcome := t.in(outcomeStyle[checks.NotObserved], fmt.Sprintf("%-13s", checks.NotObserved))
	fmt.Fprintf(t.w, "    %s %s  %s\n", outcome, plaintext.Visible(w.where), plaintext.Visible(what))
	t.filled(plaintext.Visible(fmt.Sprintf("%d results wait for it: %s", len(results), w.rules(results))))
	// What to do about a rule speaks of all that there is of a kind.
	todo := "Take along what `setline sheet` asks for: this, and what is read beside it"
	if w.whole && results[0].Remedy != "" {
		todo = plaintext.Visible(results[0].Remedy)
	}
	t.filled("to do: " + todo)
}

// rules names the rules of results, and where each of them is: "level and plumb
// (run A1 to A5, A3), cabinet twist".
func (w *wait) rules(results []Result) string {
	var rules []string
	of := map[string][]string{}
	for _, r := range results {
		if of[r.Rule] == nil {
			rules = append(rules, r.Rule)
		}
		of[r.Rule] = append(of[r.Rule], r.item)
	}
	for i, rule := range rules {
		if items := of[rule]; len(items) > 1 || items[0] != w.item {
			rules[i] += " (" + strings.Join(items, ", ") + ")"
		}
	}
	return strings.Join(rules, ", ")
}
