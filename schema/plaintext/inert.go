package plaintext

import (
	"regexp"
	"strings"
	"sync"
	"unicode/utf8"
)

// Inert keeps a spreadsheet from taking typed text for a formula, as OWASP's
// page "CSV Injection" advises, which counts full-width signs among those that
// begin one. A spreadsheet that parts cells at semicolons begins one behind
// each of them. A number stays a number, whatever its sign.
func Inert(cell string) string {
	parts := strings.Split(cell, ";")
	for i, part := range parts {
		if begins, _ := utf8.DecodeRuneInString(part); strings.ContainsRune("=+-@＝＋－＠", begins) && !signedNumber().MatchString(part) {
			parts[i] = "'" + part
		}
	}
	return strings.Join(parts, ";")
}

// Typed is the text that [Inert] made a cell of, as it comes back in a table. An
// apostrophe before anything else stays what it is.
func Typed(cell string) string {
	if !strings.Contains(cell, "'") {
		return cell
	}
	parts := strings.Split(cell, ";")
	for i, part := range parts {
		if text, marked := strings.CutPrefix(part, "'"); marked && Inert(text) == part {
			parts[i] = text
		}
	}
	return strings.Join(parts, ";")
}

// signedNumber is a number with its sign, alone or as a length with its unit
// and uncertainty. None of its characters can call a function or name a cell.
func signedNumber() *regexp.Regexp {
	signed.once.Do(func() {
		signed.number = regexp.MustCompile(`^[-+]\d+([.,]\d+)?( \d+)?(/\d+)?( ?(mm|in|m|"))?( ± [\d.]+( (mm|in))?)?$`)
	})
	return signed.number
}

// signed is made by nobody who writes no cells, so that a program that writes none
// links no regular expressions, as it would with sync.OnceValue in a variable.
var signed struct {
	once   sync.Once
	number *regexp.Regexp
}
