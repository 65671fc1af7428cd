package report

import "setline.example/checks"

// View is everything a template can show. Numbers are written out already,
// in the units of the record.
type View struct {
	Project, Number Text
	Answer          Text // "READY" or "NOT READY", behind how many rooms it is of where these are not all
	Covers          Text // which rooms are handed over and which are not; "" for all of the job
	Ready           bool
	Summary         Text
	Loosened        []LoosenedView // limits that the contract set looser than ours
	Facts           []NamedText    // the job, its firms, dates and rules of judging
	Rooms           []RoomView
	Open            []OpenRoom  // the first reasons of each room that is not ready
	Punch           []PunchRoom // all that is left to put right
	OpenItems       []OpenItemView
	ClosedItems     []ClosedItemView
	Concessions     []ConcessionView
	PlanChanges     []PlanChangeView
	Notices         []NoticeView   // what the general contractor has to know, though it is nobody's failure
	PhotoProblems   int            // photographs that are not as recorded
	PutRight        []PutRightView // faults found and put right
	Empty           Text           // numbers of faults that never were, in a row; "" where there are none
	Replanned       Text           // numbers of faults of what is planned no more, or otherwise; "" where there are none
	AssumedPlans    Text           // days of changes of the plan before which nobody knows it; "" where there are none
	Trail           []TrailView    // what was withdrawn or corrected
	Visits          []VisitView
	Instruments     []InstrumentView // that visits used
	Rules           []RuleView       // that judged something here
	IdleRules       Text             // names of the others; "" where there are none
	DecisionRule    Words
	Signers         []SignerView
	TemplateBy      Text // whose template the body is of; "" where it is Setline's own
}

// Words are our own, with markup and blanks as they are written.
type Words string

// NamedText is a line of a table of facts.
type NamedText struct{ Name, Value Text }

// LoosenedView is a limit that the contract set looser than ours.
type LoosenedView struct {
	Rule, Limit, Ours, Source Text
	Excessive                 Text // how far beyond ours; "" where it is not many times that
}

// RoomView is one room: its answer, its counts, and all its results.
type RoomView struct {
	Name, Use, Answer                                Text
	Ready                                            bool
	Pass, Fail, NotObserved, Undecided, Conceded, NA int
	LastVisit                                        Text
	OneHeight                                        *OneHeightView // where no one height serves the room; else nil
	Visited                                          bool           // somebody was there, and looked
	Page                                             RoomPage
	ByRule                                           []RuleResults // all results
	Groups                                           []GroupView   // all results, by where they are
	Remarks                                          []RemarkView
}

// RoomPage is what the page of a room shows beside its answer.
type RoomPage struct {
	Counts      Text          // outcomes in a sentence
	Places      []DrawingView // the elevations, with the numbers of the punch list at their places
	Beside      []PhotoView   // the first photograph, where there is room for it beside the last of them
	Unplaced    []ResultView  // numbered, and at no place of a drawing
	Worst       []WorstView
	Plain       []PlainView
	Concessions []ConcededView
	OpenItems   []OpenItemView
	Photos      []PhotoView // the others
}

// WorstView is the worst measured value of a rule in a room: of the worst outcome
// that any has, the one with the least margin to its limit, of several the
// greatest, of several the first in walking order.
type WorstView struct {
	ResultView
	Outcomes Words // of all results of the rule, with how many: "9 pass, **1 fail**"
}

// PlainView is a rule that asks for no number, or of which nothing was measured.
type PlainView struct {
	Rule     Text
	Outcomes Words // as of a WorstView
}

// ConcededView is a result that does not conform and is permitted.
type ConcededView struct {
	ResultView
	Reason, By, Date Text
}

// RuleResults are all results of one rule in a room.
type RuleResults struct {
	Rule  Text
	Alike []AlikeView // what has no number, said once for all places where it is so
	Rows  []RowView   // what has one, and what is wrong; places with the same share a row
}

// RowView are the places with the same numbers.
type RowView struct {
	ResultView
	Places []ResultView // what was found where; of one, the places where it is so
}

