package main

import (
	"bytes"
	"errors"
	"io"
	"os"
	"runtime"

	"setline.example/checks"
	"setline.example/report/findings"
	"setline.example/schema"
)

// gate checks records, many at a time, and writes what it found in order.
type gate struct {
	selection findings.Selection
	patterns  patterns
	format    findings.Format
	stdin     io.Reader
	stderr    io.Writer
	output    string // file to write, "" for standard output
	many      bool
	colour    bool
	width     int // columns of the terminal; 0 where there is none
	asked     askedRoom
}

// checked is what came of one target.
type checked struct {
	target
	file     *findings.File // nil for a file of a folder that is no record
	err      error          // why it cannot be used
	isOutput bool           // it is the file to be written
	rooms    []string       // of the record
}

// check checks one target. Several run at a time.
func (g *gate) check(t target) checked {
	out := checked{target: t}
	if t.past {
		return out
	}
	found, src, err := loadTarget(t, g.stdin)
	if errors.Is(err, errNoRecord) {
		return out
	}
	if err != nil {
		out.err = err
		out.file = findings.Broken(t.path, problemsOf(err))
	} else {
		out.file = g.selection.File(t.path, found, src, g.format.Needs)
		for _, r := range found.Rooms {
			out.rooms = append(out.rooms, r.Room.Name)
		}
	}
	out.isOutput = g.output != "" && t.path != stdinName && sameFile(g.output, t.path)
	return out
}

// errNoRecord is the error of a file in a folder that does not claim to be a
// job record.
var errNoRecord = errors.New("no job record")

// readClaimed reads a target. What was found in a folder and claims to be no
// record is [errNoRecord].
func readClaimed(t target) ([]byte, error) {
	if t.err != nil || t.past || t.path == stdinName {
		return nil, t.err
	}
	data, err := readFile(t.path, recordFile)
	var fe *fileError
	if !t.named && (errors.As(err, &fe) && fe.head != nil && !claims(fe.head) || err == nil && !claims(data)) {
		return nil, errNoRecord
	}
	return data, err
}

// loadTarget reads a target and holds it against the rules.
func loadTarget(t target, stdin io.Reader) (*checks.Findings, *schema.Source, error) {
	if t.path == stdinName {
		return load(t.path, stdin)
	}
	data, err := readClaimed(t)
	if err != nil {
		return nil, nil, err
	}
	rec, src, err := schema.Read(t.path, data)
	if err != nil {
		return nil, src, err
	}
	found, err := checks.Run(rec, src)
	return found, src, err
}

// ballastBytes is memory that is taken and never touched, so that the system
// need not give it. Little of what reading a record needs outlives it, so that
// the collector would otherwise run for every few records; with this it waits
// for as much garbage again, while a large record costs no more than before.
const ballastBytes = 32 << 20

// run checks everything args name and writes it to w. It returns the exit code.
func (g *gate) run(args []string, program string, w io.Writer) (int, error) {
	out := g.format.New(w)
	err := out.Begin(findings.Run{Program: program, Shown: g.selection.Shown(), Folder: workingFolder(), Many: g.many, Width: g.width, Colour: g.colour})
	if err != nil {
		return exitInput, err
	}
	var sum findings.Summary
	records, passed := 0, 0 // of the folder at hand
	take := func(c checked) error {
		switch {
		case c.past:
			file := noRecord(c.path, passed)
			if records > 0 {
				file = nil
			}
			records, passed = 0, 0
			if file == nil {
				return nil
			}
			c.file, c.err = file, schema.Problems{file.Problems[0].Problem}
		case c.file == nil:
			passed++
			sum.PassedOver++
			return nil
		case c.isOutput:
			return outputIsInput(g.output)
		case !c.named:
			records++
		}
		sum.Add(c.file)
		g.asked.look(c)
		if c.err != nil && (g.output != "" || !g.format.TellsProblems) {
			say(g.stderr, c.err)
		}
		if g.selection.NotReadyOnly && c.file.Answer == findings.Ready {
			return nil
		}
		return out.File(c.file)
	}
	workers := runtime.GOMAXPROCS(0)
	ballast := make([]byte, ballastBytes)
	defer runtime.KeepAlive(ballast)
	if err := inOrder(targets(args, g.patterns), workers, 4*workers, g.check, take); err != nil {
		return exitInput, err
	}
	if err := g.asked.missing(); err != nil && sum.CannotBeUsed == 0 {
		return exitInput, err
	}
	exit := exitReady
	switch {
	case sum.CannotBeUsed > 0:
		exit = exitInput
	case sum.Failing > 0:
		exit = exitNotReady
	}
	err = out.End(sum, exit)
	if w, ok := out.(findings.Warner); ok && w.Warning() != "" {
		say(g.stderr, errors.New(w.Warning()))
	}
	return exit, err
}

// workingFolder is the folder of the call, "" where the system does not say.
func workingFolder() string {
	folder, err := os.Getwd()
	if err != nil {
		return ""
	}
	return findings.Slash(folder)
}

// readBaseline reads the findings of an earlier run.
func readBaseline(path string) (*findings.Baseline, error) {
	data, err := readFile(path, baselineFile)
	if err != nil {
		return nil, err
	}
	b, err := findings.ReadBaseline(bytes.NewReader(data), nil)
	if err != nil {
		return nil, schema.Problems{{Kind: schema.OtherFile, File: path, Found: err.Error(), Expected: `what "setline check --format json" wrote`,
			Mend: `write one with "setline check --format json -o ` + path + `"`}}
	}
	return b, nil
}
