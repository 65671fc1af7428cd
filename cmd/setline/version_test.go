package main

import (
	"runtime/debug"
	"strings"
	"testing"
)

func TestAbout(t *testing.T) {
	text := about(&debug.BuildInfo{GoVersion: "go1.26.1", Settings: []debug.BuildSetting{
		{Key: "GOOS", Value: "plan9"}, {Key: "GOARCH", Value: "arm"},
		{Key: "vcs.revision", Value: "abc"}, {Key: "vcs.time", Value: "2026-01-02T03:04:05Z"}, {Key: "vcs.modified", Value: "true"},
	}})
	for _, want := range []string{
		"go          1.26.1\n", "system      plan9/arm\n", "job record  format 1\n", "findings    format 1\n",
		"revision    abc, with changes that are not committed (2026-01-02T03:04:05Z)\n",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("%s\nwant %q in it", text, want)
		}
	}
	if text := about(nil); !strings.Contains(text, "revision    not recorded in this build\n") {
		t.Errorf("%s", text)
	}
}
