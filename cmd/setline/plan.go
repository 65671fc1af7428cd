package main

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"github.com/go-json-experiment/json/jsontext"
	"github.com/spf13/cobra"
	"setline.example/schema"
	"setline.example/schema/intake"
	"setline.example/schema/plaintext"
	"setline.example/schema/table"
)

// planFlags are what plan is told.
type planFlags struct {
	units, tops, instruments, screws string
	whole, apply                     bool
	date, by, reason                 string
	leaveOut                         []string
	words                            map[string]*string // facts of the job, by flag
	numbers                          map[string]*int
}

// planFact is a flag for a fact of the job, and where that stands in the record.
type planFact struct {
	flag, pointer, says string
	number, length      bool
}

var planFacts = []planFact{
	{flag: "name", pointer: "/planned/project/name", says: "name of the job"},
	{flag: "number", pointer: "/planned/project/number", says: "job number"},
	{flag: "address", pointer: "/planned/project/address", says: "where the building stands"},
	{flag: "installer", pointer: "/planned/project/installer", says: "firm that installs the cabinets"},
	{flag: "contractor", pointer: "/planned/project/contractor", says: "general contractor, who receives the room"},
	{flag: "spec-section", pointer: "/planned/spec_section", says: "specification section the work is done under"},
	{flag: "lengths", pointer: "/planned/lengths_in", says: "how reports write lengths: in or mm"},
	{flag: "height", pointer: "/planned/usual/height", says: "height of every cabinet's body, without levelers and top", length: true},
	{flag: "depth", pointer: "/planned/usual/depth", says: "depth of every cabinet", length: true},
	{flag: "width-tolerance", pointer: "/planned/usual/width_tolerance", says: "how much wider or narrower every cabinet may come", length: true},
	{flag: "gauge", pointer: "/planned/usual/gauge", says: "sheet gauge of every cabinet", number: true},
	{flag: "front-rail-depth", pointer: "/planned/usual/front_rail_depth", says: "depth of every cabinet's vertical front rail", length: true},
	{flag: "leveler-least", pointer: "/planned/usual/leveler/least", says: "extension of every leveler with its bolt fully in", length: true},
	{flag: "leveler-greatest", pointer: "/planned/usual/leveler/greatest", says: "greatest extension of every leveler", length: true},
	{flag: "threads", pointer: "/planned/usual/leveler/threads_per_inch", says: "threads per inch of every leveler's bolt", number: true},
	{flag: "leveler-pitch", pointer: "/planned/usual/leveler/pitch", says: "pitch of every leveler's bolt, where it is metric", length: true},
	{flag: "leveler-reserve", pointer: "/planned/usual/leveler/reserve", says: "how far every leveler must still be able to come down", length: true},
}

func newPlan() *cobra.Command {
	f := planFlags{words: map[string]*string{}, numbers: map[string]*int{}}
	var backup bool
	c := changing(&cobra.Command{
		Use:   "plan FILE",
		Short: "Compare the plan with a revised table of units, and take it over",
		Long: `Plan holds a table of units, and facts of the job, against what the record plans,
and lists what is new, gone, moved, or of another part or width. With --apply it
is taken over: a unit goes where its row is, and the record says who changed the
plan, when, why, and what it was.

The table is the plan of the rooms that it names, with --whole-job of all. An
empty cell says nothing, so that what it is of stays. What was observed of a unit
that is gone, stands elsewhere or is another part counts no more: it is named,
and kept as history with its visit. So are concessions for it. Where only the
reserve of its levelers, the tolerance of its width or its description is planned
anew, what was observed stays and is judged by the new plan.

Tops of a table are planned in place of those of the elevations that it names, a
row for each piece from left to right. Instruments and screws are planned as
their rows say.

Exit codes: 0 the record plans all of that, 1 it does not, and is as it was, 2 a
table, the record or the call is wrong; 4 the record was changed, and telling so
failed.`,
		Example: `  setline plan job.json --units examples/annex/csv/units.csv
  setline plan job.json --units examples/annex/csv/units.csv --apply --date 2026-10-12 --by "Marek Łuczak" --reason "drawing A-401, revision 2"
  setline plan job.json --address "12 Quarry Road" --lengths mm --apply --date 2026-10-12 --by "Marek Łuczak" --reason "address was missing"`,
	}, &backup, f.run)
	c.Flags().StringVar(&f.units, "units", "", "table of units as they are to be")
	c.Flags().StringVar(&f.tops, "tops", "", "table of tops, of the elevations that it names")
	c.Flags().StringVar(&f.instruments, "instruments", "", "table of instruments")
	c.Flags().StringVar(&f.screws, "screws", "", "table of screws")
	c.Flags().StringArrayVar(&f.leaveOut, "leave-out", nil, "heading of a column of a table that is not to be read, such as notes; may be given more than once")
	c.Flags().BoolVar(&f.whole, "whole-job", false, "the table has all rooms of the job: those it does not name are gone")
	c.Flags().BoolVar(&f.apply, "apply", false, "take it over")
	c.Flags().StringVar(&f.date, "date", "", "date of the change, YYYY-MM-DD")
	c.Flags().StringVar(&f.by, "by", "", `who changes the plan, "NAME, ROLE, FIRM"`)
	c.Flags().StringVar(&f.reason, "reason", "", "why, such as the revision of the drawing")
	for _, fact := range planFacts {
		if fact.number {
			f.numbers[fact.flag] = c.Flags().Int(fact.flag, 0, fact.says)
			continue
		}
		f.words[fact.flag] = c.Flags().String(fact.flag, "", fact.says)
	}
	return c
}

