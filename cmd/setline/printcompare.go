package main

import (
	"fmt"
	"io"
	"strings"

	"setline.example/checks"
	"setline.example/checks/compare"
	"setline.example/schema/plaintext"
)

// printComparison writes a comparison as text, most important first.
func printComparison(w io.Writer, then, now string, c *compare.Comparison, all bool) error {
	p := comparisonPrinter{}
	if !c.SameJob() {
		p.line("These are records of two different jobs: %s, and %s.", jobName(c.Then.Name, c.Then.Number), jobName(c.Now.Name, c.Now.Number))
	}
	p.line("then  %s", then)
	p.line("now   %s", now)
	if c.Same() {
		p.line("\nNothing changed.")
		_, err := io.WriteString(w, p.String())
		return err
	}
	p.rooms(c.Rooms)
	p.changes("Planned otherwise", c.Planned, "added", "removed")
	p.changes("Arrived", c.Arrived, "new", "no longer in the record")
	p.changes("Visits", c.Visits, "made", "no longer in the record")
	p.moved(c.Moved, all)
	p.faults("Faults opened", c.Opened, "")
	p.faults("Faults closed", c.Closed, "seen put right by no visit")
	p.faults("Faults found and closed between the two", c.Passing, "")
	p.judged(c.Judged, all)
	p.observed(c.Observed, c.Rooms, all)
	p.changes("Agreed", c.Agreed, "made", "withdrawn")
	_, err := io.WriteString(w, p.String())
	return err
}

func jobName(name, number string) string {
	if number != "" {
		return name + " (" + number + ")"
	}
	return name
}

type comparisonPrinter struct{ strings.Builder }

// line writes a line of text; what a record holds cannot act on the terminal.
func (p *comparisonPrinter) line(format string, args ...any) {
	for i, a := range args {
		if s, ok := a.(string); ok {
			args[i] = plaintext.Visible(s)
		}
	}
	fmt.Fprintf(p, format+"\n", args...)
}

func (p *comparisonPrinter) rooms(rooms []compare.RoomVerdicts) {
	p.line("\nRooms")
	for _, r := range rooms {
		p.line("  %s: %s, was %s", r.Room, standing(r.Now), standing(r.Then))
	}
}

func standing(s *compare.Standing) string {
	switch {
	case s == nil:
		return "not planned"
	case s.Ready:
		return "READY (" + countWords(s.Counts) + ")"
	}
	return "NOT READY (" + countWords(s.Counts) + ")"
}

func (p *comparisonPrinter) changes(title string, all []compare.Change, added, gone string) {
	if len(all) == 0 {
		return
	}
	p.line("\n" + title)
	for _, c := range all {
		p.line("  %s", changeWords(c, added, gone))
	}
}

// changeWords says one change in a line.
func changeWords(c compare.Change, added, gone string) string {
	what := placed(c)
	switch {
	case c.Then == "":
		return fmt.Sprintf("%s, %s: %s", what, added, c.Now)
	case c.Now == "":
		return fmt.Sprintf("%s, %s: %s", what, gone, c.Then)
	}
	return fmt.Sprintf("%s: %s, was %s", what, c.Now, c.Then)
}

func placed(c compare.Change) string { return strings.TrimSpace(where(c) + " " + c.What) }

// where names the place of a change as results do: "S-104/A3".
func where(c compare.Change) string {
	switch {
	case c.Item != "":
		return c.Room + "/" + c.Item
	case c.Elevation != "":
		return c.Room + "/elevation " + c.Elevation
	}
	return c.Room
}

// moved says how far corners moved: those that did one by one, and of the
// others the most, unless all are to be listed.
func (p *comparisonPrinter) moved(all []compare.Moved, list bool) {
	if len(all) > 0 {
		p.line("\nMovement of top corners, from the set-height mark")
	}
	for _, m := range all {
		within, untied, unknown := 0, 0, 0
		var most compare.CornerMove
		for _, c := range m.Corners {
			switch {
			case !c.Tied:
				untied++
			case !c.Known:
				unknown++
			case c.Within:
				if within++; within == 1 || c.Up.Abs() > most.Up.Abs() {
					most = c
				}
			}
		}
		p.line("  %s/elevation %s: %s read again, %d within the uncertainty of a difference", m.Room, m.Elevation, plaintext.Count(len(m.Corners), "corner"), within)
		for _, c := range m.Corners {
			if c.Tied && c.Known && (list || !c.Within) {
				p.line("    %s", cornerWords(c))
			}
		}
		if within > 0 && !list {
			p.line("    most of these: %s", cornerWords(most))
		}
		if m.Cause != "" {
			p.line("    %s", m.Cause)
		}
		if untied > 0 {
			p.line("    %s: not observed, since some visit did not read the set-height mark", plaintext.Count(untied, "corner"))
		}
		if unknown > 0 {
			p.line("    %s: not known to have moved or not, since the resolution of an instrument is not known", plaintext.Count(unknown, "corner"))
		}
	}
}

