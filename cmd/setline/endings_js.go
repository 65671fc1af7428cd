package main

import "os"

// endings are none here: the host of a program for JavaScript sends no signals, and
// asking whether one is ignored panics there.
var endings []os.Signal
