package main

import (
	"fmt"
	"slices"
	"strings"

	"setline.example/checks"
)

// observed counts what was observed in every room, and lists what is not as it
// was told before of the same visit, or everything.
func (p *comparisonPrinter) observed(all []checks.Observation, rooms []checks.RoomVerdicts, list bool) {
	if len(all) > 0 {
		p.line("\nObserved")
	}
	for _, r := range rooms {
		here := slices.DeleteFunc(slices.Clone(all), func(o checks.Observation) bool { return o.Room != r.Room })
		counts := map[string]int{}
		other := 0
		for _, o := range here {
			counts[o.Kind]++
			if o.Kind == checks.ObservedAgain && o.Then != o.Now {
				other++
			}
		}
		var parts []string
		for _, kind := range []string{checks.FirstObserved, checks.ObservedAgain, checks.Corrected, checks.Withdrawn} {
			if n := counts[kind]; n > 0 {
				part := fmt.Sprintf("%d %s", n, kind)
				if kind == checks.ObservedAgain {
					part += fmt.Sprintf(", %d of them with another value", other)
				}
				parts = append(parts, part)
			}
		}
		if len(parts) > 0 {
			p.line("  %s: %s", r.Room, strings.Join(parts, "; "))
		}
		for _, o := range here {
			if list || o.Kind == checks.Corrected || o.Kind == checks.Withdrawn {
				p.line("    %s %s", o.Kind, changeWords(o.Change, "seen", "not any more")+inBrackets(betweenVisits(o)))
			}
		}
	}
}

func betweenVisits(o checks.Observation) string {
	switch {
	case o.ThenVisit == "" || o.ThenVisit == o.NowVisit:
		return o.NowVisit
	case o.NowVisit == "":
		return o.ThenVisit
	}
	return o.ThenVisit + ", then " + o.NowVisit
}
