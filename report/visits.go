package report

import (
	"encoding/json"
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
		if !b.covers.has(i.Room) {
			continue
		}
		if c := i.Closed; c != nil {
			closed = append(closed, ClosedItemView{Text(i.Room), Text(i.What), Text(c.By), Text(c.Date), Text(c.Remark)})
			continue
		}
		open = append(open, openItem(i))
	}
	return open, closed
}

func openItem(i schema.OpenItem) OpenItemView {
	return OpenItemView{Text(i.Room), Text(i.What), Text(i.Owner), Text(i.Due)}
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
		if !b.covers.has(schema.RoomOf(c.Subject)) {
			continue
		}
		state := say.Words("no longer needed; put right since")
		switch {
		case applied[i]:
			state = "in force"
		case open[[2]string{c.Rule, c.Subject}]:
			state = "does not cover what was found since"
		}
		number := Text(none)
		if f, ok := b.open[[2]string{c.Rule, c.Subject}]; ok {
			number = Text(strconv.Itoa(f.Number))
		}
		all = append(all, ConcessionView{number, Text(c.Subject), b.ruleTitle(c.Rule), Text(c.Reason), b.party(c.By), Text(c.Date), b.own(state)})
	}
	return all
}

// planChanges are the changes of the plan, each thing with what it was.
func (b *viewer) planChanges() []PlanChangeView {
	var all []PlanChangeView
	for _, c := range b.rec.Planned.Changes {
		by, day, why := Text(none), Text(none), Text(none) // not always known where the plan was only added to
		if c.By != nil {
			by = b.party(*c.By)
		}
		if c.Date != "" {
			day = Text(c.Date)
		}
		if c.Reason != "" {
			why = Text(c.Reason)
		}
		for _, x := range c.What {
			if !b.covers.speaksOf(x.Of) {
				continue
			}
			what := checks.AnswerWords(x.Change)
			if x.Field != "" {
				what = say.That("%[1]s %[2]s", say.Name(x.Field), what)
			}
			if x.Was != "" {
				what = say.That("%[1]s, was %[2]s", what, say.Name(x.Was))
			}
			all = append(all, PlanChangeView{day, by, why, Text(x.Of), b.text(what)})
		}
	}
	return all
}

// assumedPlans names the days of changes before which nobody knows what was planned.
func (b *viewer) assumedPlans() Text {
	var days []string
	for _, i := range checks.AssumedPlans(b.rec) {
		days = append(days, string(b.rec.Planned.Changes[i].Date))
	}
	return Text(strings.Join(slices.Compact(days), ", "))
}

func (b *viewer) putRight() []PutRightView {
	var all []PutRightView
	on := func(visit int) Text {
		if visit < 0 {
			return b.own("on receipt")
		}
		return b.text(b.visit(visit))
	}
	for _, f := range b.faults {
		if !f.PutRight || !b.covers.has(f.Subject.Room) {
			continue
		}
		var names []string
		if f.PutRightOn >= 0 {
			for _, p := range b.rec.Measured.Visits[f.PutRightOn].People {
				names = append(names, p.Name)
			}
		}
		all = append(all, PutRightView{Text(strconv.Itoa(f.Number)), b.text(f.Subject.Words()), b.own(f.Rule.Title()), b.text(f.Finding), on(f.FoundOn), on(f.PutRightOn), Text(strings.Join(names, ", "))})
	}
	return all
}

func (b *viewer) visits() []VisitView {
	var all []VisitView
	for _, i := range b.told {
		v := &b.rec.Measured.Visits[i]
		all = append(all, VisitView{
			b.number[i], Text(v.Date), Text(v.Purpose), b.text(people(v)),
			b.text(used(v)), b.text(siteWords(v.Site)),
		})
	}
	return all
}

// ruleTitle is the name of a rule as people read it, for the one that a record has.
func (b *viewer) ruleTitle(name string) Text {
	if rule := checks.Find(name); rule != nil {
		return b.own(rule.Title())
	}
	return Text(name)
}

// people are those of a visit.
func people(v *schema.Visit) say.Text {
	all := make([]say.Text, len(v.People))
	for i, p := range v.People {
		all[i] = party(p)
	}
	return say.Semicolons(all...)
}

func (b *viewer) party(p schema.Party) Text { return b.text(party(p)) }

// party is a person with part and firm.
func party(p schema.Party) say.Text {
	text := say.Commas(say.Name(p.Name).Text(), checks.AnswerWords(p.Role))
	if p.Firm != "" {
		return say.That("%[1]s (%[2]s)", text, say.Name(p.Firm))
	}
	return text
}

// used names the instruments of a visit, and when each was checked before it.
func used(v *schema.Visit) say.Text {
	var all []say.Text
	for _, name := range slices.Sorted(maps.Keys(v.Instruments)) {
		use, parts := v.Instruments[name], []say.Text{say.Name(name).Text()}
		if use.Checked != "" {
			parts = append(parts, say.That("checked %[1]s", use.Checked))
		}
		if use.TwoPeg != nil {
			parts = append(parts, say.That("two-peg test"))
		}
		if len(parts) == 1 {
			parts = append(parts, say.That("check not observed"))
		}
		if use.Dropped != nil && *use.Dropped {
			parts = append(parts, say.That("dropped since"))
		}
		all = append(all, say.Commas(parts...))
	}
	return say.Semicolons(all...)
}

