// Package filledpdf reads the boxes of filled sheets in PDF, as any program may
// have written them, within bounds.
//
// It is apart from package [setline.example/report/fieldsheet/collect], which
// takes what stands in boxes into the record, so that a program can do that
// without a reader of PDFs.
package filledpdf
