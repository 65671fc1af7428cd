//go:build !linux && !darwin

package main

import "errors"

// swapNames says that this system cannot swap the names of two files.
func swapNames(string, string) error { return errors.ErrUnsupported }
