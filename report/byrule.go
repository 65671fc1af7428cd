package report

import (
	"slices"
	"strings"

	"setline.example/checks"
	"setline.example/checks/say"
)

// byRule gathers the results of a room rule by rule, in the order of the work, so
// that what is held against one limit stands together. What has no number is said
// once for all places where the same is so, and the same numbers once for all
// places that have them; what is wrong always has a row.
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
		for _, row := range rows.all {
			if hasRow(&row.ResultView) {
				one.Rows = append(one.Rows, RowView{row.ResultView, b.said(row.alike)})
				continue
			}
			for _, s := range b.said(row.alike) {
				one.Alike = append(one.Alike, AlikeView{s})
			}
		}
		all = append(all, one)
	}
	return all
}

// said writes what is so at several places, with all of them.
func (b *viewer) said(all []*alikeAt) []ResultView {
	views := make([]ResultView, len(all))
	for i, a := range all {
		views[i] = a.ResultView
		views[i].Where = b.text(say.Commas(a.places...))
	}
	return views
}

// hasRow reports whether a result has a row of the table: what is wrong or permitted,
// and every measured length. How many days old a check is needs no row.
func hasRow(r *ResultView) bool {
	return r.measured && r.of.Limit.Unit == checks.Length || slices.Contains([]checks.Outcome{checks.Fail, checks.Undecided, checks.Conceded}, r.of.Outcome)
}

// ruleRows are the results of one rule; those with the same numbers share a row.
type ruleRows struct {
	title Text
	all   []*sharedRow
	known map[rowNumbers]*sharedRow
}

// sharedRow are results with the same numbers, and what was found of each.
type sharedRow struct {
	ResultView
	alike []*alikeAt
}

// alikeAt is what was found, and where.
type alikeAt struct {
	ResultView
	places []say.Text
}

// rowNumbers are what has to be equal where results share a row. Uncertainty and
// probability are as they are printed: nothing that a reader sees is left out.
type rowNumbers struct {
	outcome                   checks.Outcome
	value, limit              checks.Quantity
	uncertainty, within       Text
	visit, concession, number int
}

func (rows *ruleRows) add(r *ResultView) {
	if rows.known == nil {
		rows.title, rows.known = r.Rule, map[rowNumbers]*sharedRow{}
	}
	key := rowNumbers{r.of.Outcome, r.of.Value, r.of.Limit, r.Uncertainty, r.Within, r.of.Visit, r.of.Concession, r.number}
	row := rows.known[key]
	if row == nil {
		row = &sharedRow{ResultView: *r}
		rows.all = append(rows.all, row)
		rows.known[key] = row
	}
	row.add(r)
}

func (row *sharedRow) add(r *ResultView) {
	for _, a := range row.alike {
		if a.of.Finding.Equal(r.of.Finding) {
			a.places = append(a.places, r.of.Subject.ItemWords())
			return
		}
	}
	row.alike = append(row.alike, &alikeAt{*r, []say.Text{r.of.Subject.ItemWords()}})
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
