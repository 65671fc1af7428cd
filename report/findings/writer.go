package findings

import (
	"io"
	"slices"
)

// Writer writes what was found in one format, as a stream.
type Writer interface {
	// Begin comes once, before everything else.
	Begin(Run) error
	// File comes for each record, in order.
	File(*File) error
	// End comes once, after everything else, with the exit code to come.
	End(sum Summary, exit int) error
}

// Warner is a [Writer] that may have to say something to whoever called, once it
// has ended; "" where it has not.
type Warner interface{ Warning() string }

// Run is what a writer is told before the first record.
type Run struct {
	Program string // version of the program
	Shown   Shown
	Folder  string // of the call, with slashes; "" where nothing is relative to it
	Many    bool   // more than one record was asked for, or a folder
	Width   int    // columns of the reader's terminal; 0 where there is none
	Colour  bool   // the reader wants colour beside the words
}

// Needs is what a format asks of the model.
type Needs struct {
	Places bool // lines and columns of results
	Passes bool // results that pass or do not apply, in any case
	Waits  bool // what nobody observed, where several results wait for it
}

// Format is one way to write findings.
type Format struct {
	Name  string
	About string // for whom it is, in a few words
	Needs Needs
	// TellsProblems says that lines for people and editors already say why a
	// record cannot be used, so that nobody else need say it.
	TellsProblems bool
	New           func(io.Writer) Writer
}

// Formats returns all formats, the default first.
func Formats() []Format {
	return []Format{
		{Name: "text", About: "for people", Needs: Needs{Waits: true}, New: newText},
		{Name: "lines", About: "FILE:LINE:COLUMN: OUTCOME: RULE: SUBJECT: FINDING [ID], for editors", Needs: Needs{Places: true}, TellsProblems: true, New: newLines},
		JSON(),
		{Name: "sarif", About: "SARIF 2.1.0, for code review", Needs: Needs{Places: true}, New: newSARIF},
		{Name: "junit", About: "JUnit XML, for test reports", Needs: Needs{Passes: true}, New: newJUnit},
	}
}

// JSON is the format for programs. Named apart from the others, it links nothing
// of what they need.
func JSON() Format {
	return Format{Name: "json", About: `for programs, see "setline schema --of findings"`, Needs: Needs{Places: true}, New: newJSON}
}

// FormatNames returns the names of all formats, the default first.
func FormatNames() []string {
	var names []string
	for _, f := range Formats() {
		names = append(names, f.Name)
	}
	return names
}

// FindFormat returns the format called name.
func FindFormat(name string) (Format, bool) {
	all := Formats()
	i := slices.IndexFunc(all, func(f Format) bool { return f.Name == name })
	if i < 0 {
		return Format{}, false
	}
	return all[i], true
}