// instruments are those that visits used, each once.
// record is the text of the record: what an instrument can do is told as it was
// written down, 50 ft and not 600 in.
func (b *viewer) instruments(record []byte) []InstrumentView {
	given := accuracies(record)
	names := map[string]bool{}
	for i := range b.rec.Measured.Visits {
		v := &b.rec.Measured.Visits[i]
		if !slices.Contains(b.told, i) && !b.covers.hasVisit(v) {
			continue
		}
		for name := range v.Instruments {
			names[name] = true
		}
	}
	var all []InstrumentView
	for _, name := range slices.Sorted(maps.Keys(names)) {
		v := InstrumentView{Name: Text(name), Kind: b.own("not in the plan"), Resolution: none, Accuracy: none, Serial: none}
		if in, ok := b.rec.Planned.Instruments[name]; ok {
			v.Kind = b.text(checks.AnswerWords(in.Kind))
			if in.Resolution != nil {
				v.Resolution = Text(in.Resolution.In(b.sys))
			}
			if in.Accuracy != nil && in.Over != nil {
				as, ok := given[name]
				if !ok {
					as = asGiven{say.Name(in.Accuracy.In(b.sys)), say.Name(in.Over.In(b.sys))}
				}
				v.Accuracy = b.text(say.That("± %[1]s at %[2]s", as.Accuracy, as.Over))
			}
			if in.Serial != "" {
				v.Serial = Text(in.Serial)
			}
		}
		all = append(all, v)
	}
	return all
}

// asGiven is what the maker of an instrument says of it, as it was written down.
type asGiven struct {
	Accuracy say.Name `json:"accuracy"`
	Over     say.Name `json:"over"`
}

// accuracies reads them out of the text of a record; none where it is not that of
// one, such as where there is no text.
func accuracies(record []byte) map[string]asGiven {
	var r struct {
		Planned struct {
			Instruments map[string]asGiven `json:"instruments"`
		} `json:"planned"`
	}
	if json.Unmarshal(record, &r) != nil {
		return nil
	}
	return r.Planned.Instruments
}

func siteWords(s *schema.Site) say.Text {
	if s == nil {
		return say.That("not observed")
	}
	one := func(b *bool, yes, no, unseen say.Words) say.Text {
		switch {
		case b == nil:
			return unseen.Text()
		case *b:
			return yes.Text()
		}
		return no.Text()
	}
	text := say.Commas(
		one(s.SlabCured, "slab cured", "slab not cured", "slab not observed"),
		one(s.ClosedIn, "building closed in", "building not closed in", "closing-in not observed"),
		one(s.FloorFinishKnown, "floor finish known", "floor finish not known", "floor finish not observed"),
	)
	if s.Remark != "" {
		text = say.That("%[1]s. %[2]s", text, say.Name(s.Remark))
	}
	return text
}

// rules are those that judged something of what is handed over, or of which the
// contract changes the limit; idle names the others.
func (b *viewer) rules() (all []RuleView, idle []say.Text) {
	judged := map[string]bool{}
	for i := range b.found.Results {
		if r := &b.found.Results[i]; b.covers.has(r.Subject.Room) && r.Outcome != checks.NotApplicable {
			judged[r.Rule.Name] = true
		}
	}
	for i, rule := range checks.All() {
		b.rule[rule.Name] = i + 1
		if rule.Family == checks.ClosingOut && !b.rec.Planned.ClosingOut {
			continue // the contract does not ask for it
		}
		if _, changed := b.rec.Planned.Limits[rule.Name]; !changed && !judged[rule.Name] {
			idle = append(idle, rule.Title().Text())
			continue
		}
		source, limit, sourced := b.words.Words(rule.Source), rule.LimitIn(b.sys), rule.Source != checks.CommonPractice
		if change, ok := b.rec.Planned.Limits[rule.Name]; ok {
			limit, sourced = rule.ContractLimit(change), true
			source = b.words.Text(say.That("%[1]s (in place of %[2]s)", say.Name(change.Source), rule.LimitIn(b.sys)))
		}
		all = append(all, RuleView{i + 1, b.own(rule.Title()), b.own(rule.Asks), b.text(limit), Text(source), sourced})
	}
	return all, idle
}

// loosened are the limits that are looser than ours.
func (b *viewer) loosened() (all []LoosenedView) {
	for _, l := range b.found.Loosened {
		v := LoosenedView{
			Rule: b.own(l.Rule.Title()), Limit: b.text(l.Rule.ContractLimit(l.Change)),
			Ours: b.text(l.Rule.LimitIn(b.sys)), Source: Text(l.Change.Source),
		}
		if l.Excessive {
			v.Excessive = b.text(say.That("More than %[1]s times ours: hardly anything fails it", checks.ExcessiveTimes))
		}
		all = append(all, v)
	}
	return all
}

func (b *viewer) decisionWords() Words {
	if b.rec.Planned.DecisionRule == checks.Guarded {
		return b.raw("Decision rule: guarded. A measured value passes only where it is within the limit by its expanded uncertainty U (k\u00a0=\u00a02), fails only where it is beyond the limit by U, and is undecided between (JCGM 106:2012, 8.3.2; ISO 14253-1); run closes, floor within travel, reserve left and survey coverage compare with what is planned, exactly as read. \"Within\" is the probability that the true value is within the limit.")
	}
	return b.raw("Decision rule: simple. A measured value within the limit passes; a value at the limit is within it. Where the instrument's resolution is known, a value is shown with its expanded uncertainty (k\u00a0=\u00a02), and \"within\" is the probability that the true value is within the limit (JCGM 106:2012, 7.3).")
}

// raw are words of ours with markup and blanks as they are written.
func (b *viewer) raw(w say.Words) Words { return Words(b.words.Words(w)) }

func (b *viewer) signers(s schema.SignOff) []SignerView {
	row := func(as string, role, meaning say.Words, p *schema.Signer) SignerView {
		v := SignerView{Role: b.own(role), Meaning: b.own(meaning), Place: pdf.PlaceName(as)}
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
