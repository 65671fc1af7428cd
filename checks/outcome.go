package checks

import "setline.example/checks/say"

// Outcome is what a rule says of one subject.
type Outcome string

// The outcomes, as the record, the report and every output format write them.
const (
	Pass          Outcome = "pass"
	Fail          Outcome = "fail"
	Undecided     Outcome = "undecided"      // too near the limit for the measurement to tell; only under the guarded decision rule
	NotObserved   Outcome = "not observed"   // nobody looked, or not at all of it
	NotApplicable Outcome = "not applicable" // the subject has nothing for the rule to judge
	Conceded      Outcome = "conceded"       // does not conform, and is handed over by written permission
	Notice        Outcome = "notice"         // worth knowing, and nobody's failure
)

// Words say the outcome to people.
func (o Outcome) Words() say.Words {
	switch o {
	case Pass:
		return "pass"
	case Fail:
		return "fail"
	case Undecided:
		return "undecided"
	case NotObserved:
		return "not observed"
	case NotApplicable:
		return "not applicable"
	case Conceded:
		return "conceded"
	}
	return "notice"
}

// outcomes lists all outcomes, worst first.
var outcomes = [...]Outcome{Fail, NotObserved, Undecided, Conceded, Notice, Pass, NotApplicable}

// Outcomes returns all outcomes, worst first.
func Outcomes() []Outcome { return append([]Outcome(nil), outcomes[:]...) }

// Holds reports whether a room can be ready with this outcome in it.
func (o Outcome) Holds() bool { return o == Pass || o == Conceded || o == Notice || o == NotApplicable }
