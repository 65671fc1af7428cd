package main

import (
	"fmt"
	"strings"

	"setline.example/checks/compare"
)

// observed counts what was observed in every room, and lists what is not as it
// was told before of the same visit, or everything.
func (p *comparisonPrinter) observed(all []compare.Observation, rooms []compare.RoomVerdicts, list bool) {
	if len(all) > 0 {
		p.line("\nObserved")
	}
	byRoom := map[string][]compare.Observation{}
	for _, o := range all {
		byRoom[o.Room] = append(byRoom[o.Room], o)
	}
	for _, r := range rooms {
		here := byRoom[r.Room]
		counts := map[string]int{}
		other := 0
		for _, o := range here {
			counts[o.Kind]++
			if o.Kind == compare.ObservedAgain && !o.Same {
				other++
			}
		}
		var parts []string
		for _, kind := range []string{compare.FirstObserved, compare.ObservedAgain, compare.Corrected, compare.Withdrawn} {
			if n := counts[kind]; n > 0 {
				part := fmt.Sprintf("%d %s", n, kind)
				if kind == compare.ObservedAgain {
					part += fmt.Sprintf(", %d of them with another value", other)
				}
				parts = append(parts, part)
			}
		}
		if len(parts) > 0 {
			p.line("  %s: %s", r.Room, strings.Join(parts, "; "))
		}
		for _, o := range here {
			if list || o.Kind == compare.Corrected || o.Kind == compare.Withdrawn {
				p.line("    %s %s", o.Kind, observationWords(o)+inBrackets(betweenVisits(o)))
			}
		}
	}
}

func observationWords(o compare.Observation) string {
	if o.Same {
		return fmt.Sprintf("%s: %s, the same", placed(o.Change), o.Now)
	}
	return changeWords(o.Change, "seen", "not any more")
}

func betweenVisits(o compare.Observation) string {
	switch {
	case o.ThenVisit == "" || o.ThenVisit == o.NowVisit:
		return o.NowVisit
	case o.NowVisit == "":
		return o.ThenVisit
	}
	return o.ThenVisit + ", then " + o.NowVisit
}
