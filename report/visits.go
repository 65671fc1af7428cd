package report

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/report/pdf"
	"setline.example/schema"
)

// What was agreed, who visited with what, and the rules that judged.

func (b *viewer) openItems() (open []OpenItemView, closed []ClosedItemView) {
	for _, i := range b.rec.Agreed.OpenItems {
		if c := i.Closed; c != nil {
			closed = append(closed, ClosedItemView{Text(i.Room), Text(i.What), Text(c.By), Text(c.Date), Text(c.Remark)})
			continue
		}
		open = append(open, OpenItemView{Text(i.Room), Text(i.What), Text(i.Owner), Text(i.Due)})
	}
	return open, closed
}

func (b *viewer) concessions() []ConcessionView {
	applied, open := map[int]bool{}, map[[2]string]bool{}
	for _, r := range b.found.Results {
		if r.Concession >= 0 {
			applied[r.Concession] = true
		}
		if !r.Outcome.Holds() {
			open[[2]string{r.Rule.Name, r.Subject.String()}] = true
		}
	}
	var all []ConcessionView
	for i, c := range b.rec.Agreed.Concessions {
		state := "no longer needed; put right since"
		switch {
		case applied[i]:
			state = "in force"
		case open[[2]string{c.Rule, c.Subject}]:
			state = "does not cover what was found since"
		}
		all = append(all, ConcessionView{Text(c.Subject), Text(c.Rule), Text(c.Reason), Text(party(c.By)), Text(c.Date), Text(state)})
	}
	return all
}

// planChanges are the changes of the plan, each thing with what it was.
func (b *viewer) planChanges() []PlanChangeView {
	var all []PlanChangeView
	for _, c := range b.rec.Planned.Changes {
		for _, x := range c.What {
			what := x.Change
			if x.Field != "" {
				what = x.Field + " " + what
			}
			if x.Was != "" {
				what += ", was " + x.Was
			}
			all = append(all, PlanChangeView{Text(c.Date), Text(party(c.By)), Text(c.Reason), Text(x.Of), Text(what)})
		}
	}
	return all
}

func (b *viewer) putRight() []PutRightView {
	var all []PutRightView
	on := func(visit int) Text {
		if visit < 0 {
			return "on receipt"
		}
		return Text(fmt.Sprintf("visit %d, %s", b.number[visit], b.rec.Measured.Visits[visit].Date))
	}
	for _, f := range b.faults {
		if !f.PutRight {
			continue
		}
		var names []string
		if f.PutRightOn >= 0 {
			for _, p := range b.rec.Measured.Visits[f.PutRightOn].People {
				names = append(names, p.Name)
			}
		}
		all = append(all, PutRightView{Text(strconv.Itoa(f.Number)), Text(f.Subject.String()), Text(f.Rule.Name), b.text(f.Finding), on(f.FoundOn), on(f.PutRightOn), Text(strings.Join(names, ", "))})
	}
	return all
}

func (b *viewer) visits() []VisitView {
	var all []VisitView
	for n, i := range b.rec.Measured.VisitsInTime() {
		v := &b.rec.Measured.Visits[i]
		people := make([]string, len(v.People))
		for k, p := range v.People {
			people[k] = party(p)
		}
		all = append(all, VisitView{
			n + 1, Text(v.Date), Text(v.Purpose), Text(strings.Join(people, "; ")),
			Text(used(v)), Text(siteWords(v.Site)),
		})
	}
	return all
}

// party writes a person with part and firm.
func party(p schema.Party) string {
	text := p.Name
	if p.Role != "" {
		text += ", " + p.Role
	}
	if p.Firm != "" {
		text += " (" + p.Firm + ")"
	}
	return text
}

// used names the instruments of a visit, and when each was checked before it.
func used(v *schema.Visit) string {
	var all []string
	for _, name := range slices.Sorted(maps.Keys(v.Instruments)) {
		use, words := v.Instruments[name], name
		if use.Checked != "" {
			words += ", checked " + string(use.Checked)
		}
		if use.TwoPeg != nil {
			words += ", two-peg test"
		}
		if words == name {
			words += ", check not observed"
		}
		if use.Dropped != nil && *use.Dropped {
			words += ", dropped since"
		}
		all = append(all, words)
	}
	return strings.Join(all, "; ")
}

