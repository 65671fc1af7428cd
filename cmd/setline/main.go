// Command setline proves that a room of steel base cabinets is right, and
// hands it over. See README.md, or run "setline help".
package main

import "os"

func main() {
	os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}
