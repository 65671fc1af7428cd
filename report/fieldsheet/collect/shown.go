package collect

import (
	"fmt"
	"strconv"
	"unicode/utf8"

	"setline.example/schema/plaintext"
)

// shown writes what was typed into a box, cut where it is long.
func shown(text string) string {
	const most = 60
	quoted := strconv.Quote(plaintext.Cut(text, most))
	if n := utf8.RuneCountInString(text); n > most {
		return fmt.Sprintf("%s (%d characters)", quoted, n)
	}
	return quoted
}
