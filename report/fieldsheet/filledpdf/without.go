package filledpdf

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/types"
	"setline.example/report/fieldsheet"
	"setline.example/schema"
)

// What came back without its form, or not whole, is told as what became of it: who
// filled it in wants to know what to send instead.

// errNoForm is the error of a file that has no boxes; those that wrap it say why.
var (
	errNoForm    = errors.New("it has no form")
	errFlattened = fmt.Errorf("%w: it was flattened", errNoForm)
	errScanned   = fmt.Errorf("%w: its pages are pictures", errNoForm)
)

// creator begins the name of what made a sheet, in its information dictionary.
const creator = "Setline"

// look notes what a page shows: text, pictures.
func (f *form) look(page types.Dict) {
	resources := f.dict(page["Resources"])
	f.text = f.text || len(f.dict(resources["Font"])) > 0
	f.image = f.image || len(f.dict(resources["XObject"])) > 0
}

// without says what became of a sheet that has no boxes.
func (f *form) without(read *model.Context) error {
	if !f.text && f.image {
		return errScanned
	}
	if read.Info != nil {
		if made, ok := f.textOf(f.dict(*read.Info)["Creator"]); ok && strings.HasPrefix(made, creator) {
			return errFlattened
		}
	}
	return errNoForm
}

// noForm is the problem of such a file.
func noForm(name string, err error) schema.Problem {
	switch {
	case errors.Is(err, errFlattened):
		return typedInstead(name, "a sheet whose form was flattened, so that no box is left", "the form with its boxes", "send the file as it was saved")
	case errors.Is(err, errScanned):
		return typedInstead(name, "pages that are pictures, as a scanner or a camera makes them, which are not read", "the form with its boxes", "send the file as it was saved")
	}
	return typedInstead(name, "a PDF without a form, as printing a sheet to a file leaves it", "the form with its boxes", "send the file as it was saved and not as it was printed")
}

// typedInstead is the problem of a sheet that cannot be read as it is, though
// somebody filled it in.
func typedInstead(name, found, expected, mend string) schema.Problem {
	return schema.Problem{Kind: schema.Malformed, File: name, Found: found, Expected: expected,
		Mend: mend + `, or type it into sheet.md ("setline sheet RECORD -o sheet.md")`}
}

// missing says which pages of a sheet did not come back, by the boxes that were on
// each, and how many boxes are not there.
func missing(f *fieldsheet.Filled) string {
	var gone []int // pages
	boxes, others := 0, 0
	for i, names := range fieldsheet.PagesOf(f.Plan) {
		lost := len(slices.DeleteFunc(slices.Clone(names), func(name string) bool { _, there := f.Entries[name]; return there }))
		if lost > 0 && lost == len(names) {
			gone = append(gone, i+1)
			boxes += lost
		} else {
			others += lost
		}
	}
	var said []string
	if len(gone) > 0 {
		said = append(said, pagesMissing(gone)+": "+notReturned(boxes))
	}
	if others > 0 {
		said = append(said, "on pages that are there: "+notReturned(others))
	}
	return strings.Join(said, "; ")
}

func notReturned(boxes int) string {
	if boxes == 1 {
		return "1 box not returned"
	}
	return fmt.Sprintf("%d boxes not returned", boxes)
}

// pagesMissing names pages: "pages 3 and 10 to 16 are missing".
func pagesMissing(pages []int) string {
	if len(pages) == 1 {
		return fmt.Sprintf("page %d is missing", pages[0])
	}
	var runs []string
	for i := 0; i < len(pages); {
		j := i
		for j+1 < len(pages) && pages[j+1] == pages[j]+1 {
			j++
		}
		run := fmt.Sprint(pages[i])
		if j > i {
			run = fmt.Sprintf("%d to %d", pages[i], pages[j])
		}
		runs = append(runs, run)
		i = j + 1
	}
	last := len(runs) - 1
	if last == 0 {
		return "pages " + runs[0] + " are missing"
	}
	return "pages " + strings.Join(runs[:last], ", ") + " and " + runs[last] + " are missing"
}
