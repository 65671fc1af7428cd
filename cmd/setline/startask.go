package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"strings"

	"setline.example/schema/length"
)

// ask asks on w for what start was not told, and reads the answers from r, a
// line each. An empty answer leaves out what a record can do without.
func (f *startFlags) ask(r *bufio.Reader, w io.Writer) error {
	for _, q := range []question{
		{"name of the job", &f.project.Name, true, nil},
		{"job number", &f.project.Number, false, nil},
		{"address of the building", &f.project.Address, false, nil},
		{"firm that installs", &f.project.Installer, false, nil},
		{"general contractor", &f.project.Contractor, false, nil},
		{"lengths in reports, in or mm", &f.lengths, false, oneOfWords("in", "mm")},
	} {
		if err := q.ask(r, w); err != nil {
			return err
		}
	}
	if f.units != "" {
		return nil
	}
	fmt.Fprintln(w, "The first unit, at the left end of an elevation; more come with setline add.")
	unit := func(name, words string, check func(string) error) question {
		return question{words, f.firstUnit[name], true, check}
	}
	for _, q := range []question{
		unit("room", "room", nil),
		unit("elevation", "elevation", nil),
		unit("tag", "tag of the unit", nil),
		unit("part", "part number", nil),
		unit("kind", "cabinet or filler", oneOfWords("cabinet", "filler")),
		unit("width", "width, such as 24 in", isLength),
	} {
		if err := q.ask(r, w); err != nil {
			return err
		}
	}
	if !strings.EqualFold(*f.firstUnit["kind"], "cabinet") {
		return nil
	}
	body := func(name, words string) question { return question{words, f.body[name], true, isLength} }
	for _, q := range []question{
		{`front from the top down, such as "1 drawer / 2 doors"`, f.firstUnit["front"], false, nil},
		body("height", "height of the cabinets without levelers and top"),
		body("depth", "depth of the cabinets"),
		body("leveler-least", "leveler extension with its bolt fully in"),
		body("leveler-greatest", "greatest leveler extension"),
	} {
		if err := q.ask(r, w); err != nil {
			return err
		}
	}
	return nil
}

// question is one thing to ask for.
type question struct {
	words  string
	answer *string
	needed bool
	check  func(string) error
}

// ask asks until the answer will do. What a flag said is not asked.
func (q question) ask(r *bufio.Reader, w io.Writer) error {
	for *q.answer == "" {
		fmt.Fprintf(w, "%s: ", q.words)
		line, err := r.ReadString('\n')
		line = strings.TrimSpace(line)
		if err != nil && line == "" {
			fmt.Fprintln(w)
			if errors.Is(err, io.EOF) {
				return hinted{fmt.Errorf("found the end of the answers, expected one for %q", q.words), "start again, or give the answers as flags, which --help names"}
			}
			return err
		}
		switch {
		case line == "" && q.needed:
			fmt.Fprintln(w, "    a record needs this")
			continue
		case line == "":
			return nil
		case q.check != nil:
			if err := q.check(line); err != nil {
				fmt.Fprintf(w, "    %s\n", oneLine(err.Error()))
				continue
			}
		}
		*q.answer = line
	}
	return nil
}

func isLength(s string) error {
	_, err := length.Parse(s)
	return err
}

func oneOfWords(words ...string) func(string) error {
	return func(s string) error {
		for _, w := range words {
			if strings.EqualFold(s, w) {
				return nil
			}
		}
		return fmt.Errorf("found %q, expected one of %s", s, strings.Join(words, ", "))
	}
}
