package fieldsheet

import (
	"strings"

	"setline.example/schema"
	"setline.example/schema/plaintext"
)

// MaxFilled is the size of one filled sheet, in bytes. It is far above what a
// sheet needs.
const MaxFilled = 64 << 20

// Filled is what stands in the boxes of one sheet.
type Filled struct {
	File string
	Plan string // as the sheet carries it; "" where it carries none
	// Entries by the name of the box. A box that is not there was left out of
	// the sheet, or taken away.
	Entries map[string]Entry
	// AsRead names boxes of which the one who filled them in was asked whether they
	// are right, and said that they stand as read.
	AsRead []string
	// Photos are the photographs in it, in the order in which they were taken.
	Photos []Photo
	// Missing says which pages and boxes did not come back; "" where all did.
	Missing string
}

// Photo is a photograph that came in a sheet.
type Photo struct {
	Room string
	Of   string // a unit or a joint; "" for the room
	// File is how it is called beside the record: by what it shows and its SHA-256.
	File        string
	SHA256      string // of Data, in hexadecimal
	Caption, By string
	Data        []byte // JPEG
}

// Entry is one box as it was found.
type Entry struct {
	Text string // of a text box
	On   bool   // of a tick box
	Page int    // of a PDF, from 1
	Line int    // of Markdown, from 1
	// Unsure says that the box of a tick shows another thing than its value says.
	Unsure bool
}

// IsDelivery reports whether a sheet is one to count a delivery on.
func (f *Filled) IsDelivery() bool {
	for name := range f.Entries {
		if strings.HasPrefix(name, DeliveryMark) {
			return true
		}
	}
	return false
}

// NameShown is the name of a box as a problem shows it, cut where it is long.
func NameShown(name string) string {
	const most = 200
	return plaintext.Cut(name, most)
}

// NotSheet is the problem of a file that cannot be read as a filled sheet.
func NotSheet(kind schema.ProblemKind, name, found, expected string) schema.Problem {
	return schema.Problem{Kind: kind, File: name, Found: found, Expected: expected, Mend: `name a sheet that "setline sheet" wrote and that was filled in and saved`}
}
