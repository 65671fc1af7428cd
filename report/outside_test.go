package report

import (
	"bytes"
	"testing"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
)

// TestValidPDF has another library judge the PDF by ISO 32000, strictly.
func TestValidPDF(t *testing.T) {
	long(t)
	api.DisableConfigDir()
	for _, path := range []string{annex, "../examples/metric/job.json"} {
		found, faults, data := findings(t, path)
		r, err := New(found, faults, data, options(nil))
		if err != nil {
			t.Fatal(err)
		}
		var out bytes.Buffer
		if err := r.PDF(&out); err != nil {
			t.Fatal(err)
		}
		conf := model.NewDefaultConfiguration()
		conf.ValidationMode = model.ValidationStrict
		// PDF/A-3 (ISO 19005-3, annex E) has the relation of a file in PDF 1.7; the
		// library knows it of PDF 2.0 alone, so it is shown another name as long.
		shown := bytes.ReplaceAll(out.Bytes(), []byte("/AFRelationship"), []byte("/XFRelationship"))
		if err := api.Validate(bytes.NewReader(shown), conf); err != nil {
			t.Errorf("%s: %v", path, err)
		}
	}
}
