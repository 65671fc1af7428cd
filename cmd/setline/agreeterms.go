package main

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"
	"setline.example/checks"
	"setline.example/schema"
	"setline.example/schema/length"
	"setline.example/schema/plaintext"
)

func newConcession() *cobra.Command {
	var given schema.Concession
	var by, date string
	var fault int
	var backup bool
	c := changing(&cobra.Command{
		Use:   "concession FILE --fault NUMBER | --rule RULE --of PLACE",
		Short: "Write down permission to hand over what does not conform",
		Long: `Concession puts written permission to hand over one thing that does not conform
into the record (ISO 9000:2015, 3.12.5): for a fault by its number on the punch
list, or for a rule at a place as the report names it, "S-104/A3" or
"S-104/A3+A4". Permission is for what was found on its date; what is worse later
is not covered. What holds, what nobody observed, and what may never be conceded,
is refused.` + agreeExits,
		Example: `  setline agree concession job.json --fault 3 --reason "not in view" --by "Petra Vance, contractor, Tarn Valley Builders" --date 2026-10-08
  setline agree concession job.json --rule "fronts flush" --of S-104/A3+A4 --reason "not in view" --by "Petra Vance, contractor" --date 2026-10-08`,
	}, &backup, func(c *cobra.Command, e *edit) error {
		if err := needs(c, "reason", "by", "date"); err != nil {
			return err
		}
		from := map[string]string{"rule": "--rule", "subject": "--of", "reason": "--reason", "by": "--by", "date": "--date", "": "--rule"}
		switch asked := given.Rule != "" && given.Subject != ""; {
		case fault != 0 && given.Rule+given.Subject == "":
			f, err := openFault(e, fault)
			if err != nil {
				return err
			}
			given.Rule, given.Subject = f.Rule.Name, f.Subject.String()
			from["rule"], from["subject"], from[""] = "--fault", "--fault", "--fault"
		case fault != 0 || !asked:
			return usage(c, errors.New("found neither one fault nor one rule at one place, expected --fault, or --rule and --of"))
		}
		var err error
		if given.By, err = person("--by", by); err != nil {
			return err
		}
		given.Date = schema.Date(date)
		all := e.rec.Agreed.Concessions
		for _, old := range all {
			if old == given {
				return nil
			}
		}
		e.say("concession of %s for %s, by %s on %s", given.Rule, given.Subject, given.By.Name, given.Date)
		if err := e.last("/agreed/concessions", len(all), given, from); err != nil {
			return err
		}
		if err := e.check(); err != nil {
			return err
		}
		return grounds(e, &given, from[""])
	})
	c.Flags().IntVar(&fault, "fault", 0, "number of the fault on the punch list")
	c.Flags().StringVar(&given.Rule, "rule", "", "name of the rule, where no fault is named")
	c.Flags().StringVar(&given.Subject, "of", "", "place as the report names it, such as S-104/A3+A4")
	c.Flags().StringVar(&given.Reason, "reason", "", "why it is acceptable")
	c.Flags().StringVar(&by, "by", "", `who gave permission, "NAME, ROLE, FIRM"`)
	c.Flags().StringVar(&date, "date", "", "date of the permission, YYYY-MM-DD")
	return c
}

// grounds refuses a concession for what does not fail, or is permitted already.
// flag said what it is for.
func grounds(e *edit, c *schema.Concession, flag string) error {
	found, conceded, err := checks.Grounds(e.rec, e.src, *c)
	switch {
	case err != nil:
		return err
	case conceded:
		return hinted{fmt.Errorf("%s: %s: found a second concession of %q for %s, expected one concession for each finding", e.path, flag, c.Rule, c.Subject), `"setline agree show" lists what was conceded`}
	case !found:
		return hinted{fmt.Errorf("%s: %s: found a concession of %q for %s, where nothing that was seen by %s fails, expected a finding that does not conform", e.path, flag, c.Rule, c.Subject, c.Date), "what holds needs no permission; what fails is permitted once it was found"}
	}
	return nil
}

