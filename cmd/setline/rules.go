package main

import (
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"
	"setline.example/checks"
	texts "setline.example/checks/say"
	"setline.example/schema/length"
)

func newRules() *cobra.Command {
	return &cobra.Command{
		Use:   "rules [NAME]",
		Short: "List the rules of the trade, or explain one",
		Long: `Rules lists every rule with its limit. With the name of one it says what the
rule asks and why, where its limit comes from, what has to be observed, and
what to do where it fails.

Exit codes: 0 there is such a rule, 2 there is none.`,
		Example: `  setline rules
  setline rules fronts flush`,
		ValidArgsFunction: ruleNames,
		RunE: func(c *cobra.Command, args []string) error {
			if len(args) == 0 {
				return listRules(c.OutOrStdout())
			}
			// Rule names have spaces; quotes around them are welcome and not needed.
			name := strings.Join(args, " ")
			rule := checks.Find(name)
			if rule == nil {
				expected, mend := checks.ExpectedRule(name)
				return hinted{fmt.Errorf("found the rule name %q, expected %s", name, expected), mend}
			}
			return explain(c.OutOrStdout(), rule)
		},
	}
}

// write writes for people, lengths in inches.
var write texts.Writer

func listRules(w io.Writer) error {
	var b strings.Builder
	var family checks.Family
	for _, r := range checks.All() {
		if r.Family != family {
			if family != "" {
				b.WriteByte('\n')
			}
			family = r.Family
			fmt.Fprintf(&b, "%s\n", family)
		}
		fmt.Fprintf(&b, "\n  %s: %s\n", r.Name, write.Text(r.LimitIn(length.InchSystem)))
		for _, line := range []struct {
			name string
			text texts.Words
		}{{"judges", r.Asks}, {"source", r.Source}, {"remedy", r.Remedy}} {
			fmt.Fprintf(&b, "    %-8s%s\n", line.name, write.Words(line.text))
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func explain(w io.Writer, r *checks.Rule) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s (%s)\n\n", r.Name, r.Family)
	for _, item := range []struct {
		name string
		text texts.Text
	}{
		{"asks", r.Asks.Text()},
		{"why", r.Why.Text()},
		{"limit", r.LimitIn(length.InchSystem)},
		{"formula", r.Formula.Text()},
		{"source", r.Source.Text()},
		{"observe", r.Needs.Text()},
		{"where it fails", r.Remedy.Text()},
		{"once setting has begun", r.RemedyOnceSetting.Text()},
		{"no concession", r.NoConcession.Text()},
	} {
		if !item.text.Empty() {
			fmt.Fprintf(&b, "%s\n    %s\n", item.name, write.Text(item.text))
		}
	}
	if r.LimitWords == "" {
		rate := ""
		if r.Least > 0 {
			rate = fmt.Sprintf("\"over\": %q, \"least\": %q, ", r.Over.In(length.InchSystem), r.Least.In(length.InchSystem))
		}
		fmt.Fprintf(&b, "in a record\n    \"limits\": {%q: {\"limit\": %q, %s\"source\": \"...\"}} changes the limit\n", r.Name, r.Limit.In(length.InchSystem), rate)
	}
	_, err := io.WriteString(w, b.String())
	return err
}
