// Package checks holds a job record against the rules of the trade.
//
// [Run] computes the facts of a record once (which units stand where, which
// joints they make, what was last observed of each), lets every [Rule] judge
// them, applies concessions, and draws a [Verdict] for each room. Every rule
// yields a [Result] for every subject it applies to, also where nobody looked:
// a thing nobody observed is [NotObserved] and never counts as good.
//
// [AsksOf] turns the rules round: it gives, in walking order, what they need that
// nobody has observed yet, for a field sheet.
//
// A rule is one declaration: its name, what it asks and why, its limit and
// where that comes from, the remedy, and the function that judges. The rules
// command, the report and every machine format read that one declaration.
// [All] lists them. Rules know nothing of output; output knows nothing of how
// a rule judges.
//
// What is where: facts.go, heights.go and survey.go compute once what several rules need,
// sightings.go keeps what visits saw of one thing and where it was last observed, rule.go
// lists the rules, a file holds each or a few that belong together, decide.go holds the
// decision rules and weigh.go lets the worst of several readings answer, together in
// heights.go is the one formula for the uncertainty of heights, levellimit.go has the
// limit that is a rate, runlevel.go goes through the pairs of corners of a run, run.go
// runs all, concede.go applies concessions, loosened.go which limits the contract made
// looser, verdict.go says ready or not, history.go what was found and put right and under
// which number (entries.go puts in order what was entered, chronicle.go adds entry after
// entry to the facts), said.go makes what is said of all into what was seen of each,
// plausible.go which readings are likely slips (plausiblereads.go walks them,
// plausiblenear.go says what each should be near, slip.go names the slip), known.go what
// was known at some time, moves.go how far corners moved between two such states,
// layout.go what is needed before setting, turning.go looks for what to turn in a run
// (turnlist.go is what comes of it, turnwords.go its words, turnremedies.go puts it into
// remedies, turnstiff.go finds what moved less than it was turned), oneheight.go which
// heights serve a whole room (oneheightwords.go says it), takeoff.go the screws and drill
// bits of the job, tops.go what is under planned tops, things.go is the table of what can
// be observed, through which rules read and by which they ask; ask.go and asker.go say
// what of it is open, askagain.go as little of what did not hold as decides anew, so that
// the field sheet cannot drift from the rules.
package checks
