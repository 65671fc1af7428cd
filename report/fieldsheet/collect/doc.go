// Package collect reads filled field sheets back and adds what they say to a
// job record, as new visits.
//
// [ReadMarkdown], and package [setline.example/report/fieldsheet/filledpdf], read what
// stands in the boxes of one sheet;
// [Add] holds it against the record: whether the sheet is of this job and of
// this plan, whether every value is one, whether sheets agree. It gives the
// record's new text, or [schema.Problems], all of them at once. A box left blank is
// not observed and simply is not there.
package collect
