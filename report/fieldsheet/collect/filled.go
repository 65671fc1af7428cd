package collect

// Filled is what stands in the boxes of one sheet.
type Filled struct {
	File string
	Plan string // as the sheet carries it; "" where it carries none
	// Entries by the name of the box. A box that is not there was left out of
	// the sheet, or taken away.
	Entries map[string]Entry
}

// Entry is one box as it was found.
type Entry struct {
	Text string // of a text box
	On   bool   // of a tick box
	Page int    // of a PDF, from 1
	Line int    // of Markdown, from 1
}
