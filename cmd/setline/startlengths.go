package main

import (
	"encoding/json"
	"strings"

	"setline.example/schema/amend"
	"setline.example/schema/length"
)

// A record says in what lengths its sheets and reports are written. Where nobody
// said it, and every length of the tables is metric, it is that.

// lengthsAsWritten adds to a new record that its lengths are metric where all that
// stand in it are.
func lengthsAsWritten(text []byte) ([]byte, bool, error) {
	var record any
	if err := json.Unmarshal(text, &record); err != nil {
		return nil, false, err
	}
	metric, other := countLengths(record)
	if metric == 0 || other > 0 {
		return text, false, nil
	}
	text, err := amend.Add(text, "/planned/lengths_in", []byte(`"`+string(length.Metric)+`"`))
	return text, err == nil, err
}

func countLengths(value any) (metric, other int) {
	count := func(inner any) {
		m, o := countLengths(inner)
		metric, other = metric+m, other+o
	}
	switch v := value.(type) {
	case map[string]any:
		for _, inner := range v {
			count(inner)
		}
	case []any:
		for _, inner := range v {
			count(inner)
		}
	case string:
		if _, err := length.Parse(v); err == nil && strings.HasSuffix(strings.TrimSpace(v), "m") {
			return 1, 0
		} else if err == nil {
			return 0, 1
		}
	}
	return metric, other
}
