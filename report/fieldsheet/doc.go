// Package fieldsheet settles what a field sheet of a job record asks: what the
// rules need and nobody has observed yet, as boxes to fill in with gloves on.
//
// [New] makes a [Sheet], the model: which boxes, in which order, in which words,
// and what stands in them before anybody fills them in ([Sheet.Fields]). Whatever
// writes it writes this: [Sheet.Markdown] here, package
// [setline.example/report/fieldsheet/paper] as PDF. Every box has the name of the
// place in a visit where its value belongs ([checks.Ask.Name]), so that a filled
// sheet can be read back: into a [Filled], by package
// [setline.example/report/fieldsheet/filledpdf] from a PDF, and from there into the
// record by [setline.example/report/fieldsheet/collect]. A sheet carries the plan
// it was made from ([Sheet.Plan]), so that one of another job, or of a plan that
// has changed since, is told from one that fits.
//
// Nothing here knows pages, fonts or PDFs, so that a page in a browser can be made
// of the same boxes.
//
// What is where: sheet.go is what is asked, field.go its boxes, markdown.go that in
// Markdown, boxes.go what a sheet in Markdown says of its own lines, split.go large
// sheets, plan.go the plan that travels along, filled.go what comes back; delivery.go
// and countsheet.go are the sheet to count a delivery on.
package fieldsheet
