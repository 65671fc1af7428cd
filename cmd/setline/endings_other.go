//go:build !unix && !js

package main

import (
	"os"
	"syscall"
)

var endings = []os.Signal{os.Interrupt, syscall.SIGTERM}
