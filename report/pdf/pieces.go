package pdf

import (
	"bytes"
	"regexp"
)

// leastPiece is how long a piece of Markdown is that is parsed by itself, in bytes.
const leastPiece = 32 << 10

var (
	// What may reach over a blank line and a heading behind it: fenced code, blocks
	// of HTML (CommonMark 0.31.2, 4.5 and 4.6), and definitions of links (4.7), which
	// hold for what stands before them too. What is escaped is neither.
	reachesFar = regexp.MustCompile("(?m)^[ \t>*+0-9.)-]*(?:```|~~~|<)|(?:^|[^\\\\])\\]:")
	// A link that may lead to a heading, which may come later.
	leadsWithin = regexp.MustCompile(`\]\(\s*[^\s)]*[#&\\]|\]:`)
	// A heading that ends whatever block stands before it: it is not indented, and
	// begins a line behind a blank one.
	piecesBegin = regexp.MustCompile(`\n\n#{1,3} `)
)

// pieces cuts Markdown in front of headings into pieces that mean by themselves
// what they mean together, so that no more than one need be parsed at a time.
// Their identifiers alone have to be made in one context.
func pieces(src []byte, least int) [][]byte {
	if len(src) < 2*least || reachesFar.Match(src) {
		return [][]byte{src}
	}
	var all [][]byte
	for {
		if len(src) <= least {
			return append(all, src)
		}
		at := piecesBegin.FindIndex(src[least:])
		if at == nil {
			return append(all, src)
		}
		end := least + at[0] + len("\n\n")
		all = append(all, src[:end])
		src = src[end:]
	}
}

// linksWithin reports whether a link of the parts may lead to a heading.
func linksWithin(parts [][]byte) bool {
	for _, p := range parts {
		if bytes.Contains(p, []byte("](")) && leadsWithin.Match(p) || bytes.Contains(p, []byte("]:")) {
			return true
		}
	}
	return false
}
