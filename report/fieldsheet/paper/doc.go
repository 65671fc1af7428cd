// Package paper writes field sheets as PDF: to be printed, or filled in as a form.
//
// [Write] lays out what a [fieldsheet.Sheet] asks, [WriteDelivery] a
// [fieldsheet.Delivery]. What is asked, in which words and boxes, is the model's;
// where it stands on a page is settled here and nowhere else. Package
// [setline.example/report/fieldsheet/filledpdf] reads the boxes back.
//
// What is where: sheet.go has the pages, blocks.go what stands together, unit.go a
// cabinet in plan and its fronts, cell.go boxes in rows, pen.go the drawing of each;
// delivery.go the sheet to count a delivery on.
package paper
