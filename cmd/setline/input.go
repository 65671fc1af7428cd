package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"

	"setline.example/checks"
	"setline.example/report"
	"setline.example/schema"
)

// stdinName stands for standard input, as a file argument and in messages.
const stdinName = "-"

// load reads the record named path, or standard input, and holds it against
// the rules.
func load(path string, stdin io.Reader) (*checks.Findings, *schema.Source, error) {
	rec, src, err := read(path, stdin)
	if err != nil {
		return nil, src, err
	}
	found, err := checks.Run(rec, src)
	return found, src, err
}

func read(path string, stdin io.Reader) (*schema.Record, *schema.Source, error) {
	if path == stdinName {
		return schema.ReadFrom(path, stdin)
	}
	f, err := openInput(path, "a job record")
	if err != nil {
		return nil, nil, err
	}
	defer f.Close()
	return schema.ReadFrom(path, f)
}

// openInput opens the file named path, in which what is expected.
func openInput(path, what string) (*os.File, error) {
	info, err := os.Stat(path)
	if err == nil && !info.Mode().IsRegular() {
		return nil, hinted{fmt.Errorf("%s: found %s, expected a file with %s", path, kindOfFile(info), what), "name the file itself"}
	}
	f, err := os.Open(path)
	if err != nil {
		mend := "check the name and the folder"
		if errors.Is(err, fs.ErrPermission) {
			mend = "ask for permission to read it"
		}
		var pe *fs.PathError
		if errors.As(err, &pe) {
			err = pe.Err
		}
		return nil, hinted{fmt.Errorf("%s: cannot be read (%w), expected %s", path, err, what), mend}
	}
	return f, nil
}

func kindOfFile(info fs.FileInfo) string {
	switch mode := info.Mode(); {
	case mode.IsDir():
		return "a folder"
	case mode&fs.ModeNamedPipe != 0:
		return "a pipe"
	}
	return "something that is not a file"
}

// visible shows characters that a terminal would act on.
func visible(s string) string { return report.Visible(s) }
