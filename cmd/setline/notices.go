package main

import _ "embed"

// notices holds the licence of the program and those of everything inside it, on
// any system. It is made anew by
// go test ./cmd/setline -run TestNotices -update-notices
//
//go:embed notices.txt
var notices string
