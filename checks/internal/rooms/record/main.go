// Record writes the job record of random rooms, for benchmarks of the whole
// program:
//
//	go run ./checks/internal/rooms/record -rooms 60 > rooms.json
//
// The same numbers give the same record. Every visit sees everything.
package main

import (
	"encoding/json"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"time"

	"setline.example/checks/internal/rooms"
	"setline.example/schema"
)

func main() {
	seed := flag.Uint64("seed", 1, "of the random numbers")
	size := rooms.Size{}
	flag.IntVar(&size.Rooms, "rooms", 1, "number of rooms")
	flag.IntVar(&size.Elevations, "elevations", 2, "of each room")
	flag.IntVar(&size.Cabinets, "cabinets", 5, "of each elevation")
	visits := flag.Int("visits", 2, "number of visits, a day apart")
	flag.Parse()
	if flag.NArg() > 0 || size.Rooms < 1 || size.Elevations < 1 || size.Cabinets < 1 || *visits < 1 || *visits > 14 {
		fmt.Fprintln(os.Stderr, "record: found a number out of range or an argument, expected at least 1 of each, and at most 14 visits")
		os.Exit(2)
	}
	rec := rooms.New(rand.New(rand.NewPCG(*seed, 0)), size)
	last := rec.Measured.Visits[0]
	for range *visits - 1 {
		day, err := time.Parse(time.DateOnly, string(last.Date))
		if err != nil {
			panic(err) // of the generator's own making
		}
		last.Date = schema.Date(day.AddDate(0, 0, 1).Format(time.DateOnly))
		rec.Measured.Visits = append(rec.Measured.Visits, last)
	}
	out := json.NewEncoder(os.Stdout)
	out.SetIndent("", " ")
	if err := out.Encode(rec); err != nil {
		fmt.Fprintf(os.Stderr, "record: %v\n", err)
		os.Exit(2)
	}
}
