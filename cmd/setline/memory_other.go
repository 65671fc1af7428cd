//go:build !linux

package main

func spareMemory() {}
