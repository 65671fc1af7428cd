package markup

import (
	_ "embed"

	"setline.example/checks/say"
)

// codes are the cautions and the note on local codes, which no template can replace.
//
//go:embed codes.md
var codes string

// Cautions returns the cautions and the note on local codes, in Markdown. They
// are part of every document that the crew works from.
func Cautions(w say.Writer) []byte { return []byte(w.Page(codes)) }
