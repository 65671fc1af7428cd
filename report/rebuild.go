package report

import (
	"bytes"
	"errors"
	"fmt"
	"strings"

	"setline.example/checks"
	"setline.example/report/pdf"
	"setline.example/schema"
)

// Rebuilt is a turnover report made again from the record inside a PDF.
type Rebuilt struct {
	Record  []byte         // as it travels in the PDF
	Version string         // of the Setline that made the PDF
	Ready   bool           // what the rules say of the record now
	SignOff schema.SignOff // who signs, as the record names them
	// Same says how the PDF compares with the report made again.
	Same Sameness
	// Differs says what differs first, where Same is Different.
	Differs string
}

// Sameness is how alike two PDFs are.
type Sameness string

// How alike a report is to the one made again from its record.
const (
	Identical   Sameness = "identical"    // byte for byte
	SameContent Sameness = "same content" // other bytes for the same pages: streams are packed in another way
	Different   Sameness = "different"
)

// ErrRebuild is wrapped by the errors of [Rebuild].
var ErrRebuild = errors.New("the report cannot be made again")

// Rebuild takes the record out of a PDF as Setline wrote it, without any
// signature, runs the rules on it again, and makes the report again to compare
// the two. l is the letterhead that the report was made with, nil for none.
func Rebuild(file []byte, l *Letterhead) (*Rebuilt, error) {
	back, err := pdf.ReadBack(file)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrRebuild, err)
	}
	if !strings.HasPrefix(back.Title, turnoverTitle) {
		return nil, fmt.Errorf("%w: found %q, expected a turnover report", ErrRebuild, Visible(back.Title))
	}
	r := &Rebuilt{Version: strings.TrimPrefix(back.Creator, creator)}
	for _, a := range back.Attachments {
		if a.Name == AttachmentName {
			r.Record = a.Content
		}
	}
	if r.Record == nil {
		return nil, fmt.Errorf("%w: found no attachment %q, expected the job record", ErrRebuild, AttachmentName)
	}
	rec, src, err := schema.Read(AttachmentName, r.Record)
	if err != nil {
		return r, fmt.Errorf("%w: %w", ErrRebuild, err)
	}
	found, err := checks.Run(rec, src)
	if err != nil {
		return r, fmt.Errorf("%w: %w", ErrRebuild, err)
	}
	r.Ready, r.SignOff = found.Ready(), rec.Agreed.SignOff
	faults, err := checks.History(rec, src)
	if err != nil {
		return r, fmt.Errorf("%w: %w", ErrRebuild, err)
	}
	again, err := New(found, faults, r.Record, Options{
		Date: back.Date, Version: r.Version, Paper: back.Paper, Letterhead: l, Photos: photosIn(rec, back.Attachments),
	})
	if err != nil {
		return r, fmt.Errorf("%w: %w", ErrRebuild, err)
	}
	var out bytes.Buffer
	if err := again.PDF(&out); err != nil {
		return r, fmt.Errorf("%w: %w", ErrRebuild, err)
	}
	switch {
	case bytes.Equal(out.Bytes(), file):
		r.Same = Identical
	default:
		r.Same = SameContent
		if r.Differs = pdf.SameContent(file, out.Bytes()); r.Differs != "" {
			r.Same = Different
		}
	}
	return r, nil
}