// AlikeView is what is so at several places.
type AlikeView struct{ ResultView }

// GroupView is the results of a room as a whole, or of one elevation.
type GroupView struct {
	Title    Text
	Drawings []DrawingView // of an elevation
	Still    Text          // says that nothing moved, where tops were read again; "" where one is drawn that did
	Tops     []Text        // who released it for its tops, how they rest and the shims, where it was released
	Results  []ResultView
	Photos   []PhotoView // none where the room has a page, which shows them; templates of a firm may still name them
}

// PhotoView is a photograph, by the name under which Markdown shows it.
type PhotoView struct {
	Name           string // "" where there is none to show
	Alt            Text
	Where, Caption Text
	By, Seen       Text
	Problem        Text // why it is not shown, "" where it is
}

// ResultView is one result.
type ResultView struct {
	of       *checks.Result
	number   int  // of the fault on the punch list, 0 where it is none
	measured bool // there is a value
	no       Text // "No. 3, "

	Where, Rule          Text
	Outcome              Text
	Holds                bool
	Value, Limit, Margin Text // the value with its expanded uncertainty, where that is known
	Uncertainty          Text // expanded, as it stands behind the value; "" where it is not known
	Within               Text // the probability that the true value is within the limit
	Finding, Remedy      Text
	Visit                Text // number of the visit, "–" where there is none
	Seen                 Text // the visit in words: "visit 2, 2026-09-21"
	Source               Text // number of the rule among View.Rules, or numbers
	Number               Text // of a fault on the punch list; "–" for what is not a fault
}

// Result is the outcome, in bold where it keeps the room from being ready.
func (r ResultView) Result() string {
	if r.Holds {
		return r.Outcome.String()
	}
	return "**" + r.Outcome.String() + "**"
}

// No is "No. 3, " for a fault, and nothing for what is not one.
func (r ResultView) No() string {
	if r.no == "" {
		return ""
	}
	return r.no.String() + " "
}

// RemarkView is a remark somebody wrote on a visit.
type RemarkView struct {
	Where, Text Text
	Visit       int
}

// PunchRoom is the punch list of one room.
type PunchRoom struct {
	Room  Text
	Items []ResultView
	// Unseen is how many results of a room that nobody visited are not observed;
	// they are not among the items.
	Unseen int
}

// NoticeView is something worth knowing that keeps no room from being ready.
type NoticeView struct {
	Room Text
	ResultView
}

// OpenRoom is the first few reasons why a room is not ready.
type OpenRoom struct {
	Room  Text
	Items []ResultView
	More  int
	// Unseen is as in a PunchRoom.
	Unseen int
}

// OpenItemView is something agreed to be left to do.
type OpenItemView struct{ Room, What, Owner, Due Text }

// ClosedItemView is something that was left to do and is done.
type ClosedItemView struct{ Room, What, By, Date, Remark Text }

// PlanChangeView is one thing that is planned otherwise than it was.
type PlanChangeView struct{ Date, By, Reason, Of, What Text }

// ConcessionView is written permission, with the number of the fault that it is
// for, and whether it is still needed.
type ConcessionView struct{ Number, Where, Rule, Reason, By, Date, State Text }

// PutRightView is a fault that was found and put right.
type PutRightView struct{ Number, Where, Rule, Finding, Found, PutRight, By Text }

// VisitView is one visit.
type VisitView struct {
	Number                                   int
	Date, Purpose, People, Instruments, Site Text // instruments by their names, each with the date of its check
}

// TrailView is something that was written down and taken back, or corrected.
type TrailView struct{ Visit, What, Was, Is, By, Date, Reason Text }

// InstrumentView is what is known of an instrument, whichever visit used it.
type InstrumentView struct{ Name, Kind, Resolution, Accuracy, Serial Text }

// RuleView is one rule with the limit that applied.
type RuleView struct {
	Number                    int
	Name, Asks, Limit, Source Text
	Sourced                   bool // its source is more than common practice
}

// SignerView is one who signs.
type SignerView struct {
	Role, Meaning, Name Text
	Place               string // the picture of the place to sign in
}