// openFault is the fault of a number that is still open.
func openFault(e *edit, number int) (*checks.Fault, error) {
	all, err := checks.History(e.rec, e.src)
	if err != nil {
		return nil, err
	}
	var open []string
	for i := range all {
		f := &all[i]
		switch {
		case f.Number == number && f.Empty():
			return nil, hinted{fmt.Errorf("%s: --fault: found %d, whose number stays empty, expected one that is open", e.path, number), `"setline punch" lists what is open`}
		case f.Number == number && f.PutRight:
			return nil, hinted{fmt.Errorf("%s: --fault: found %d, which was put right, expected one that is open", e.path, number), `"setline punch" lists what is open`}
		case f.Number == number:
			return f, nil
		case !f.PutRight && !f.Empty():
			open = append(open, fmt.Sprint(f.Number))
		}
	}
	expected := "one of the open faults " + strings.Join(open, ", ")
	if len(open) == 0 {
		expected = "an open fault, and there is none"
	}
	return nil, hinted{fmt.Errorf("%s: --fault: found %d, expected %s", e.path, number, expected), `"setline punch" lists what is open`}
}

func newLimit() *cobra.Command {
	var rule, limit, over, least, source string
	var f correctsFlags
	var backup bool
	c := changing(&cobra.Command{
		Use:   "limit FILE --rule RULE --limit LIMIT --source SOURCE",
		Short: "Set a limit that the contract changes, with its source",
		Long: `Limit puts a limit of the contract in place of the rule's own, with the document
and paragraph it comes from. Level is a rate: --over says over what distance its
limit is stated, and --least what it comes to at least within one cabinet. One
that is looser than the rule's own stands on the report's first page.

Where the contract had another limit before, --by, --date and --reason say who
changed it, when and why; the former one stays in the record and in the report.` + agreeExits,
		Example: `  setline agree limit job.json --rule "fronts flush" --limit "1 mm" --source "12 35 53, 3.4"
  setline agree limit job.json --rule "level and plumb" --limit "2 mm" --over "1 m" --least "0.5 mm" --source "12 35 53, 3.6"
  setline agree limit job.json --rule "fronts flush" --limit "0.8 mm" --source "addendum 2" --by "Petra Vance, contractor" --date 2026-10-09 --reason "grade raised"`,
	}, &backup, func(c *cobra.Command, e *edit) error {
		if err := needs(c, "rule", "limit", "source"); err != nil {
			return err
		}
		now := schema.LimitChange{Limit: limit, Source: source}
		for _, l := range []struct {
			flag, typed string
			to          **length.Length
		}{{"over", over, &now.Over}, {"least", least, &now.Least}} {
			if l.typed == "" {
				continue
			}
			got, err := lengthFlag(l.flag, l.typed)
			if err != nil {
				return err
			}
			*l.to = &got
		}
		was := ""
		if old, ok := e.rec.Planned.Limits[rule]; ok {
			was = limitWords(old)
		}
		if err := e.add(schema.Pointer("/planned/limits", rule), now,
			map[string]string{"": "--rule", "limit": "--limit", "over": "--over", "least": "--least", "source": "--source"}); err != nil {
			return err
		}
		if string(e.text) != string(e.src.Data) {
			e.say("limit of %s: %s (%s)%s", rule, limit, source, wasWords(was))
		}
		return e.agreed(c, &f, "limit of "+rule, was)
	})
	f.add(c, "reason")
	c.Flags().StringVar(&rule, "rule", "", "name of the rule")
	c.Flags().StringVar(&limit, "limit", "", `the limit with its unit, as the rule's own is written: "1/32 in", "0.8 mm", "14 days"`)
	c.Flags().StringVar(&over, "over", "", "distance over which it is stated; of level and plumb only")
	c.Flags().StringVar(&least, "least", "", "what it comes to at least within one cabinet; of level and plumb only")
	c.Flags().StringVar(&source, "source", "", "document and paragraph it comes from")
	return c
}

