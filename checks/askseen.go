package checks

import (
	"encoding/json"
	"fmt"
	"strconv"
	"strings"

	"setline.example/checks/say"
	"setline.example/schema"
	"setline.example/schema/length"
	"setline.example/schema/plaintext"
)

// visitTree gives a visit as plain JSON values.
func visitTree(v *schema.Visit) any {
	data, err := json.Marshal(v)
	if err != nil {
		return nil // the types of a record all can be written
	}
	var tree any
	if json.Unmarshal(data, &tree) != nil {
		return nil
	}
	return tree
}

// words writes an observed value for people.
func (x *ask) words(value any, sys length.System) string {
	if list, ok := value.([]any); ok && len(x.Blanks) > 1 {
		return plaintext.Counted(len(list), "reading", "readings")
	}
	var parts []string
	for _, b := range x.Blanks {
		v, ok := schema.Lookup(value, b.Steps)
		if !ok {
			continue
		}
		text := plainWords(v, b.Kind, sys)
		if b.Words != "" {
			text = b.Words + " " + text
		}
		parts = append(parts, text)
	}
	return strings.Join(parts, ", ")
}

func plainWords(v any, kind Kind, sys length.System) string {
	switch v := v.(type) {
	case bool:
		if v {
			return "yes"
		}
		return "no"
	case string:
		if kind == LengthKind {
			if l, err := length.Parse(v); err == nil {
				return l.In(sys)
			}
		}
		return v
	case float64:
		return strconv.FormatFloat(v, 'f', -1, 64)
	case []any:
		if len(v) == 0 {
			return "nothing"
		}
		words := make([]string, len(v))
		for i := range v {
			words[i] = fmt.Sprint(v[i])
		}
		return say.And(names(words)...).String()
	}
	return fmt.Sprint(v)
}
