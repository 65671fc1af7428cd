// Package pdf makes a quiet, printable PDF out of Markdown.
//
// # In short
//
// Fill a [Document] and give it to [Write]. The Markdown of each part is
// CommonMark with tables (as GitHub writes them) and nothing else: bare
// addresses do not become links, and HTML is printed as the text it is. The
// parts are parsed one by one and laid out one after another, so that an open
// code fence or an unclosed comment in one part cannot swallow the next.
//
// The same Document always gives the same bytes; the only time in the file is
// Document.Date. All fonts are embedded, cut down to the characters used.
//
// # What the Markdown becomes
//
// Headings 1 to 4 enter the outline that a reader shows beside the pages, and
// never stand alone at the foot of a page. A block quote becomes a tinted box
// with a strong bar at its left, for a verdict or a caution. A table gets the
// width its text needs, wraps what does not fit, breaks between rows and
// repeats its header row on every page; a row that has but its first cell spans all
// columns and stays with the row below it. A link to http, https or mailto can be
// clicked, so can a link to a heading of the document ([x](#slug), the slug
// being the heading in lower case with hyphens); any other link is printed
// with its target beside it. An image is printed as its alternative text in
// brackets: nothing is ever fetched. One that the document brings along as a
// [Picture] is shown; a paragraph that begins with such an image and goes on with
// words is a figure with its caption, and figures stand two abreast.
//
// # Characters
//
// Text is brought into Unicode normal form C. A character that no embedded
// font can show, that cannot be seen, or that changes how others are read
// (controls, zero-width and bidirectional characters, variation selectors) is
// printed as its code point, ‹U+202E›. So are letters of right-to-left
// scripts, because their words would come out backwards: there is no
// right-to-left layout. No character of the text is dropped.
//
// # For who cannot see the pages
//
// Every document is a tagged PDF (ISO 32000-1, 14.7 and 14.8): what is read stands
// in a structure tree in the order of the Markdown, with headings that skip no
// level, paragraphs, lists, tables whose head cells say what they are the head of,
// links, form fields that say what belongs into them, and figures told by their
// alternative text. What repeats on pages, and what only decorates them, is marked as
// an artifact. Blanks at the ends of lines are written, so that no words run into one.
//
// # For archives
//
// The information dictionary is said again as XMP; colours are those of sRGB, by
// a profile that travels along; attachments say what kind of file they are, from
// when, and what they are to the document; every font is embedded.
//
// # More kinds of node
//
// The writer is a table from the kind of a node to the function that renders
// it. An [Extension] adds kinds (a drawing, for one) with their own parser
// and renderer; a renderer puts its boxes into the page flow through
// [Layout].
//
// What is where: pieces.go cuts long Markdown where it means the same in parts, goldmark
// renderers lay a piece out, figure.go sets pictures with
// captions, paginate.go cuts the flow into pages, paint.go draws each as
// soon as it is known by its own operators.go, file.go and finish.go gather the objects,
// cut.go cuts fonts down, typed.go is the font of what is typed into forms. readback.go reads back what was written.
package pdf

import (
	"errors"
	"fmt"
	"io"
	"regexp"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"setline.example/schema/plaintext"
)

// Paper is a size of paper.
type Paper string

// The sizes of paper that [Write] knows. The zero value stands for Letter.
const (
	Letter Paper = "letter" // 8.5 in x 11 in
	A4     Paper = "a4"     // 210 mm x 297 mm (ISO 216)
)

// ErrDocument is wrapped by every error of [Write] that the caller can mend by
// changing the Document.
var ErrDocument = errors.New("cannot write this PDF")

