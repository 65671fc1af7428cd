package main

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"setline.example/report/fieldsheet/collect"
	"setline.example/schema"
	"setline.example/schema/amend"
	"setline.example/schema/intake"
)

func newUnagree() *cobra.Command {
	var f correctsFlags
	var concession, reinspection int
	var limit string
	var backup bool
	c := changing(&cobra.Command{
		Use:   "withdraw FILE --concession N|--reinspection N|--limit R",
		Short: "Withdraw what was agreed: a concession, a re-inspection, a limit",
		Long: `Withdraw takes back a concession or the date of a re-inspection, by its number in
"setline agree show", or a limit of the contract, after which the rule's own
counts again. What was agreed stays in the record as history, with who withdrew
it, when and why.` + agreeExits,
		Example: `  setline agree withdraw job.json --concession 1 --reason "given for the wrong joint" --by "Petra Vance, contractor" --date 2026-10-09
  setline agree withdraw job.json --limit "fronts flush" --reason "addendum 2" --by "Marek Łuczak" --date 2026-10-09`,
	}, &backup, func(c *cobra.Command, e *edit) error {
		said, err := f.needed(c)
		if err != nil {
			return err
		}
		given := 0
		for _, flag := range []string{"concession", "reinspection", "limit"} {
			if c.Flags().Changed(flag) {
				given++
			}
		}
		switch {
		case given != 1:
			return usage(c, errors.New("found neither one concession, one re-inspection nor one limit, expected one of --concession, --reinspection, --limit"))
		case limit != "":
			return e.withdrawLimit(limit, said)
		case c.Flags().Changed("concession"):
			return e.withdrawConcession(concession, said)
		}
		return e.withdrawReinspection(reinspection, said)
	})
	c.Flags().IntVar(&concession, "concession", 0, "number of the concession")
	c.Flags().IntVar(&reinspection, "reinspection", 0, "number of the re-inspection")
	c.Flags().StringVar(&limit, "limit", "", "name of the rule whose limit is withdrawn")
	f.add(c, "reason")
	return c
}

func sortedRules(limits map[string]schema.LimitChange) []string {
	return slices.Sorted(maps.Keys(limits))
}

func withdrawnBy(said *collect.Correction) *schema.Withdrawn {
	return &schema.Withdrawn{By: said.By, Date: said.Date, Reason: said.Reason}
}

// whoSays are the flags that say who withdrew something.
var whoSays = map[string]string{"withdrawn/by": "--by", "withdrawn/date": "--date", "withdrawn/reason": "--reason"}

func (e *edit) withdrawConcession(number int, said *collect.Correction) error {
	all := e.rec.Agreed.Concessions
	if number < 1 || number > len(all) {
		return hinted{fmt.Errorf("%s: --concession: found %d, expected %s", e.path, number, numbersUpTo(len(all), "concession")), `"setline agree show" numbers them`}
	}
	was := all[number-1]
	if said.Date < was.Date {
		return hinted{fmt.Errorf("%s: --date: found %s, expected a day on or after the concession, %s", e.path, said.Date, was.Date), "correct the date"}
	}
	was.Withdrawn = withdrawnBy(said)
	e.say("concession of %s for %s is withdrawn", was.Rule, was.Subject)
	return e.toFormer("concessions", number-1, len(e.rec.Agreed.FormerConcessions), was)
}

func (e *edit) withdrawReinspection(number int, said *collect.Correction) error {
	all := e.rec.Agreed.Reinspections
	if number < 1 || number > len(all) {
		return hinted{fmt.Errorf("%s: --reinspection: found %d, expected %s", e.path, number, numbersUpTo(len(all), "agreed re-inspection")), `"setline agree show" numbers them`}
	}
	was := all[number-1]
	was.Withdrawn = withdrawnBy(said)
	e.say("re-inspection of room %s on %s is withdrawn", was.Room, was.Date)
	return e.toFormer("reinspections", number-1, len(e.rec.Agreed.FormerReinspections), was)
}

// toFormer moves what was agreed among what is history.
func (e *edit) toFormer(name string, i, n int, was any) error {
	text, err := amend.Remove(e.text, schema.Pointer("/agreed", name, i))
	if err != nil {
		return fmt.Errorf("%s: %w", e.path, err)
	}
	e.text = text
	return e.last("/agreed/former_"+name, n, was, whoSays)
}

// withdrawLimit lets a rule's own limit count again. What the contract's was is
// told as a change of the plan.
func (e *edit) withdrawLimit(rule string, said *collect.Correction) error {
	was, ok := e.rec.Planned.Limits[rule]
	if !ok {
		known := sortedRules(e.rec.Planned.Limits)
		mend := ""
		if near := schema.Nearest(rule, known); near != "" {
			mend = fmt.Sprintf("write %q if that is meant", near)
		}
		return hinted{fmt.Errorf("%s: --limit: found %q, expected a rule whose limit the contract changes: %s", e.path, rule, orWord(strings.Join(known, ", "), "there is none")), mend}
	}
	text, err := amend.Remove(e.text, schema.Pointer("/planned/limits", rule))
	if err != nil {
		return fmt.Errorf("%s: %w", e.path, err)
	}
	e.text = text
	words := limitWords(was)
	e.say("limit of %s: the rule's own, was %s", rule, words)
	return e.changes(said, schema.Replanned{Of: "job", Change: "otherwise", Field: "limit of " + rule, Was: words})
}

// agreed notes what is agreed otherwise now than it was, or first now: of a job
// under way as a change of the plan. Who, when and why has to be said where
// something else was agreed before.
func (e *edit) agreed(c *cobra.Command, f *correctsFlags, field, was string) error {
	what := []schema.Replanned{{Of: "job", Change: "otherwise", Field: field, Was: was}}
	if was == "" && !e.rec.UnderWay() && f.why+f.by+f.date == "" {
		return nil
	}
	if was == "" {
		return e.noted(c, f, what)
	}
	if string(e.text) == string(e.src.Data) {
		return nil
	}
	said, err := f.needed(c)
	if err != nil {
		if wrong := e.check(); wrong != nil {
			return wrong
		}
		return hinted{fmt.Errorf("%w, since %s was %q", err, field, was), "what was agreed before stays in the record, with who changed it, when and why"}
	}
	return e.changes(said, what...)
}

// noted notes what is agreed, and who, when and why where that is said.
func (e *edit) noted(c *cobra.Command, f *correctsFlags, what []schema.Replanned) error {
	said, err := f.correction(c)
	if err != nil || string(e.text) == string(e.src.Data) || len(what) == 0 {
		return err
	}
	if said == nil {
		said = &collect.Correction{}
	}
	return e.changes(said, what...)
}

// changes notes a change of the plan that the text has, by whom, when and why.
func (e *edit) changes(said *collect.Correction, what ...schema.Replanned) error {
	before, err := intake.FormerPlan(e.src.Data, e.text)
	if err != nil {
		return fmt.Errorf("%s: %w", e.path, err)
	}
	change := schema.PlanChange{Date: said.Date, Reason: said.Reason, What: what, Entered: e.rec.NextEntry(), Before: before}
	if said.By != (schema.Party{}) {
		change.By = &said.By
	}
	return e.last("/planned/changes", len(e.rec.Planned.Changes), change, map[string]string{"date": "--date", "by": "--by", "reason": "--reason"})
}
