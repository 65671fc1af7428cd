package sign

import (
	"bytes"
	"testing"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
)

// pdfcpu holds the file to ISO 32000.
func TestPdfcpuValidates(t *testing.T) {
	b, _ := signed(t, 3)
	model.ConfigPath = "disable"
	if err := api.Validate(bytes.NewReader(b), model.NewDefaultConfiguration()); err != nil {
		t.Error(err)
	}
}
