// Package verify says whether a signed turnover report can be believed,
// without trusting whoever sent it.
//
// [Report] brings together what package sign finds in the file (whose
// signatures, whether they are intact, what else was changed), what the reader
// trusts, what the times can and cannot be, and what the record inside gives
// when the rules are run on it again and the pages are made of it again.
//
// There are three verdicts, as ETSI EN 319 102-1 (5.1.3) has them. The report
// holds; it does not; or it is indeterminate: nothing found speaks against it,
// and something that only another program can tell is not proven. Of a report
// that is indeterminate or does not hold no answer is told, since anybody may
// have written it.
//
// The machine form, a [Verification], has a JSON Schema, [Schema], generated
// from the types here. Decisions are made on values and codes, never on words.
//
// What is where: verify.go draws the verdict from checks, each with a lasting code
// (code.go); who.go asks whose signatures they are, times.go what the times can be,
// others.go looks at what other software added, text.go writes it for people, model.go for
// machines.
package verify
