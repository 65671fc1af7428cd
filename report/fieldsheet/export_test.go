package fieldsheet

import (
	"testing"
)

// What tests of what is written of a sheet share with those of the sheet itself.
var (
	SheetOf = sheetOf
	Unseen  = unseen
)

// Samples are the sheets that tests look at.
func Samples() []sample { return sheets }

// Name says which it is.
func (c sample) Name() string { return c.name }

// Sheet makes it.
func (c sample) Sheet(t *testing.T) *Sheet { return sheetOf(t, c.example, c.options, c.edit) }

// Long is [long].
func Long(t *testing.T) { t.Helper(); long(t) }
