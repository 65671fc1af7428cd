package schema

import (
	"strconv"
	"strings"
)

var pointerEscapes = strings.NewReplacer("~", "~0", "/", "~1")

// Pointer joins a JSON Pointer (RFC 6901) and further steps: names of members
// (string) and positions in lists (int).
func Pointer(base string, steps ...any) string {
	var b strings.Builder
	b.Grow(len(base) + 12*len(steps))
	b.WriteString(base)
	for _, step := range steps {
		b.WriteByte('/')
		switch s := step.(type) {
		case string:
			if strings.ContainsAny(s, "~/") {
				s = pointerEscapes.Replace(s)
			}
			b.WriteString(s)
		case int:
			b.WriteString(strconv.Itoa(s))
		default:
			panic("a step of a pointer is a string or an int")
		}
	}
	return b.String()
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
