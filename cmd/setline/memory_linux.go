package main

import (
	"bytes"
	"os"
	"runtime/debug"
	"strconv"
	"syscall"
)

// leastHeap is what the program is given of memory in any case, in bytes.
const leastHeap = 64 << 20

// spareMemory has garbage collected in time where the address space of the
// process is limited (ulimit -v). Go reserves more than a gigabyte of it at the
// start, counts none of that against its own limit, and cannot go on where the
// system gives no more; half of what is left is for what is being allocated,
// and for the stacks of threads.
func spareMemory() {
	var limit syscall.Rlimit
	if err := syscall.Getrlimit(syscall.RLIMIT_AS, &limit); err != nil || limit.Cur > 1<<40 {
		return
	}
	text, err := os.ReadFile("/proc/self/statm")
	if err != nil {
		return
	}
	size, _, _ := bytes.Cut(text, []byte(" "))
	pages, err := strconv.ParseInt(string(size), 10, 64)
	if err != nil {
		return
	}
	debug.SetMemoryLimit(max(leastHeap, (int64(limit.Cur)-pages*int64(os.Getpagesize()))/2))
}
