package schema

import "strings"

// patterns say of a text whether it matches a regular expression of the tags, by
// that. They are few and plain, while what compiles expressions is a fifth of what
// a page in a browser starts before it judges; a test holds each against it.
var patterns = map[string]func(string) bool{
	`^/`: func(s string) bool { return strings.HasPrefix(s, "/") },
	`^[0-9a-fA-F]{64}$`: func(s string) bool {
		return len(s) == 64 && allOf(s, func(r rune) bool { return digit(r) || 'a' <= r && r <= 'f' || 'A' <= r && r <= 'F' })
	},
	`^/(planned|measured/visits/[0-9]+)/`: func(s string) bool {
		rest, ok := strings.CutPrefix(s, "/measured/visits/")
		number, _, slash := strings.Cut(rest, "/")
		return strings.HasPrefix(s, "/planned/") || ok && slash && number != "" && allOf(number, digit)
	},
	`^[^/\x00-\x1f\x7f-\x9f]+$`: func(s string) bool {
		return s != "" && allOf(s, func(r rune) bool { return r != '/' && r > 0x1f && (r < 0x7f || r > 0x9f) })
	},
	`^[^\x00-/:-@\x5b-\x60{-\x9f][^\x00-\x2c/:-@\x5b-\x5e\x60{-\x9f]*$`: func(s string) bool {
		for i, r := range s {
			if !(letter(r) || digit(r) || i > 0 && strings.ContainsRune("-._", r)) {
				return false
			}
		}
		return s != ""
	},
}

// letter reports whether a character is a letter of ASCII, or of none of it.
func letter(r rune) bool { return 'a' <= r && r <= 'z' || 'A' <= r && r <= 'Z' || r > 0x9f }

func digit(r rune) bool { return '0' <= r && r <= '9' }

// allOf reports whether all characters of a text are of a kind.
func allOf(s string, is func(rune) bool) bool {
	return strings.IndexFunc(s, func(r rune) bool { return !is(r) }) < 0
}
