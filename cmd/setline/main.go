// Command setline proves that a room of steel base cabinets is right, and
// hands it over. See README.md, or run "setline help".
//
// What is where: all messages go through message.go; files are read in input.go, each kind
// with its limit, and written through output.go, writewhole.go and replace.go, under a
// lock where they are changed in place (lock.go), and what is unfinished goes on an
// interrupt (interrupt.go); tables come in through intake.go. Commands that change a
// record in place go through edit.go, which holds what comes of it against schema and
// rules before it is written; place.go and person.go read how a call names a visit, a
// place, somebody. check on many records: walk.go finds them, pool.go keeps their order,
// gate.go draws the exit code.
package main

import "os"

func main() {
	os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}
