// Package templates holds the Markdown templates that a firm may replace with
// its own. What no template may lose (the answer, the cautions, the code
// note, the signatures and how to check the report) is not here but in
// package report.
package templates

import "embed"

// FS holds the templates by file name.
//
//go:embed *.md
var FS embed.FS

// Names of the templates.
const (
	Turnover = "turnover.md" // the body of the turnover report
	Layout   = "layout.md"   // the body of the layout sheet
)
