package compare

import (
	"setline.example/checks"
)

// Judged is a result whose outcome changed.
type Judged struct {
	Room      string    `json:"room"`
	Elevation string    `json:"elevation,omitempty"`
	Item      string    `json:"item"`
	Rule      string    `json:"rule"`
	RuleID    string    `json:"rule_id"`
	Then      Judgement `json:"then"`
	Now       Judgement `json:"now"`
	// Same says that the two say the same of what is so.
	Same bool `json:"-"`
}

// Judgement is what a rule said. The zero Judgement is that of a rule that did
// not judge this subject.
type Judgement struct {
	Outcome checks.Outcome `json:"outcome,omitempty"`
	Finding string         `json:"finding,omitempty"`
	Value   string         `json:"value,omitempty"`
	Limit   string         `json:"limit,omitempty"`
}

// judgedKey is what makes two results the same one: rule and subject.
type judgedKey struct {
	rule       *checks.Rule
	room, item string
}

func keyOf(r checks.Result) judgedKey { return judgedKey{r.Rule, r.Subject.Room, r.Subject.Item} }

// judged lists the results whose outcome changed, and those of subjects that
// only one side has where they keep a room from being ready.
func (p pair) judged() []Judged {
	a, b := byName(p.then.Results, keyOf), byName(p.now.Results, keyOf)
	all := []Judged{}
	for _, k := range merged(p.then.Results, p.now.Results, keyOf) {
		was, had := a[k]
		is, has := b[k]
		switch {
		case had && has && was.Outcome == is.Outcome, !had && is.Outcome.Holds(), !has && was.Outcome.Holds():
			continue
		}
		named := is
		if !has {
			named = was
		}
		all = append(all, Judged{
			Room: named.Subject.Room, Elevation: named.Subject.Elevation, Item: named.Subject.Item,
			Rule: named.Rule.Name, RuleID: named.Rule.ID,
			Then: p.judgement(was, had), Now: p.judgement(is, has), Same: was.Finding.Equal(is.Finding),
		})
	}
	return all
}

func (p pair) judgement(r checks.Result, ok bool) Judgement {
	if !ok {
		return Judgement{}
	}
	return Judgement{r.Outcome, p.write(r.Finding), r.Value.In(p.sys), r.Limit.In(p.sys)}
}
