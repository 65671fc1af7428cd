package fieldsheet

import (
	"bytes"
	"fmt"
	"io"
	"slices"
	"strings"

	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/report/markup"
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
	b.WriteString(s.Opening())
	if len(s.Pages) > 0 {
		fmt.Fprintf(&b, "%s\n\n", s.Words(say.That("Write behind the colon in place of ___, and tick as `[x]`.")))
	}
	b.Write(markup.Cautions(s.Say))
	section := ""
	for i := range s.Visit {
		a := &s.Visit[i]
		if t := Section(a, s.Say); t != section {
			section = t
			fmt.Fprintf(&b, "\n## %s\n\n", markup.Text(section))
		}
		s.item(&b, a)
	}
	for _, e := range s.Pages {
		fmt.Fprintf(&b, "\n## %s\n", markup.Text(s.Words(e.Title())))
		for _, n := range e.Notes {
			fmt.Fprintf(&b, "\n%s\n", saidAgain(n.Text))
		}
		for _, g := range e.Groups {
			fmt.Fprintf(&b, "\n### %s", markup.Text(Section(g.Asks[0], s.Say)))
			if g.About != "" {
				fmt.Fprintf(&b, ": %s", markup.Text(g.About))
			}
			b.WriteString("\n\n")
			for _, again := range g.Again {
				fmt.Fprintf(&b, "%s\n\n", saidAgain(again))
			}
			for _, a := range g.Asks {
				s.item(&b, a)
			}
		}
	}
	if len(s.Pages) > 0 {
		lines, err := s.lines()
		if err != nil {
			return err
		}
		comments(&b, lines, plan)
	}
	_, err = w.Write(b.Bytes())
	return err
}

// Opening is how a sheet begins, in Markdown.
func (s *Sheet) Opening() string {
	var b strings.Builder
	fmt.Fprintf(&b, "# %s\n\n%s\n\n**%s**", s.Say.Words("Field sheet"), markup.Text(s.Job()), markup.Text(s.Asked()))
	advice := s.Advice()
	for i, sentence := range advice {
		if i == len(advice)-1 {
			sentence = "**" + sentence + "**"
		}
		b.WriteString(" " + sentence)
	}
	b.WriteString("\n\n")
	return b.String()
}

// comments writes what travels with a sheet in Markdown.
func comments(b *bytes.Buffer, lines, plan string) {
	fmt.Fprintf(b, "\n%s\n%s%s\n", LineMark, wrapped(lines, 76), PlanEnd)
	fmt.Fprintf(b, "\n%s\n%s%s\n", PlanMark, wrapped(plan, 76), PlanEnd)
}

// saidAgain is a line that says what did not hold, or what to do about it.
func saidAgain(again string) string { return "**" + markup.Text(again).String() + "**" }

// Section is the heading under which an ask stands: what it is of, as a report
// names it.
func Section(a *checks.Ask, say say.Writer) string {
	if a.Thing == ofDelivery {
		return strings.ReplaceAll(say.Text(a.Short), ":", "꞉")
	}
	if a.Subject.Room != "" {
		return strings.ReplaceAll(say.Text(a.Subject.Words()), ":", "꞉") // a colon ends the section's name
	}
	return say.Words(Headings[HeadingOf(a)])
}

// Headings are those of what is asked of the visit itself.
var Headings = [...]say.Words{"Visit", "Instruments used on this visit", "Site"}

// HeadingOf says under which of [Headings] an ask of the visit stands.
func HeadingOf(a *checks.Ask) int {
	switch a.Thing.Of {
	case checks.OfInstrument:
		return 1
	case checks.OfSite:
		return 2
	}
	return 0
}

// Title names the elevation, with its room.
func (e *Elevation) Title() say.Text {
	return say.That("%[1]s, elevation %[2]s", say.Name(e.Room), say.Name(e.Name))
}

// item writes the lines of one ask: a line for each value, and one for each
// answer that can be ticked.
func (s *Sheet) item(b *bytes.Buffer, a *checks.Ask) {
	first := slices.IndexFunc(a.Blanks, func(b checks.Blank) bool { return !b.Printed })
	for i := range a.Blanks {
		blank := &a.Blanks[i]
		if blank.Printed {
			continue // it stands with the line that it goes with
		}
		fmt.Fprintf(b, "- %s", markup.Text(s.Words(Words(a, blank))))
		if blank.Kind == checks.LengthKind {
			fmt.Fprintf(b, ", %s", s.Words(say.That("in %[1]s", UnitWord(s.Say.Lengths))))
		}
		if limit := LimitShown(a); !limit.Empty() && i == first {
			fmt.Fprintf(b, " (%s)", strings.ReplaceAll(markup.Text(s.Words(limit)).String(), ":", "꞉"))
		}
		fields := fieldsOf(a, blank)
		switch {
		case fields[0].Tick:
			b.WriteString(":\n")
			for _, f := range fields {
				fmt.Fprintf(b, "  - [ ] %s\n", markup.Text(s.Words(checks.AnswerWords(f.Answer))))
			}
		case blank.Usual != "":
			fmt.Fprintf(b, ": %s\n", UsualText(blank, s.Say.Lengths))
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
