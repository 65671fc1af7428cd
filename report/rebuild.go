package report

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"time"

	"setline.example/checks"
	"setline.example/report/pdf"
	"setline.example/schema"
)

// Rebuilt is a turnover report made again from the record inside a PDF.
type Rebuilt struct {
	Record  []byte         // as it travels in the PDF
	Judged  *schema.Record // the same, read
	Version string         // of the Setline that made the PDF
	Date    time.Time      // of the report, as the PDF says; zero for none
	Ready   bool           // what the rules say of the record now
	// Differs says where the PDF differs first from the report made again, which
	// is the same only byte for byte; it is "" where nothing differs.
	Differs string
}

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
	r := &Rebuilt{Version: strings.TrimPrefix(back.Creator, creator), Date: back.Date}
	if r.Record, err = back.Attachment(AttachmentName, schema.MaxBytes); err != nil {
		return nil, fmt.Errorf("%w: %w, expected the job record", ErrRebuild, err)
	}
	rec, src, err := schema.Read(AttachmentName, r.Record)
	if err != nil {
		return r, fmt.Errorf("%w: %w", ErrRebuild, err)
	}
	found, err := checks.Run(rec, src)
	if err != nil {
		return r, fmt.Errorf("%w: %w", ErrRebuild, err)
	}
	r.Ready, r.Judged = found.Ready(), rec
	faults, err := checks.History(rec, src)
	if err != nil {
		return r, fmt.Errorf("%w: %w", ErrRebuild, err)
	}
	photos, err := photosIn(rec, back)
	if err != nil {
		return r, fmt.Errorf("%w: %w", ErrRebuild, err)
	}
	again, err := New(found, faults, r.Record, Options{
		Date: back.Date, Version: r.Version, Paper: back.Paper, Letterhead: l, Photos: photos,
	})
	if err != nil {
		return r, fmt.Errorf("%w: %w", ErrRebuild, err)
	}
	var out bytes.Buffer
	if err := again.PDF(&out); err != nil {
		return r, fmt.Errorf("%w: %w", ErrRebuild, err)
	}
	r.Differs = pdf.Difference(file, out.Bytes())
	return r, nil
}
