package report

import (
	"regexp"
	"strings"
	"testing"

	"setline.example/checks"
)

var (
	// One way of writing an uncertainty: a value with its unit, ±, and a decimal with
	// its unit. In a legend no value stands before it.
	uncertain = regexp.MustCompile(`^(?:.*\d (in|mm) |.*, |.* to |)± \d+(?:\.\d+)? (in|mm)(?:\W|$)`)
	// What is no uncertainty: what an instrument can do, as it was given, and how far
	// widths can add up.
	otherwise = regexp.MustCompile(`± [\d/ .]+ (?:in|mm) at (?:\d|worst)|± [\d/ .≈]+ (?:in|mm) as root sum of squares`)
	// Other ways of writing one.
	refused = regexp.MustCompile(`± ?≈|±\S|\+/-|\(U |\bU \d|uncertainty (?:of )?[\d≈]`)
)

// allWords are the words of a document, with those of its drawings.
func allWords(t *testing.T, r *Report) string {
	text := strings.ReplaceAll(markdown(t, r), `\`, "")
	for _, p := range r.pictures {
		switch p.(type) {
		case whole, redrawn, picture:
			d := wholeDrawing(t, p)
			text += "\n" + d.Alt
			for _, s := range d.Shapes {
				text += "\n" + s.Text
			}
		}
	}
	return text
}

// TestOneWayOfWritingUncertainty: "1/64 in ± 0.013 in", in every document.
func TestOneWayOfWritingUncertainty(t *testing.T) {
	long(t)
	seen := map[string]int{}
	madeOf(t, 8, func(t *testing.T, found *checks.Findings, _ []checks.Fault, r *Report) {
		layout, err1 := NewLayout(found, r.record, options(nil), LayoutOptions{})
		cuts, err2 := NewCuts(found, r.record, options(nil), nil)
		release, err3 := NewRelease(found, r.record, options(nil), nil)
		if err1 != nil || err2 != nil || err3 != nil {
			t.Fatal(err1, err2, err3)
		}
		for name, r := range map[string]*Report{"report": r, "layout": layout, "cuts": cuts, "release": release} {
			for line := range strings.Lines(allWords(t, r)) {
				line = strings.TrimSpace(line)
				if bad := refused.FindString(line); bad != "" {
					t.Errorf("%s: %q in %q", name, bad, line)
				}
				line = otherwise.ReplaceAllString(line, "")
				for at := strings.Index(line, "±"); at >= 0; at = strings.Index(line, "±") {
					one, _, _ := strings.Cut(line[at+len("±"):], "±")
					one = line[:at] + "±" + one
					m := uncertain.FindStringSubmatch(one)
					if m == nil || m[1] != "" && m[1] != m[2] {
						t.Errorf("%s: %q", name, one)
					}
					seen[name]++
					line = line[at+len("±"):]
				}
			}
		}
	})
	if seen["report"] < 300 || seen["layout"] < 20 || seen["cuts"] < 10 {
		t.Errorf("uncertainties seen: %v", seen)
	}
}
