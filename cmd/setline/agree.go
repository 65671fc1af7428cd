package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"
	"setline.example/schema"
)

func newAgree() *cobra.Command {
	c := &cobra.Command{
		Use:   "agree",
		Short: "Write down what was agreed, such as concessions and who signs",
		Long: `Agree puts into a record what the parties settled between them, each kind by a
command of its own. What is said is held against the record and the rules before
anything is written, and only the lines of what is new change.

Exit codes: 0 the record has it now, 2 it has not, and is as it was; 4 the
record was changed, and telling so failed.`,
		Example: `  setline agree concession job.json --fault 3 --reason "not in view" --by "Petra Vance, contractor, Tarn Valley Builders" --date 2026-10-08
  setline agree signer job.json --inspector "Ingrid Sørlie, Halden Quality Services"
  setline agree show job.json`,
		Args: noArgs,
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	c.AddCommand(newConcession(), newOpenItem(), newCloseItem(), newReinspection(), newLimit(), newDecision(), newClosingOut(), newHandover(), newSigner(), newUnagree(), newAgreed())
	return c
}

// changing makes a command that changes the record it is given in place.
func changing(c *cobra.Command, backup *bool, make func(*cobra.Command, *edit) error) *cobra.Command {
	c.Args, c.ValidArgsFunction = oneRecord, files("json")
	c.Flags().BoolVar(backup, "backup", false, "keep what is replaced as FILE.bak")
	c.RunE = func(c *cobra.Command, args []string) error {
		return inPlace(c, args[0], *backup, func(e *edit) error { return make(c, e) })
	}
	return c
}

const agreeExits = `

Exit codes: 0 the record has it now, 2 it has not, and is as it was; 4 the
record was changed, and telling so failed.`

func newOpenItem() *cobra.Command {
	var item schema.OpenItem
	var due string
	var backup bool
	c := changing(&cobra.Command{
		Use:   "open-item FILE --room ROOM --what TEXT",
		Short: "Note something left to do that no rule judges",
		Long: `Open-item notes something that is left to do and that no rule judges. It stands
in the report until it is closed with "setline agree close-item".` + agreeExits,
		Example: `  setline agree open-item job.json --room S-104 --what "Touch up the end panel" --owner "Fennick & Dole" --due 2026-10-20
  setline agree open-item job.json --room S-104 --what "Hang the sink door" --backup`,
	}, &backup, func(c *cobra.Command, e *edit) error {
		if err := needs(c, "room", "what"); err != nil {
			return err
		}
		item.Due = schema.Date(due)
		all := e.rec.Agreed.OpenItems
		for i, old := range all {
			if old.Room == item.Room && old.What == item.What && old.Closed == nil {
				e.say("open item %d says so already", i+1)
				return nil
			}
		}
		e.say("open item %d, room %s: %s", len(all)+1, item.Room, item.What)
		return e.last("/agreed/open_items", len(all), item, map[string]string{"room": "--room", "what": "--what", "owner": "--owner", "due": "--due"})
	})
	c.Flags().StringVar(&item.Room, "room", "", "room it belongs to")
	c.Flags().StringVar(&item.What, "what", "", "what is to be done")
	c.Flags().StringVar(&item.Owner, "owner", "", "who is to do it")
	c.Flags().StringVar(&due, "due", "", "date it is due, YYYY-MM-DD")
	return c
}

func newCloseItem() *cobra.Command {
	var number int
	var closing schema.Closing
	var date string
	var backup bool
	c := changing(&cobra.Command{
		Use:   "close-item FILE --item NUMBER --by NAME --date DATE",
		Short: "Say that an open item is done",
		Long: `Close-item says that something left to do is done, who saw it and when. The item
stays in the record and in the report, among those that are done. "setline agree
show" numbers the items.` + agreeExits,
		Example: `  setline agree close-item job.json --item 1 --by "Ingrid Sørlie" --date 2026-10-20
  setline agree close-item job.json --item 2 --by "Marek Łuczak" --date 2026-10-21 --remark "new panel instead"`,
	}, &backup, func(c *cobra.Command, e *edit) error {
		if err := needs(c, "by", "date"); err != nil {
			return err
		}
		all := e.rec.Agreed.OpenItems
		if number < 1 || number > len(all) {
			return hinted{fmt.Errorf("%s: --item: found %d, expected %s", e.path, number, numbersUpTo(len(all), "open item")), `"setline agree show" numbers them`}
		}
		closing.Date = schema.Date(date)
		if old := all[number-1].Closed; old != nil {
			if *old == closing {
				return nil
			}
			return hinted{fmt.Errorf("%s: --item: found open item %d, which %s closed on %s, expected one that is open", e.path, number, old.By, old.Date), "note what is left as an open item of its own"}
		}
		e.say("open item %d is done: %s", number, all[number-1].What)
		return e.add(schema.Pointer("/agreed/open_items", number-1, "closed"), closing, map[string]string{"by": "--by", "date": "--date", "remark": "--remark"})
	})
	c.Flags().IntVar(&number, "item", 0, "number of the item")
	c.Flags().StringVar(&closing.By, "by", "", "who saw that it is done")
	c.Flags().StringVar(&date, "date", "", "on what day, YYYY-MM-DD")
	c.Flags().StringVar(&closing.Remark, "remark", "", "anything worth saying")
	return c
}

// numbersUpTo says which numbers there are.
func numbersUpTo(n int, what string) string {
	article := "a"
	if strings.ContainsRune("aeiou", rune(what[0])) {
		article = "an"
	}
	switch n {
	case 0:
		return article + " " + what + ", and the record has none"
	case 1:
		return "1, the only " + what
	}
	return fmt.Sprintf("the number of %s %s, 1 to %d", article, what, n)
}

func newReinspection() *cobra.Command {
	var again schema.Reinspection
	var date string
	var backup bool
	c := changing(&cobra.Command{
		Use:   "reinspection FILE --room ROOM --date DATE",
		Short: "Agree on a date on which a room is inspected again",
		Long: `Reinspection notes a date on which a room is to be inspected again, such as after
the building has settled. A room whose slab, building or floor finish is not
ready can be handed over only with one.` + agreeExits,
		Example: `  setline agree reinspection job.json --room S-104 --date 2026-12-01 --reason "slab poured in September"
  setline agree reinspection job.json --room S-106 --date 2026-12-01`,
	}, &backup, func(c *cobra.Command, e *edit) error {
		if err := needs(c, "room", "date"); err != nil {
			return err
		}
		again.Date = schema.Date(date)
		all := e.rec.Agreed.Reinspections
		for _, old := range all {
			if old.Room == again.Room && old.Date == again.Date {
				return nil
			}
		}
		e.say("room %s is to be inspected again on %s", again.Room, again.Date)
		return e.last("/agreed/reinspections", len(all), again, map[string]string{"room": "--room", "date": "--date", "reason": "--reason"})
	})
	c.Flags().StringVar(&again.Room, "room", "", "room to inspect again")
	c.Flags().StringVar(&date, "date", "", "date of the inspection, YYYY-MM-DD")
	c.Flags().StringVar(&again.Reason, "reason", "", "why")
	return c
}

func newDecision() *cobra.Command {
	var rule string
	var f correctsFlags
	var backup bool
	c := changing(&cobra.Command{
		Use:   "decision FILE --rule simple|guarded",
		Short: "Say how values near their limits are judged",
		Long: `Decision says which decision rule the contract chooses. Simple, the default: a
value within its limit passes. Guarded (JCGM 106:2012): it passes only where it
is within by its expanded uncertainty, and fails only where it is beyond by it.` + agreeExits,
		Example: `  setline agree decision job.json --rule guarded
  setline agree decision job.json --rule simple --backup`,
	}, &backup, func(c *cobra.Command, e *edit) error {
		if err := needs(c, "rule"); err != nil {
			return err
		}
		was := orWord(e.rec.Planned.DecisionRule, "simple")
		if rule == was {
			return nil
		}
		e.say("decision rule: %s, was %s", rule, was)
		if err := e.add("/planned/decision_rule", rule, map[string]string{"": "--rule"}); err != nil {
			return err
		}
		if was == "simple" {
			was = "" // as it is without a word
		}
		return e.agreed(c, &f, "decision rule", was)
	})
	f.add(c, "reason")
	c.Flags().StringVar(&rule, "rule", "", "simple or guarded")
	return c
}

func newClosingOut() *cobra.Command {
	var asked bool
	var f correctsFlags
	var backup bool
	c := changing(&cobra.Command{
		Use:   "closing-out FILE",
		Short: "Say that the contract asks for what closes a room out",
		Long: `Closing-out says that the contract asks for what closes a room out: instructions
on site, services clear, anchored as drawn, tops released, no damage, loose parts
there, clean, protected, handed over. The rules then judge it, and sheets ask for
it along every elevation, all but the last by one box with room for what is
excepted, and of handing over once for a room. Without it they say nothing of it.` + agreeExits,
		Example: `  setline agree closing-out job.json
  setline agree closing-out job.json --asked=false --by "Petra Vance, contractor" --date 2026-10-09 --reason "addendum 2"`,
	}, &backup, func(c *cobra.Command, e *edit) error {
		if asked == e.rec.Planned.ClosingOut {
			return nil
		}
		was := ""
		if asked {
			e.say("closing out: asked for")
		} else {
			e.say("closing out: not asked for")
			was = "asked for"
		}
		if err := e.add("/planned/closing_out", asked, map[string]string{"": "--asked"}); err != nil {
			return err
		}
		return e.agreed(c, &f, "closing out", was)
	})
	f.add(c, "reason")
	c.Flags().BoolVar(&asked, "asked", true, "whether the contract asks for it")
	return c
}

func orWord(s, word string) string {
	if s == "" {
		return word
	}
	return s
}

func newSigner() *cobra.Command {
	typed := map[string]*string{}
	var f correctsFlags
	var backup bool
	c := changing(&cobra.Command{
		Use:   "signer FILE",
		Short: "Say who signs the turnover",
		Long: `Signer names who signs the turnover as inspector, installer and contractor. The
report keeps a place for each. One who was named before stays in the record, and
who changed it, when and why where --by, --date and --reason say so.` + agreeExits,
		Example: `  setline agree signer job.json --inspector "Ingrid Sørlie, Halden Quality Services"
  setline agree signer job.json --installer "Marek Łuczak, Fennick & Dole" --contractor "Petra Vance, Tarn Valley Builders"`,
	}, &backup, func(c *cobra.Command, e *edit) error {
		given := false
		var what []schema.Replanned
		s := e.rec.Agreed.SignOff
		was := map[string]*schema.Signer{"inspector": s.Inspector, "installer": s.Installer, "contractor": s.Contractor}
		for _, role := range signRoles {
			if strings.TrimSpace(*typed[role]) == "" {
				continue
			}
			given = true
			p, err := person("--"+role, *typed[role])
			if err != nil {
				return err
			}
			now := schema.Signer{Name: p.Name, Firm: p.Firm}
			if old := was[role]; old != nil && *old == now {
				continue
			}
			e.say("%s who signs: %s%s", role, signerWords(&now), wasWords(signerWords(was[role])))
			if old := signerWords(was[role]); old != "" {
				what = append(what, schema.Replanned{Of: "job", Change: "otherwise", Field: role + " who signs", Was: old})
			}
			flag := map[string]string{"": "--" + role}
			if err := e.add(schema.Pointer("/agreed/sign_off", role), now, flag); err != nil {
				return err
			}
		}
		if !given {
			return usage(c, fmt.Errorf("found nobody, expected --%s", strings.Join(signRoles, ", --")))
		}
		return e.noted(c, &f, what)
	})
	f.add(c, "reason")
	for _, role := range signRoles {
		typed[role] = c.Flags().String(role, "", "who signs as "+role+`, "NAME" or "NAME, FIRM"`)
	}
	return c
}

func signerWords(s *schema.Signer) string {
	if s == nil {
		return ""
	}
	return personWords(schema.Party{Name: s.Name, Firm: s.Firm})
}

// wasWords says what a thing was, where it was anything.
func wasWords(was string) string {
	if was == "" {
		return ""
	}
	return ", was " + was
}