func (f *planFlags) run(c *cobra.Command, e *edit) error {
	in, err := f.input(c)
	if err != nil {
		return err
	}
	change := schema.PlanChange{Date: schema.Date(f.date), Reason: f.reason, Entered: e.rec.NextEntry()}
	if f.apply {
		if err := needs(c, "date", "by", "reason"); err != nil {
			return err
		}
		by, err := person("--by", f.by)
		if err != nil {
			return err
		}
		change.By = &by
	}
	plan, err := intake.Replanned(intake.Base{Name: e.path, Text: e.text, Record: e.rec}, in)
	if err != nil {
		return err
	}
	e.planned(plan)
	if len(plan.Changes) == 0 {
		return nil
	}
	if !f.apply {
		if err := e.tell(c.OutOrStdout()); err != nil {
			return err
		}
		note(c.ErrOrStderr(), e.path+": nothing was written; take this over with --apply, --date, --by and --reason")
		e.told = []string{}
		return errNotReady
	}
	for _, x := range plan.Changes {
		change.What = append(change.What, x.Replanned)
	}
	e.text, change.Before = plan.Text, plan.Before
	if err := e.retire(); err != nil {
		return err
	}
	return e.last("/planned/changes", len(e.rec.Planned.Changes), change, map[string]string{"date": "--date", "by": "--by", "reason": "--reason"})
}

// planned says what is planned otherwise.
func (e *edit) planned(plan *intake.Plan) {
	for _, x := range plan.Changes {
		switch {
		case x.Change == "moved":
			e.say("%s: moved, now %s, was %s", x.Of, x.Now, x.Was)
		case x.Change != "otherwise":
			e.say("%s: %s", x.Of, strings.Join(slices.DeleteFunc([]string{x.Change, x.Was, x.Now}, func(s string) bool { return s == "" }), ", "))
		default:
			e.say("%s: %s", x.Of, strings.TrimSpace(x.Field+" "+orWord(x.Now, "none")+", was "+orWord(x.Was, "none")))
		}
	}
	for _, o := range plan.Former {
		if len(o.Visits) == 0 {
			e.say("%s: what was conceded is history now", o.Of)
			continue
		}
		var days []string
		for _, v := range o.Visits {
			days = append(days, string(e.rec.Measured.Visits[v].Date))
		}
		e.say("%s: what was observed on %s (%s) is history now, and has to be observed again where it still stands",
			o.Of, plaintext.Count(len(days), "visit"), strings.Join(slices.Compact(days), ", "))
	}
	if len(plan.Kept) > 0 {
		e.say("not in the table, and as planned before: %s; with --whole-job they are gone", strings.Join(plan.Kept, ", "))
	}
}

// input reads tables and facts.
func (f *planFlags) input(c *cobra.Command) (in intake.Replanning, err error) {
	in.Whole = f.whole
	var wrong []error
	for _, t := range []struct {
		path    string
		columns []table.Column
		to      **table.Table
	}{
		{f.units, intake.UnitColumns(), &in.Units},
		{f.tops, intake.TopColumns(), &in.Tops},
		{f.instruments, intake.InstrumentColumns(), &in.Instruments},
		{f.screws, intake.ScrewColumns(), &in.Screws},
	} {
		if t.path == "" {
			continue
		}
		if *t.to, err = readTable(t.path, t.columns, f.leaveOut...); err != nil {
			wrong = append(wrong, err)
		}
	}
	for _, fact := range planFacts {
		if !c.Flags().Changed(fact.flag) {
			continue
		}
		one := intake.JobFact{Pointer: fact.pointer, Field: strings.ReplaceAll(fact.flag, "-", " ")}
		if fact.number {
			one.Value = strconv.AppendInt(nil, int64(*f.numbers[fact.flag]), 10)
		} else if typed := strings.TrimSpace(*f.words[fact.flag]); typed != "" {
			if fact.length {
				if _, err := lengthFlag(fact.flag, typed); err != nil {
					wrong = append(wrong, err)
				}
			}
			if one.Value, err = jsontext.AppendQuote(nil, typed); err != nil {
				wrong = append(wrong, fmt.Errorf("found --%s %q, expected text in UTF-8", fact.flag, typed))
			}
		}
		in.Facts = append(in.Facts, one)
	}
	// A bolt has a pitch or threads per inch.
	for _, pair := range [][2]string{{"leveler-pitch", "threads_per_inch"}, {"threads", "pitch"}} {
		if c.Flags().Changed(pair[0]) {
			in.Facts = append(in.Facts, intake.JobFact{Pointer: "/planned/usual/leveler/" + pair[1], Field: strings.ReplaceAll(pair[1], "_", " ")})
		}
	}
	if f.units+f.tops+f.instruments+f.screws == "" && len(in.Facts) == 0 {
		return in, usage(c, fmt.Errorf("found nothing to plan, expected --units, --tops, --instruments, --screws, or a fact of the job such as --%s", slices.Sorted(maps.Keys(f.words))[0]))
	}
	return in, errors.Join(wrong...)
}
