package main

import (
	"fmt"
	"runtime/debug"

	"github.com/spf13/cobra"
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

// noArgs refuses arguments in the program's own voice.
func noArgs(c *cobra.Command, args []string) error {
	if len(args) > 0 {
		return usage(c, fmt.Errorf("found the argument %q, expected none", args[0]))
	}
	return nil
}
