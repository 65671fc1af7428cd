package schema

import (
	"strconv"
	"strings"
)

// Pointer joins a JSON Pointer (RFC 6901) and further steps: names of members
// (string) and positions in lists (int).
func Pointer(base string, steps ...any) string {
	var room [128]byte // as most have no more
	b := append(room[:0], base...)
	for _, step := range steps {
		b = append(b, '/')
		switch s := step.(type) {
		case string:
			b = appendStep(b, s)
		case int:
			b = strconv.AppendInt(b, int64(s), 10)
		default:
			panic("a step of a pointer is a string or an int")
		}
	}
	return string(b)
}

func appendStep(b []byte, s string) []byte {
	for i := range len(s) {
		switch s[i] {
		case '~':
			b = append(b, "~0"...)
		case '/':
			b = append(b, "~1"...)
		default:
			b = append(b, s[i])
		}
	}
	return b
}

var pointerUnescapes = strings.NewReplacer("~1", "/", "~0", "~")

// Steps splits a pointer into its unescaped steps.
func Steps(pointer string) []string {
	if pointer == "" {
		return nil
	}
	parts := strings.Split(pointer[1:], "/")
	if strings.IndexByte(pointer, '~') >= 0 {
		for i, p := range parts {
			parts[i] = pointerUnescapes.Replace(p)
		}
	}
	return parts
}

// Lookup finds the value that steps, unescaped as in [Pointer], lead to in
// plain JSON values (map[string]any, []any and what they hold). ok is false
// where they lead nowhere.
func Lookup(value any, steps []string) (found any, ok bool) {
	for _, step := range steps {
		switch v := value.(type) {
		case map[string]any:
			next, ok := v[step]
			if !ok {
				return nil, false
			}
			value = next
		case []any:
			i, err := strconv.Atoi(step)
			if err != nil || i < 0 || i >= len(v) {
				return nil, false
			}
			value = v[i]
		default:
			return nil, false
		}
	}
	return value, true
}
