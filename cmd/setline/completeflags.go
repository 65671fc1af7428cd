package main

import (
	"maps"
	"slices"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
	"setline.example/checks"
	"setline.example/report/findings"
	"setline.example/report/pdf"
	"setline.example/report/sign"
)

// signers are the roles in which a report is signed.
var signers = []string{string(sign.Inspector), string(sign.Installer), string(sign.Contractor)}

// flagValues say what a flag of that name can be completed with, in whichever
// command it stands.
var flagValues = map[string]func(*cobra.Command, []string) []string{
	"room":         plannedRooms,
	"elevation":    plannedElevations,
	"of":           plannedSubjects,
	"visit":        visitDates,
	"limit":        agreedLimits,
	"packing-list": packingLists,
	"corrects":     visitDates,
	"rule":         oneOf(checks.Names()...),
	"paper":        oneOf(string(pdf.Letter), string(pdf.A4)),
	"lengths":      oneOf("in", "mm"),
	"format":       oneOf("text", "json"),
	"only":         oneOf("not-ready"),
	"role":         oneOf("installer", "inspector", "contractor", "other"),
	"as":           oneOf(signers...),
	"expect":       oneOf(signers...),
}

// flagValuesOf are those of one command whose flag means something else.
var flagValuesOf = map[string]func(*cobra.Command, []string) []string{
	"setline check --format":        oneOf(findings.FormatNames()...),
	"setline add --packing-list":    nil, // a file
	"setline start --packing-list":  nil,
	"setline agree limit --limit":   nil, // a length
	"setline schema --of":           oneOf(slices.Sorted(maps.Keys(schemas))...),
	"setline agree decision --rule": oneOf("simple", "guarded"),
}

// completeFlags lets the values of flags be completed in c and all below it.
func completeFlags(c *cobra.Command) {
	c.Flags().VisitAll(func(f *pflag.Flag) {
		values, ok := flagValuesOf[c.CommandPath()+" --"+f.Name]
		if !ok {
			values = flagValues[f.Name]
		}
		if values == nil || f.Value.Type() == "bool" {
			return
		}
		err := c.RegisterFlagCompletionFunc(f.Name, func(c *cobra.Command, args []string, word string) ([]string, cobra.ShellCompDirective) {
			return starting(values(c, args), word), cobra.ShellCompDirectiveNoFileComp
		})
		if err != nil {
			panic(err) // it has one already: a fault of this program, found by any test
		}
	})
	for _, sub := range c.Commands() {
		completeFlags(sub)
	}
}

// oneOf gives the same values always.
func oneOf(values ...string) func(*cobra.Command, []string) []string {
	return func(*cobra.Command, []string) []string { return values }
}

// plannedRooms are the rooms of the record among the arguments.
func plannedRooms(_ *cobra.Command, args []string) []string {
	var names []string
	if rec := recordOf(args); rec != nil {
		for _, r := range rec.Planned.Rooms {
			names = append(names, r.Name)
		}
	}
	return names
}

// plannedElevations are the elevations of the record among the arguments, of
// the rooms that --room names or of all.
func plannedElevations(c *cobra.Command, args []string) []string {
	var names []string
	rooms := asked(c, "room")
	if rec := recordOf(args); rec != nil {
		for _, r := range rec.Planned.Rooms {
			for _, e := range r.Elevations {
				if (len(rooms) == 0 || slices.Contains(rooms, r.Name)) && !slices.Contains(names, e.Name) {
					names = append(names, e.Name)
				}
			}
		}
	}
	return names
}

// asked are the values that a flag has so far, none where there is no such
// flag.
func asked(c *cobra.Command, flag string) []string {
	f := c.Flags().Lookup(flag)
	if f == nil || !f.Changed {
		return nil
	}
	if several, ok := f.Value.(pflag.SliceValue); ok {
		return several.GetSlice()
	}
	return []string{f.Value.String()}
}

// plannedSubjects are the units, joints and other places of the record among
// the arguments, by the names that results have.
func plannedSubjects(_ *cobra.Command, args []string) []string {
	rec := recordOf(args)
	if rec == nil {
		return nil
	}
	found, err := checks.Run(rec, nil)
	if err != nil {
		return nil
	}
	var names []string
	for _, room := range found.Rooms {
		for i := range room.Results {
			names = append(names, room.Results[i].Subject.String())
		}
	}
	slices.Sort(names)
	return slices.Compact(names)
}

// visitDates are the dates of the visits of the record among the arguments.
func visitDates(_ *cobra.Command, args []string) []string {
	var dates []string
	if rec := recordOf(args); rec != nil {
		for _, i := range rec.Measured.VisitsInTime() {
			dates = append(dates, string(rec.Measured.Visits[i].Date))
		}
	}
	return slices.Compact(dates)
}

// packingLists are the numbers of those in the record among the arguments.
func packingLists(_ *cobra.Command, args []string) []string {
	rec := recordOf(args)
	if rec == nil {
		return nil
	}
	return slices.Sorted(maps.Keys(rec.Arrived.PackingLists))
}

// agreedLimits are the names of the rules whose limits the contract of the
// record among the arguments sets.
func agreedLimits(_ *cobra.Command, args []string) []string {
	rec := recordOf(args)
	if rec == nil {
		return nil
	}
	return sortedRules(rec.Planned.Limits)
}
