package checks

import "testing"

// TestRulesThatAskOfTheVisit: only those rules that are listed as such ask for
// something of the visit itself; what another asked of it would be lost.
func TestRulesThatAskOfTheVisit(t *testing.T) {
	rec := fixture()
	w := NewWalk(rec, nil, &Findings{})
	asks := map[*Rule]bool{}
	for _, rule := range rules() {
		a := w.asker(newFacts(rec, nil).rooms...)
		w.observe(a, []*Rule{rule})
		for _, x := range a.asks {
			asks[rule] = asks[rule] || x.Subject.room < 0
		}
	}
	for _, rule := range visitRules {
		if !asks[rule] {
			t.Errorf("%s asks for nothing of the visit", rule.Name)
		}
		delete(asks, rule)
	}
	for rule, of := range asks {
		if of {
			t.Errorf("%s asks for something of the visit, and is not listed", rule.Name)
		}
	}
}