// cornerWords says how far a corner moved. An uncertainty is no reading, and
// is written without fractions.
func cornerWords(c compare.CornerMove) string {
	moved := "came up by " + c.Up.String()
	if c.Up < 0 {
		moved = "went down by " + c.Up.Abs().String()
	}
	within := "beyond"
	if c.Within {
		within = "within"
	}
	return fmt.Sprintf("%s %s %s, %s its uncertainty of %.3f in (%.2f mm); %s to %s", c.Unit, c.Corner, moved, within, c.U.Inches(), c.U.Millimetres(), c.ThenVisit, c.NowVisit)
}

// faults lists faults; orElse is said of one that no visit saw put right.
func (p *comparisonPrinter) faults(title string, all []compare.FaultNote, orElse string) {
	if len(all) == 0 {
		return
	}
	p.line("\n" + title)
	for _, f := range all {
		number := "-"
		if f.Number > 0 {
			number = fmt.Sprint(f.Number)
		}
		var when []string
		if f.FoundOn != "" {
			when = append(when, "found "+f.FoundOn)
		}
		if f.Withdrawn {
			when = append(when, "never was: that visit is withdrawn")
		} else if f.Corrected {
			when = append(when, "never was: what showed it is corrected")
		} else if f.Replanned {
			when = append(when, "planned no more, or otherwise")
		} else if f.Conceded {
			when = append(when, "conceded: it may stay, by written permission")
		} else if f.PutRightOn != "" {
			when = append(when, "put right "+f.PutRightOn)
		} else if f.PutRight {
			when = append(when, "put right by what came")
		} else if orElse != "" {
			when = append(when, orElse)
		}
		p.line("  %s  %s/%s  %s: %s", number, f.Room, f.Item, f.Rule, f.Finding+inBrackets(strings.Join(when, ", ")))
	}
}

func inBrackets(s string) string {
	if s == "" {
		return ""
	}
	return " (" + s + ")"
}

// judged lists the results with another outcome. Of what nobody had looked at
// and is good now, and of what is new and nobody has looked at, it says only
// how much there is, unless all are to be listed.
func (p *comparisonPrinter) judged(all []compare.Judged, list bool) {
	if len(all) > 0 {
		p.line("\nResults with another outcome")
	}
	quiet := []struct {
		then, now checks.Outcome
		n         int
	}{{checks.NotObserved, checks.Pass, 0}, {"", checks.NotObserved, 0}, {checks.NotObserved, "", 0}}
next:
	for _, j := range all {
		for i, q := range quiet {
			if !list && j.Then.Outcome == q.then && j.Now.Outcome == q.now {
				quiet[i].n++
				continue next
			}
		}
		p.line("  %s/%s  %s: %s, was %s", j.Room, j.Item, j.Rule, outcomeWord(j.Now.Outcome), outcomeWord(j.Then.Outcome))
		if j.Same {
			p.line("      %s", j.Now.Finding)
			continue
		}
		for _, side := range []struct {
			word string
			said compare.Judgement
		}{{"now", j.Now}, {"then", j.Then}} {
			if side.said.Finding != "" {
				p.line("      %-4s  %s", side.word, side.said.Finding)
			}
		}
	}
	for _, q := range quiet {
		if q.n > 0 {
			p.line("  %s: %s, was %s; --all lists them", plaintext.Count(q.n, "more result"), outcomeWord(q.now), outcomeWord(q.then))
		}
	}
}

func outcomeWord(o checks.Outcome) string {
	if o == "" {
		return "not judged"
	}
	return string(o)
}

// countWords says how many there are of each outcome.
func countWords(counts map[checks.Outcome]int) string {
	var parts []string
	for _, o := range checks.Outcomes() {
		if n := counts[o]; n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", n, o))
		}
	}
	return strings.Join(parts, ", ")
}
