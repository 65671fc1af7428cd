package main

// nonBlocking is nothing here: the host of a program for JavaScript opens files
// its own way, and has no such flag.
const nonBlocking = 0