// instruments are those that visits used, each once.
func (b *viewer) instruments() []InstrumentView {
	names := map[string]bool{}
	for i := range b.rec.Measured.Visits {
		for name := range b.rec.Measured.Visits[i].Instruments {
			names[name] = true
		}
	}
	var all []InstrumentView
	for _, name := range slices.Sorted(maps.Keys(names)) {
		v := InstrumentView{Name: Text(name), Kind: "not in the plan", Resolution: none, Accuracy: none, Serial: none}
		if in, ok := b.rec.Planned.Instruments[name]; ok {
			v.Kind = Text(in.Kind)
			if in.Resolution != nil {
				v.Resolution = Text(in.Resolution.In(b.sys))
			}
			if in.Accuracy != nil && in.Over != nil {
				v.Accuracy = Text("± " + in.Accuracy.In(b.sys) + " over " + in.Over.In(b.sys))
			}
			if in.Serial != "" {
				v.Serial = Text(in.Serial)
			}
		}
		all = append(all, v)
	}
	return all
}

func siteWords(s *schema.Site) string {
	if s == nil {
		return "not observed"
	}
	say := func(b *bool, yes, no, unseen string) string {
		switch {
		case b == nil:
			return unseen
		case *b:
			return yes
		}
		return no
	}
	text := strings.Join([]string{
		say(s.SlabCured, "slab cured", "slab not cured", "slab not observed"),
		say(s.ClosedIn, "building closed in", "building not closed in", "closing-in not observed"),
		say(s.FloorFinishKnown, "floor finish known", "floor finish not known", "floor finish not observed"),
	}, ", ")
	if s.Remark != "" {
		text += ". " + s.Remark
	}
	return text
}

func (b *viewer) rules() []RuleView {
	var all []RuleView
	for i, rule := range checks.All() {
		b.rule[rule.Name] = i + 1
		if rule.Family == checks.ClosingOut && !b.rec.Planned.ClosingOut {
			continue // the contract does not ask for it
		}
		source, limit := b.words.Words(rule.Source), rule.LimitIn(b.sys)
		if change, ok := b.rec.Planned.Limits[rule.Name]; ok {
			limit = rule.ContractLimit(change)
			source = b.words.Text(say.That("%[1]s (in place of %[2]s)", say.Name(change.Source), rule.LimitIn(b.sys)))
		}
		all = append(all, RuleView{i + 1, Text(rule.Name), Text(b.words.Words(rule.Asks)), b.text(limit), Text(source)})
	}
	return all
}

// loosened are the limits that are looser than ours.
func (b *viewer) loosened() (all []LoosenedView) {
	for _, l := range b.found.Loosened {
		v := LoosenedView{
			Rule: Text(l.Rule.Name), Limit: b.text(l.Rule.ContractLimit(l.Change)),
			Ours: b.text(l.Rule.LimitIn(b.sys)), Source: Text(l.Change.Source),
		}
		if l.Excessive {
			v.Excessive = Text(fmt.Sprintf("More than %d times ours: hardly anything fails it", checks.ExcessiveTimes))
		}
		all = append(all, v)
	}
	return all
}

func decisionWords(rule string) Words {
	if rule == checks.Guarded {
		return "Decision rule: guarded. A measured value passes only where it is within the limit by its expanded uncertainty U (k\u00a0=\u00a02), fails only where it is beyond the limit by U, and is undecided between (JCGM 106:2012, 8.3.2; ISO 14253-1). \"Within\" is the probability that the true value is within the limit."
	}
	return "Decision rule: simple. A measured value within the limit passes; a value at the limit is within it. Where the instrument's resolution is known, a value is shown with its expanded uncertainty (k\u00a0=\u00a02), and \"within\" is the probability that the true value is within the limit (JCGM 106:2012, 7.3)."
}

func signers(s schema.SignOff) []SignerView {
	row := func(as, role, meaning string, p *schema.Signer) SignerView {
		v := SignerView{Role: Text(role), Meaning: Text(meaning), Place: pdf.PlaceName(as)}
		if p != nil {
			v.Name = Text(p.Name)
			if p.Firm != "" {
				v.Name += Text(", " + p.Firm)
			}
		}
		return v
	}
	return []SignerView{
		row("inspector", "Inspector", "looked and measured as written", s.Inspector),
		row("installer", "Installer", "did the work as written", s.Installer),
		row("contractor", "General contractor", "received this report", s.Contractor),
	}
}
