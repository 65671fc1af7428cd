package report

import (
	"slices"
	"strings"

	"setline.example/checks"
	"setline.example/checks/say"
)

// byRule gathers the results of a room rule by rule, in the order of the work, so
// that what is held against one limit stands together. What has no number is said
// once for all places where the same is so; what is wrong always has a row.
func (b *viewer) byRule(groups []GroupView) []RuleResults {
	byRule := make([]ruleRows, len(b.rule)+1)
	for _, g := range groups {
		for i := range g.Results {
			r := &g.Results[i]
			byRule[b.rule[r.of.Rule.Name]].add(r)
		}
	}
	var all []RuleResults
	for _, rows := range byRule {
		if rows.title == "" {
			continue
		}
		one := RuleResults{Rule: rows.title}
		for _, s := range rows.all {
			v := s.ResultView
			v.Where = b.text(say.Commas(s.places...))
			if s.alone() {
				one.Rows = append(one.Rows, v)
			} else {
				one.Alike = append(one.Alike, AlikeView{v})
			}
		}
		all = append(all, one)
	}
	return all
}

// ruleRows are the results of one rule; those that say the same share one.
type ruleRows struct {
	title Text
	all   []*sharedRow
	known map[rowNumbers][]*sharedRow
}

// sharedRow is what is said of several places.
type sharedRow struct {
	ResultView
	places []say.Text
}

// alone reports whether it has a row of the table: what is wrong or permitted, and
// every measured length. How many days old a check is needs no row.
func (s *sharedRow) alone() bool {
	return s.measured && s.of.Limit.Unit == checks.Length || slices.Contains([]checks.Outcome{checks.Fail, checks.Undecided, checks.Conceded}, s.of.Outcome)
}

// rowNumbers are what has to be equal where results share a row, beside what was found.
type rowNumbers struct {
	outcome                   checks.Outcome
	value, limit              checks.Quantity
	uncertainty               float64
	known                     bool
	visit, concession, number int
}

func (rows *ruleRows) add(r *ResultView) {
	if rows.known == nil {
		rows.title, rows.known = r.Rule, map[rowNumbers][]*sharedRow{}
	}
	key := rowNumbers{r.of.Outcome, r.of.Value, r.of.Limit, r.of.Uncertainty, r.of.Known, r.of.Visit, r.of.Concession, r.number}
	for _, s := range rows.known[key] {
		if s.of.Finding.Equal(r.of.Finding) {
			s.places = append(s.places, r.of.Subject.ItemWords())
			return
		}
	}
	s := &sharedRow{*r, []say.Text{r.of.Subject.ItemWords()}}
	rows.all = append(rows.all, s)
	rows.known[key] = append(rows.known[key], s)
}

// outcomesOf counts outcomes, worst first, and says those that do not hold in bold.
func (b *viewer) outcomesOf(results []ResultView) Words {
	count := map[checks.Outcome]int{}
	for _, r := range results {
		count[r.of.Outcome]++
	}
	var all []string
	for _, o := range checks.Outcomes() {
		if count[o] == 0 {
			continue
		}
		words := b.text(say.That("%[1]s %[2]s", count[o], o.Words())).String()
		if !o.Holds() {
			words = "**" + words + "**"
		}
		all = append(all, words)
	}
	return Words(strings.Join(all, ", "))
}
