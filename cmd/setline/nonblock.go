//go:build !js

package main

import "syscall"

// nonBlocking opens a file without waiting for anybody at its other end.
const nonBlocking = syscall.O_NONBLOCK
