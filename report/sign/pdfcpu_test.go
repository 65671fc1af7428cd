package sign

import (
	"bytes"
	"testing"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
)

// pdfcpu holds the file to ISO 32000. Its strict mode refuses any report with
// links, signed or not, because they stand in the page's /Annots directly; so
// that mode is for a page without.
func TestPdfcpuValidates(t *testing.T) {
	withLinks, _ := signed(t, 3)
	plain := tiny(trailer, "TABLE", catalog, pages, page)
	for _, r := range people(t) {
		plain = sign(t, plain, r)
	}
	for _, c := range []struct {
		name string
		pdf  []byte
		mode int
	}{{"report", withLinks, model.ValidationRelaxed}, {"plain page", plain, model.ValidationStrict}} {
		conf := model.NewDefaultConfiguration()
		conf.ValidationMode = c.mode
		if err := api.Validate(bytes.NewReader(c.pdf), conf); err != nil {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}
