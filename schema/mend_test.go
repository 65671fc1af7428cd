package schema_test

import (
	"errors"
	"os"
	"slices"
	"strings"
	"testing"

	"setline.example/schema"
)

// problemKinds are all kinds of problems.
var problemKinds = []schema.ProblemKind{schema.Unreadable, schema.TooLarge, schema.Malformed, schema.OtherFile, schema.Missing,
	schema.Unknown, schema.Twice, schema.WrongForm, schema.Impossible, schema.Contradiction, schema.Doubted, schema.NotAllowed,
	schema.Unneeded, schema.OwnFault}

// TestEveryProblemHasAMend: whatever the schema refuses, the message says what
// to do about it.
func TestEveryProblemHasAMend(t *testing.T) {
	good, err := os.ReadFile("../examples/metric/job.json")
	if err != nil {
		t.Fatal(err)
	}
	for _, tc := range []struct{ old, new string }{
		{`"role": "inspector"`, `"role": "שלום"`},
		{`"lengths_in": "mm"`, `"lengths_in": "furlongs and a half"`},
		{`"name": "Kestrel`, `"name": "` + strings.Repeat("W", 500)},
		{`"number": "KP-0262"`, `"number": 7`},
		{`"number": "KP-0262"`, `"number": {}`},
		{`"name": "1.12"`, `"name": "1/12"`},
		{`"quantity": 1`, `"quantity": -1`},
		{`"quantity": 1`, `"quantity": 1.5`},
		{`"date": "2026-09-21"`, `"date": "soon"`},
		{`"people": [{"name": "Žofie Brázdilová"`, `"people": [{"name": ""`},
		{`"width": "600 mm"`, `"width": "wide"`},
		{`"width": "600 mm"`, `"width": true`},
		{`"gauge": 18`, `"gauge": 1000000`},
	} {
		text := strings.Replace(string(good), tc.old, tc.new, 1)
		if text == string(good) {
			t.Fatalf("the example has no %s to change", tc.old)
		}
		_, _, err := schema.Read("job.json", []byte(text))
		var problems schema.Problems
		if !errors.As(err, &problems) {
			t.Errorf("%.60s: %v", tc.new, err)
		}
		for _, p := range problems {
			if !slices.Contains(problemKinds, p.Kind) || p.Mend == "" || p.Found == "" || p.Expected == "" {
				t.Errorf("%.60s: %q: found %q, expected %q, mend %q", tc.new, p.Kind, p.Found, p.Expected, p.Mend)
			}
		}
	}
}
