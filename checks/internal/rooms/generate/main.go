// Command generate writes a folder of random, plausible job records to measure
// with: many small ones, or one that is large. The same arguments give the same
// files:
//
//	go run ./checks/internal/rooms/generate -n 10000 -seed 1 -o DIR
//	go run ./checks/internal/rooms/generate -n 1 -rooms 60 -elevations 2 -cabinets 5 -visits 2 -o DIR
//
// The records are DIR/000/room-00000.json and so on, a thousand to a folder.
// Everything in them is right, and every visit sees all of it, but for one
// fault or one thing that nobody looked at in every record whose number -faults
// divides.
package main

import (
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"time"

	"setline.example/checks/internal/rooms"
	"setline.example/schema"
	"setline.example/schema/length"
)

func main() {
	if err := run(os.Args[1:], os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "generate:", err)
		os.Exit(1)
	}
}

func run(args []string, out io.Writer) error {
	f := flag.NewFlagSet("generate", flag.ContinueOnError)
	n := f.Int("n", 100, "number of records")
	seed := f.Uint64("seed", 1, "seed; the same gives the same records")
	dir := f.String("o", "", "folder to write to; made where it is missing")
	faults := f.Int("faults", 20, "one record in so many is not ready; 0 for none")
	var size rooms.Size
	f.IntVar(&size.Rooms, "rooms", 1, "rooms of each record; 0 for 1 to 3")
	f.IntVar(&size.Elevations, "elevations", 0, "elevations of each room; 0 for 1 to 3")
	f.IntVar(&size.Cabinets, "cabinets", 0, "cabinets of each elevation; 0 for 2 to 9")
	visits := f.Int("visits", 1, "visits of each record, a day apart, 1 to 1000")
	if err := f.Parse(args); err != nil {
		return err
	}
	if *dir == "" || *n < 1 || *visits < 1 || *visits > 1000 || f.NArg() > 0 {
		return errors.New("expected -o DIR, -n above zero, -visits from 1 to 1000 and nothing else; see -help")
	}
	sizes := make([]int, *n)
	total := 0
	for i := range *n {
		rng := rand.New(rand.NewPCG(*seed, uint64(i)))
		rec := rooms.New(rng, size)
		if *faults > 0 && (i+1)%*faults == 0 {
			plant(rng, rec)
		}
		again(rec, *visits)
		data, err := json.MarshalIndent(rec, "", "  ")
		if err != nil {
			return err
		}
		// No folder becomes so full that listing it is what takes time.
		path := filepath.Join(*dir, fmt.Sprintf("%03d", i/1000), fmt.Sprintf("room-%05d.json", i))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			return err
		}
		if err := os.WriteFile(path, append(data, '\n'), 0o644); err != nil {
			return err
		}
		sizes[i] = len(data) + 1
		total += sizes[i]
	}
	slices.Sort(sizes)
	_, err := fmt.Fprintf(out, "%d records in %s, %d MB in all, median %d bytes\n", *n, *dir, total/1_000_000, sizes[*n/2])
	return err
}

// again has the one visit of a record made on so many days, one after the
// other, with instruments checked as long before each.
func again(rec *schema.Record, visits int) {
	visit := rec.Measured.Visits[0]
	for range visits - 1 {
		visit.Date = nextDay(visit.Date)
		used := map[string]schema.InstrumentUse{}
		for name, use := range visit.Instruments {
			if use.Checked != "" {
				use.Checked = nextDay(use.Checked)
			}
			used[name] = use
		}
		visit.Instruments = used
		rec.Measured.Visits = append(rec.Measured.Visits, visit)
	}
}

func nextDay(date schema.Date) schema.Date {
	day, err := time.Parse(time.DateOnly, string(date))
	if err != nil {
		panic(err) // of the generator's own making
	}
	return schema.Date(day.AddDate(0, 0, 1).Format(time.DateOnly))
}

// plant makes one joint of a record wrong, or takes away that it was looked at.
func plant(rng *rand.Rand, rec *schema.Record) {
	for _, room := range slices.Sorted(maps.Keys(rec.Measured.Visits[0].Rooms)) {
		joints := rec.Measured.Visits[0].Rooms[room].Joints
		for _, name := range slices.Sorted(maps.Keys(joints)) {
			joint := joints[name]
			joint.FrontOffset = nil
			if rng.IntN(2) == 0 {
				proud := length.Inch / 4
				joint.FrontOffset = &proud
			}
			joints[name] = joint
			return
		}
	}
}
