// Package fieldsheet makes the field sheet of a job record: what the rules need
// and nobody has observed yet, as boxes to fill in with gloves on, on paper, in
// a PDF form or in Markdown.
//
// [New] settles what is asked; [Sheet.PDF] and [Sheet.Markdown] write it. Every
// box has the name of the place in a visit where its value belongs
// ([checks.Ask.Name]), so that a filled sheet can be read back; package
// [setline.example/report/fieldsheet/collect] does. A sheet carries the plan it
// was made from ([Plan]), so that one of another job, or of a plan that has
// changed since, is told from one that fits.
//
// What is where: what is asked, its boxes in PDF and Markdown, and the plan that travels
// with it; delivery.go is the sheet to count a delivery on. collect/ reads filled sheets
// back into the record.
package fieldsheet
