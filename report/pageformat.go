package report

import (
	_ "embed"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"sync"
)

// pageFormats holds the number of the page format in its first line, and then
// what some fixed reports come to in it, which a test compares.
//
//go:embed pageformat.txt
var pageFormats string

// PageFormat is the number of the form of pages that this program draws. Where
// two reports of one record, date, paper and version have one number, they are
// the same byte for byte; whatever changes a byte of a page raises it. A report
// of another number cannot be made again here, and its pages are not compared.
func PageFormat() int { return pageFormat() }

var pageFormat = sync.OnceValue(func() int {
	first, _, _ := strings.Cut(pageFormats, "\n")
	n, err := strconv.Atoi(first)
	if err != nil || n < 1 {
		panic("report/pageformat.txt does not begin with a number")
	}
	return n
})

// maker says which version made a file, and in which format its pages are.
func maker(version string, format int) string {
	return fmt.Sprintf("%s%s, page format %d", creator, version, format)
}

// versionForm is that of a version as the Go toolchain gives it to a build: a
// release, one before a release, or a commit, with a mark where files were
// changed. It stands on every page and is not computed from the record, so that
// it may not say anything else.
const versionForm = `devel|v\d{1,4}\.\d{1,4}\.\d{1,4}` +
	`(?:-(?:(?:alpha|beta|rc)\.?\d{1,3}(?:\.0\.\d{14}-[0-9a-f]{12})?|(?:0\.)?\d{14}-[0-9a-f]{12}))?(?:\+dirty)?`

var madeBy = regexp.MustCompile(`^` + creator + `(` + versionForm + `), page format ([1-9][0-9]{0,5})$`)

// readMaker reads what [maker] wrote.
func readMaker(s string) (version string, format int, ok bool) {
	m := madeBy.FindStringSubmatch(s)
	if m == nil {
		return "", 0, false
	}
	format, _ = strconv.Atoi(m[2]) // six digits at most
	return m[1], format, true
}
