package main

import (
	"fmt"
	"runtime"
	"runtime/debug"
	"strings"

	"github.com/spf13/cobra"
	"setline.example/report"
	"setline.example/report/findings"
	"setline.example/report/trust"
	"setline.example/report/verify"
	"setline.example/schema"
)

// version is the module's version as the Go toolchain recorded it, "devel"
// for a build from a working tree.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok || info.Main.Version == "" || info.Main.Version == "(devel)" {
		return "devel"
	}
	return info.Main.Version
}

func newVersion() *cobra.Command {
	var licences bool
	c := &cobra.Command{
		Use:   "version",
		Short: "Say which build this is, and which formats it knows",
		Long: `Version says the version of the program, the revision of its source, the Go
version and the system it was built for, and the versions of the formats it
reads and writes. With --notices it prints the licence of the program and those
of all that is inside it, fonts too.

Exit codes: 0 it is said, 2 the call is wrong.`,
		Example: `  setline version
  setline version --notices`,
		Args: noArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			said := notices
			if !licences {
				info, _ := debug.ReadBuildInfo()
				said = about(info)
			}
			_, err := fmt.Fprint(c.OutOrStdout(), said)
			return err
		},
	}
	c.Flags().BoolVar(&licences, "notices", false, "print the licences of the program and of all that is inside it")
	return c
}

// about says what a build is, a line each.
func about(info *debug.BuildInfo) string {
	settings := map[string]string{"GOOS": runtime.GOOS, "GOARCH": runtime.GOARCH}
	goVersion := runtime.Version()
	if info != nil {
		goVersion = info.GoVersion
		for _, s := range info.Settings {
			settings[s.Key] = s.Value
		}
	}
	revision := settings["vcs.revision"]
	switch {
	case revision == "":
		revision = "not recorded in this build"
	case settings["vcs.modified"] == "true":
		revision += ", with changes that are not committed"
	}
	if t := settings["vcs.time"]; t != "" {
		revision += " (" + t + ")"
	}
	var b strings.Builder
	for _, line := range []struct{ name, text string }{
		{"setline", version()},
		{"revision", revision},
		{"go", strings.TrimPrefix(goVersion, "go")},
		{"system", settings["GOOS"] + "/" + settings["GOARCH"]},
		{"job record", fmt.Sprintf("format %d", schema.Version)},
		{"findings", fmt.Sprintf("format %d", findings.Form)},
		{"pages", fmt.Sprintf("format %d", report.PageFormat())},
		{"trust list", fmt.Sprintf("format %d", trust.Form)},
		{"verify", fmt.Sprintf("format %d", verify.Form)},
	} {
		fmt.Fprintf(&b, "%-11s %s\n", line.name, line.text)
	}
	return b.String()
}

// noArgs refuses arguments in the program's own voice.
func noArgs(c *cobra.Command, args []string) error {
	if len(args) > 0 {
		return usage(c, fmt.Errorf("found the argument %q, expected none", args[0]))
	}
	return nil
}
