package main

import (
	"path/filepath"
	"testing"
)

// TestReportInABrowser: a report as a page is no wider than a telephone or a desk's
// screen, and axe-core finds nothing in it.
func TestReportInABrowser(t *testing.T) {
	program := browserNamed(t, "chrome")
	j := &pageJob{t: t, page: filepath.Join(t.TempDir(), "report.html")}
	if code := run([]string{"report", "../../examples/soil/job.json", "-o", j.page}, nil, t.Output(), t.Output()); code != 0 {
		t.Fatalf("exit code %d, want 0", code)
	}
	var found []string
	j.ask(program, pageQuestion{"does": "report"}, &found)
	for _, one := range found {
		t.Error(one)
	}
}