// limitWords is a limit of the contract in words, with all that belongs to it.
func limitWords(l schema.LimitChange) string {
	words := l.Limit
	if l.Over != nil {
		words += " over " + l.Over.String()
	}
	if l.Least != nil {
		words += ", at least " + l.Least.String()
	}
	return fmt.Sprintf("%s (%s)", words, l.Source)
}

// lengthFlag reads a length that a flag says.
func lengthFlag(flag, typed string) (length.Length, error) {
	l, err := length.Parse(typed)
	var pe *length.ParseError
	if errors.As(err, &pe) {
		return 0, hinted{fmt.Errorf("found --%s %s (%s), expected a length with its unit", flag, pe.Text, pe.Problem), pe.Mend}
	}
	return l, err
}

func newAgreed() *cobra.Command {
	return &cobra.Command{
		Use:   "show FILE",
		Short: "List what was agreed",
		Long: `Show lists what was agreed: limits that the contract changes, the decision rule,
concessions, open items by their numbers, dates of re-inspections, and who signs.

Exit codes: 0 it is listed, 2 the record cannot be used.`,
		Example: `  setline agree show examples/annex/job.json
  setline agree show - < examples/metric/job.json`,
		Args:              oneRecord,
		ValidArgsFunction: files("json"),
		RunE: func(c *cobra.Command, args []string) error {
			rec, _, err := read(args[0], c.InOrStdin())
			if err != nil {
				return err
			}
			_, err = io.WriteString(c.OutOrStdout(), agreedText(rec))
			return err
		},
	}
}

// agreedText lists what a record says was agreed.
func agreedText(rec *schema.Record) string {
	var b strings.Builder
	line := func(format string, args ...any) {
		b.WriteString(plaintext.Visible(fmt.Sprintf(format, args...)) + "\n")
	}
	line("decision rule: %s", orWord(rec.Planned.DecisionRule, "simple"))
	if rec.Planned.ClosingOut {
		line("closing out: yes")
	}
	for _, rule := range checks.Names() {
		if l, ok := rec.Planned.Limits[rule]; ok {
			line("limit of %s: %s (%s)", rule, l.Limit, l.Source)
		}
	}
	for i, c := range rec.Agreed.Concessions {
		line("concession %d, of %s for %s, by %s on %s: %s", i+1, c.Rule, c.Subject, personWords(c.By), c.Date, c.Reason)
	}
	for i, o := range rec.Agreed.OpenItems {
		state := "open"
		switch {
		case o.Closed != nil:
			state = fmt.Sprintf("done, seen by %s on %s", o.Closed.By, o.Closed.Date)
		case o.Due != "":
			state = "due " + string(o.Due)
		}
		line("open item %d, room %s: %s (%s)", i+1, o.Room, o.What, state)
	}
	for i, r := range rec.Agreed.Reinspections {
		line("re-inspection %d: room %s to be inspected again on %s%s", i+1, r.Room, r.Date, before(": ", r.Reason))
	}
	for _, c := range rec.Agreed.FormerConcessions {
		line("former concession of %s for %s, by %s on %s%s", c.Rule, c.Subject, personWords(c.By), c.Date, withdrawnWords(c.Withdrawn))
	}
	for _, r := range rec.Agreed.FormerReinspections {
		line("former re-inspection of room %s on %s%s", r.Room, r.Date, withdrawnWords(r.Withdrawn))
	}
	s := rec.Agreed.SignOff
	for i, who := range []*schema.Signer{s.Inspector, s.Installer, s.Contractor} {
		if who != nil {
			line("%s who signs: %s", signRoles[i], signerWords(who))
		}
	}
	return b.String()
}

// withdrawnWords say who withdrew something, where anybody did.
func withdrawnWords(w *schema.Withdrawn) string {
	if w == nil {
		return ""
	}
	return fmt.Sprintf(", withdrawn by %s on %s: %s", personWords(w.By), w.Date, w.Reason)
}

// before puts a mark before a text, where there is one.
func before(mark, text string) string {
	if text == "" {
		return ""
	}
	return mark + text
}
