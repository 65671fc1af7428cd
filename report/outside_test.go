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
		if err := api.Validate(bytes.NewReader(out.Bytes()), conf); err != nil {
			t.Errorf("%s: %v", path, err)
		}
	}
}