// Document is what [Write] writes. The zero value is one blank page.
type Document struct {
	// Parts are Markdown sources in UTF-8, laid out one after another.
	Parts [][]byte

	// NewPages are the parts, counted from 0, that begin on a new page, but for one
	// that is begun by a few last lines of the part before.
	NewPages []int

	// Whole are the parts, counted from 0, that begin on a new page where the one
	// that is begun has no room for all of them.
	Whole []int

	// SmallParts are the parts that are set in small type, closely: what is
	// looked up and not read.
	SmallParts []int

	// Title, Author, Subject and Creator are the metadata of the file. Readers
	// show the title in place of the file's name.
	Title, Author, Subject, Creator string

	// Lang is the language tag (BCP 47) of the text, "en" for example. It may be empty.
	Lang string

	// HeaderLeft and HeaderRight stand at the head of every page but the first.
	// Where both do not fit, HeaderLeft is cut short with an ellipsis.
	HeaderLeft, HeaderRight string

	// HeaderSection adds to HeaderLeft the heading of level 2 or 3 under which
	// the page begins.
	HeaderSection bool

	// FooterLeft stands at the foot of every page. PageOf says at its right which
	// page of how many it is; "page n of m" where it is nil.
	FooterLeft string
	PageOf     func(page, of int) string

	// Paper is Letter or A4; empty is Letter.
	Paper Paper

	// Date is written as the time of creation and of modification, in UTC and
	// whole seconds. A zero Date leaves both out.
	Date time.Time

	// Compact packs all objects of the file, and not those of its structure alone,
	// which makes a form with many fields a tenth as large. No report is written so: see [object.WriteCompact].
	Compact bool

	// Attachments are files that travel inside the PDF, byte for byte, dated as it is.
	Attachments []Attachment

	// Pictures are shown in place of the images of the Markdown that name them
	// as their destination. An image without one is printed as its alternative text.
	Pictures map[string]Picture

	// Extensions add kinds of node; see [Extension].
	Extensions []Extension
}

// Attachment is a file inside the PDF.
type Attachment struct {
	Name        string // plain file name, unique in the document, without folders
	Description string // shown beside the name
	Relation    Relation
	Content     []byte
}

// Write lays d out and writes the PDF to w. The document is complete in memory
// before the first byte goes to w, so an error of the document writes nothing.
//
// Errors about the document wrap [ErrDocument]; an error of w is passed on.
func Write(w io.Writer, d Document) error {
	if err := check(d); err != nil {
		return err
	}
	var p *painter
	err := layOut(d, leastPiece, func(l *Layout) func(page) {
		p = newPainter(l, d)
		return p.page
	})
	if err != nil {
		return err
	}
	return p.finish(w)
}

var langTag = regexp.MustCompile(`^[A-Za-z0-9]{1,8}(-[A-Za-z0-9]{1,8})*$`)

func check(d Document) error {
	switch d.Paper {
	case "", Letter, A4:
	default:
		return fmt.Errorf("%w: paper is %q; use %q or %q", ErrDocument, d.Paper, Letter, A4)
	}
	if d.Lang != "" && !langTag.MatchString(d.Lang) {
		return fmt.Errorf("%w: language is %q; use a language tag such as \"en\"", ErrDocument, d.Lang)
	}
	if !d.Date.IsZero() {
		if y := d.Date.UTC().Year(); y < 1 || y > 9999 {
			return fmt.Errorf("%w: the year of the date is %d; use 1 to 9999", ErrDocument, y)
		}
	}
	seen := make(map[string]bool)
	for i, a := range d.Attachments {
		if err := checkName(a.Name); err != nil {
			return fmt.Errorf("%w: attachment %d: name %q %w", ErrDocument, i+1, a.Name, err)
		}
		if seen[a.Name] {
			return fmt.Errorf("%w: attachment %d: name %q is used twice; give each file its own", ErrDocument, i+1, a.Name)
		}
		seen[a.Name] = true
	}
	return nil
}

// checkName refuses names that a tool which saves attachments could write
// outside the folder it was told to use, or could not write at all.
func checkName(name string) error {
	switch {
	case name == "" || name == "." || name == "..":
		return errors.New("is no file name; give one")
	case !utf8.ValidString(name):
		return errors.New("is not valid UTF-8; spell it in UTF-8")
	case strings.ContainsAny(name, `/\:`):
		return errors.New("names a folder; use the plain file name")
	case strings.ContainsFunc(name, func(r rune) bool { return unicode.IsControl(r) || plaintext.Invisible(r) || r > 0xFFFF }):
		return errors.New("holds a character that cannot be seen or written; leave it out")
	}
	return nil
}
