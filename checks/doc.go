// Package checks holds a job record against the rules of the trade.
//
// [Run] computes the facts of a record once (which units stand where, which
// joints they make, what was last observed of each), lets every [Rule] judge
// them, applies concessions, and draws a [Verdict] for each room. Every rule
// yields a [Result] for every subject it applies to, also where nobody looked:
// a thing nobody observed is [NotObserved] and never counts as good.
//
// [Asks] turns the rules round: it gives, in walking order, what they need that
// nobody has observed yet, for a field sheet.
//
// A rule is one declaration: its name, what it asks and why, its limit and
// where that comes from, the remedy, and the function that judges. The rules
// command, the report and every machine format read that one declaration.
// [All] lists them. Rules know nothing of output; output knows nothing of how
// a rule judges.
package checks
