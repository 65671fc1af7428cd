package collect

import (
	"fmt"
	"strconv"
	"unicode/utf8"

	"setline.example/schema/plaintext"
)

// mostOfName is how many characters of a box's name a problem shows.
const mostOfName = 200

// shown writes what was typed into a box, cut where it is long.
func shown(text string) string {
	const most = 60
	quoted := strconv.Quote(plaintext.Cut(text, most))
	if n := utf8.RuneCountInString(text); n > most {
		return fmt.Sprintf("%s (%d characters)", quoted, n)
	}
	return quoted
}
