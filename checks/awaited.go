package checks

// Awaited is what nobody observed and results of a room rest on, by their positions
// among its [Findings]; room is its position in the plan. Results that nobody can
// put right by looking are left out.
func (w *Walk) Awaited(room int) map[int][]*Ask {
	a, all := w.asked(room), map[int][]*Ask{}
	at := map[resultKey]int{}
	for i := range w.found.Rooms[room].Results {
		if r := &w.found.Rooms[room].Results[i]; r.Outcome == NotObserved {
			at[resultKey{r.Rule.Name, r.Subject.String()}] = i
		}
	}
	for _, x := range a.asks {
		seen := map[int]bool{}
		for _, key := range x.judged {
			i, ok := at[key]
			if ok && !seen[i] && a.unseen(x) {
				all[i] = append(all[i], &x.Ask)
				seen[i] = true
			}
		}
	}
	return all
}
