package findings

import (
	"bufio"
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"setline.example/checks"
	"setline.example/schema/plaintext"
)

// text writes for people: the answer of every record and room, and below it
// what keeps it from being ready. Colour only adds to words.
type text struct {
	w   *bufio.Writer
	run Run
}

func newText(w io.Writer) Writer { return &text{w: bufio.NewWriter(plaintext.Lines(w))} }

// Escape sequences of ECMA-48, "Select Graphic Rendition".
const (
	bold   = "\x1b[1m"
	red    = "\x1b[31m"
	yellow = "\x1b[33m"
	green  = "\x1b[32m"
	plain  = "\x1b[0m"
)

var outcomeStyle = map[checks.Outcome]string{
	checks.Fail:        red,
	checks.NotObserved: yellow,
	checks.Undecided:   yellow,
	checks.Pass:        green,
}

var answerStyle = map[Answer]string{Ready: bold + green, NotReady: bold + red, CannotBeUsed: bold + red}

func (t *text) Begin(run Run) error {
	t.run = run
	return nil
}

func (t *text) File(f *File) error {
	if f.Answer == CannotBeUsed {
		if t.run.Many {
			fmt.Fprintf(t.w, "%s: %s (%s)\n", plaintext.Visible(f.Path), t.answer(f.Answer), plaintext.Count(len(f.Problems), "problem"))
		}
		return t.w.Flush()
	}
	fmt.Fprintf(t.w, "%s: %s, %s\n", plaintext.Visible(f.Path), t.answer(f.Answer), t.tally(f))
	for _, l := range f.Loosened {
		t.loosened(l)
	}
	// Of many records, one that is ready takes one line.
	if !t.run.Many || t.run.Shown.All || f.Answer != Ready {
		for _, room := range f.Rooms {
			if t.run.Many && !t.run.Shown.All && room.Answer == Ready {
				continue
			}
			t.room(&room)
		}
		fmt.Fprintln(t.w)
	}
	return t.w.Flush()
}

// loosened tells of a limit that the contract loosened: an answer means nothing without it.
func (t *text) loosened(l Loosened) {
	warning := ""
	if l.Excessive {
		warning = t.in(bold+red, fmt.Sprintf("; MORE THAN %d TIMES OURS, see that it is meant", checks.ExcessiveTimes))
	}
	fmt.Fprintf(t.w, "  looser by contract: %s %s, ours %s (%s)%s\n", l.Rule, plaintext.Visible(l.Limit), plaintext.Visible(l.Ours), plaintext.Visible(l.Source), warning)
}

// tally counts rooms, and where not all is shown or new, what is.
func (t *text) tally(f *File) string {
	ready, reasons, shown, known := 0, 0, 0, 0
	for _, room := range f.Rooms {
		if room.Answer == Ready {
			ready++
		}
		for o, n := range room.Counts {
			if !o.Holds() {
				reasons += n
			}
		}
		for _, r := range room.Results {
			if r.Outcome.Holds() {
				continue
			}
			shown++
			if r.Known {
				known++
			}
		}
	}
	tally := fmt.Sprintf("%d of %d rooms ready", ready, len(f.Rooms))
	if t.run.Shown.Room != "" {
		tally = fmt.Sprintf("of which only room %s is shown", plaintext.Visible(t.run.Shown.Room))
	} else if t.run.Shown.NotReadyOnly {
		tally = plaintext.Count(len(f.Rooms), "room") + " not ready"
	}
	if len(t.run.Shown.Rules) > 0 && reasons > 0 {
		tally += fmt.Sprintf("; %d of %d reasons shown", shown, reasons)
	}
	if t.run.Shown.Baseline && reasons > 0 {
		tally += fmt.Sprintf("; %d new, %d known", shown-known, known)
	}
	return tally
}

func (t *text) room(room *Room) {
	name := room.Name
	if room.Use != "" {
		name += ", " + room.Use
	}
	fmt.Fprintf(t.w, "\n  %s: %s (%s)\n", plaintext.Visible(name), t.answer(room.Answer), counts(room.Counts))
	results, much := t.shown(room.Results), []unseen(nil)
	if !t.run.Shown.All && len(t.run.Shown.Rules) == 0 {
		results, much = gathered(room, results)
	}
	results, with := together(results)
	told := false
	for _, r := range results {
		if !told && r.Outcome != checks.Fail { // in its order, worst first
			t.much(much)
			told = true
		}
		if r.waits != nil {
			t.waits(r.waits, with[r.waits])
			continue
		}
		outcome := fmt.Sprintf("%-13s", r.Outcome)
		known := ""
		if r.Known {
			known = " (known)"
		}
		fmt.Fprintf(t.w, "    %s %s  %s%s\n", t.in(outcomeStyle[r.Outcome], outcome), plaintext.Visible(r.Subject), r.Rule, known)
		t.filled(plaintext.Visible(r.Finding))
		if r.Remedy != "" {
			t.filled("to do: " + plaintext.Visible(r.Remedy))
		}
	}
	if !told {
		t.much(much)
	}
}

// filled writes a text below the name of its rule, on as many lines as the
// terminal needs. Where it is none, programs may read lines: the text is one.
func (t *text) filled(s string) {
	const indent = "        "
	at := 0
	for word := range strings.SplitSeq(s, " ") {
		n := utf8.RuneCountInString(word)
		switch {
		case at == 0:
			t.w.WriteString(indent)
			at = len(indent)
		case t.run.Width > 0 && at+1+n > t.run.Width:
			t.w.WriteString("\n" + indent)
			at = len(indent)
		default:
			t.w.WriteString(" ")
			at++
		}
		t.w.WriteString(word)
		at += n
	}
	t.w.WriteString("\n")
}

// shown are the results a person has to know of, worst first; everything in
// walking order where that was asked for.
func (t *text) shown(results []Result) []Result {
	if t.run.Shown.All {
		return results
	}
	order := checks.Outcomes()
	some := slices.DeleteFunc(slices.Clone(results), func(r Result) bool { return r.Outcome == checks.Conceded })
	slices.SortStableFunc(some, func(a, b Result) int {
		return cmp.Compare(slices.Index(order, a.Outcome), slices.Index(order, b.Outcome))
	})
	return some
}

func (t *text) End(sum Summary, _ int) error {
	if t.run.Many {
		fmt.Fprintf(t.w, "%s: %d ready, %d not ready, %d cannot be used", plaintext.Count(sum.Files, "record"), sum.Ready, sum.NotReady, sum.CannotBeUsed)
		if sum.PassedOver > 0 {
			fmt.Fprintf(t.w, "; %s passed over, not a record", plaintext.Count(sum.PassedOver, "other file"))
		}
		if len(t.run.Shown.Rules) > 0 || t.run.Shown.Baseline || t.run.Shown.Room != "" {
			fmt.Fprintf(t.w, "; %d with something shown and new that keeps a room from being ready", sum.Failing)
		}
		fmt.Fprintln(t.w)
	}
	return t.w.Flush()
}

func (t *text) answer(a Answer) string { return t.in(answerStyle[a], strings.ToUpper(string(a))) }

func (t *text) in(style, words string) string {
	if !t.run.Colour {
		return words
	}
	return style + words + plain
}

// counts says how many results of each outcome there are.
func counts(n map[checks.Outcome]int) string {
	var parts []string
	for _, o := range checks.Outcomes() {
		if n[o] > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", n[o], o))
		}
	}
	return strings.Join(parts, ", ")
}
