package fieldsheet

import (
	"bytes"
	"fmt"
	"io"
	"strings"

	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/report"
)

// Marks of a sheet in Markdown, by which it is read back.
const (
	Blank    = "___"            // stands where a value belongs
	PlanMark = "<!-- plan:"     // begins the comment that carries the plan
	LineMark = "<!-- lines:"    // begins the comment that says which box each line is
	PlanEnd  = "-->"            // ends either
	Again    = "**Look again (" // begins a line that says what did not hold, on a sheet that does not say what its lines are
)

// Markdown writes the sheet as Markdown (CommonMark with task lists), to be
// filled in with any editor.
func (s *Sheet) Markdown(w io.Writer) error {
	plan, err := s.Plan()
	if err != nil {
		return err
	}
	var b bytes.Buffer
	b.WriteString(s.opening())
	if len(s.pages) > 0 {
		fmt.Fprintf(&b, "%s\n\n", s.words(say.That("Write behind the colon in place of ___, and tick as `[x]`.")))
	}
	b.Write(report.Cautions(s.say))
	section := ""
	for i := range s.visit {
		a := &s.visit[i]
		if t := Section(a, s.say); t != section {
			section = t
			fmt.Fprintf(&b, "\n## %s\n\n", report.Text(section))
		}
		s.item(&b, a)
	}
	for _, e := range s.pages {
		fmt.Fprintf(&b, "\n## %s\n", report.Text(s.words(e.title())))
		for _, g := range e.groups {
			fmt.Fprintf(&b, "\n### %s", report.Text(Section(g.asks[0], s.say)))
			if g.about != "" {
				fmt.Fprintf(&b, ": %s", report.Text(g.about))
			}
			b.WriteString("\n\n")
			for _, again := range g.again {
				fmt.Fprintf(&b, "%s\n\n", saidAgain(again))
			}
			for _, a := range g.asks {
				s.item(&b, a)
			}
		}
	}
	if len(s.pages) > 0 {
		lines, err := s.lines()
		if err != nil {
			return err
		}
		comments(&b, lines, plan)
	}
	_, err = w.Write(b.Bytes())
	return err
}

// comments writes what travels with a sheet in Markdown.
func comments(b *bytes.Buffer, lines, plan string) {
	fmt.Fprintf(b, "\n%s\n%s%s\n", LineMark, wrapped(lines, 76), PlanEnd)
	fmt.Fprintf(b, "\n%s\n%s%s\n", PlanMark, wrapped(plan, 76), PlanEnd)
}

// saidAgain is the line that says what did not hold.
func saidAgain(again string) string { return "**" + report.Text(again).String() + "**" }

// Section is the heading under which an ask stands: what it is of, as a report
// names it.
func Section(a *checks.Ask, say say.Writer) string {
	if a.Thing == ofDelivery {
		return strings.ReplaceAll(say.Text(a.Short), ":", "꞉")
	}
	if a.Subject.Room != "" {
		return strings.ReplaceAll(say.Text(a.Subject.Words()), ":", "꞉") // a colon ends the section's name
	}
	return say.Words(headings[headingOf(a)])
}

// headings are those of what is asked of the visit itself.
var headings = [...]say.Words{"Visit", "Instruments used on this visit", "Site"}

func headingOf(a *checks.Ask) int {
	switch a.Thing.Of {
	case checks.OfInstrument:
		return 1
	case checks.OfSite:
		return 2
	}
	return 0
}

// title names the elevation, with its room.
func (e *elevation) title() say.Text {
	return say.That("%[1]s, elevation %[2]s", say.Name(e.room), say.Name(e.name))
}

// item writes the lines of one ask: a line for each value, and one for each
// answer that can be ticked.
func (s *Sheet) item(b *bytes.Buffer, a *checks.Ask) {
	for i := range a.Blanks {
		blank := &a.Blanks[i]
		fmt.Fprintf(b, "- %s", report.Text(s.words(Words(a, blank))))
		if blank.Kind == checks.LengthKind {
			fmt.Fprintf(b, ", %s", s.words(say.That("in %[1]s", UnitWord(s.sys))))
		}
		if limit := limitShown(a); !limit.Empty() && i == 0 {
			fmt.Fprintf(b, " (%s)", strings.ReplaceAll(report.Text(s.words(limit)).String(), ":", "꞉"))
		}
		fields := fieldsOf(a, blank)
		switch {
		case fields[0].Tick:
			b.WriteString(":\n")
			for _, f := range fields {
				fmt.Fprintf(b, "  - [ ] %s\n", report.Text(s.words(checks.AnswerWords(f.Answer))))
			}
		case blank.Usual != "":
			fmt.Fprintf(b, ": %s\n", UsualText(blank, s.sys))
		default:
			fmt.Fprintf(b, ": %s\n", Blank)
		}
	}
}

func wrapped(text string, width int) string {
	var b strings.Builder
	for len(text) > width {
		b.WriteString(text[:width] + "\n")
		text = text[width:]
	}
	return b.String() + text + "\n"
}
