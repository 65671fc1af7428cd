package checks

import "setline.example/checks/say"

// Result is what one rule says of one subject.
type Result struct {
	Rule    *Rule
	Subject Subject
	Outcome Outcome

	Value  Quantity // what was measured or counted
	Limit  Quantity // what it is held against, which may depend on the subject
	Margin Quantity // Limit - Value; negative where it fails
	Source say.Text // where the limit comes from

	// Uncertainty is the expanded uncertainty (k = 2) of a measured value in
	// nanometres, and Conformity the probability that the true value is within
	// the limit. Known says whether there are such; a count has none.
	Uncertainty float64
	Conformity  float64
	Known       bool

	// Finding says in one sentence what is so, and Remedy what to do about it.
	// Both may hold words that people typed into the record.
	Finding say.Text
	Remedy  say.Text

	// Visit is the position in the record of the visit whose observation
	// decided, -1 where there is none.
	Visit int
	// Pointer (RFC 6901) leads to that observation in the record, or to the
	// plan of the subject where nothing was observed.
	Pointer string
	// Concession is the position in the record of the concession that applies, -1 where there is none.
	Concession int

	// Forecast is when it leaves level if it goes on moving; nil for what does not move.
	Forecast *Forecast

	// toldAt is the subject at which it is told what keeps this one from being
	// right, "" where it is told here.
	toldAt string

	// faults are what does not conform, one by one; none where all does.
	faults []fault
	// unseen says that nobody looked at all of the subject, though what was seen
	// decides already.
	unseen bool
}
