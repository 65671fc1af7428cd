// Package report makes the turnover report of a job record.
//
// [New] takes what the rules found and computes everything the report says;
// [Report.Markdown] writes it as Markdown and [Report.PDF] as PDF from the
// same Markdown. The parts that no template may lose, the answer at the front
// and the cautions, signatures and checking page at the back, are made here;
// the body comes from a template that a firm may replace.
//
// Text that people typed into the record can never act as markup: every
// string of the views that templates see is a [Text], which writes itself
// escaped.
//
// What is where: view.go is all that templates see and viewer.go fills it, fixed/ holds the parts no template can lose, bounded.go executes a
// firm's template so that it ends.
package report
