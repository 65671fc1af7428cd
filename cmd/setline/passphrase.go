package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"

	"golang.org/x/term"
)

// passphraseVariable is the environment variable that holds a passphrase.
const passphraseVariable = "SETLINE_PASSPHRASE"

// passphrase gets the passphrase of an identity: from a file, from the
// environment, or from the person at the terminal, without echo. It is never
// an argument, which other people on the machine can see. A new one is asked
// for twice.
func passphrase(file string, isNew bool, stdin io.Reader, stderr io.Writer) (string, error) {
	if file != "" {
		return firstLine(file)
	}
	if p, ok := os.LookupEnv(passphraseVariable); ok {
		return p, nil
	}
	f, ok := stdin.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) {
		return "", hinted{errors.New("found no passphrase, expected one for the identity"),
			"give it with --passphrase-file, in " + passphraseVariable + ", or at a terminal"}
	}
	first, err := ask(f, stderr, "passphrase: ")
	if err != nil || !isNew {
		return first, err
	}
	again, err := ask(f, stderr, "the same again: ")
	if err == nil && again != first {
		err = hinted{errors.New("found two different passphrases, expected the same twice"), "try again"}
	}
	return first, err
}

// longestPassphrase is how much of a file is read in search of its first line.
const longestPassphrase = 64 << 10

// firstLine reads the passphrase in a file. Unlike [readFile] it also reads
// from a pipe, by which a keeper of passwords hands it over.
func firstLine(path string) (string, error) {
	f, err := os.Open(path)
	if err != nil {
		return "", unreadable(path, err, "a passphrase")
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, longestPassphrase))
	if err != nil {
		return "", unreadable(path, err, "a passphrase")
	}
	line, _, whole := bytes.Cut(data, []byte("\n"))
	if !whole && len(data) == longestPassphrase {
		return "", hinted{fmt.Errorf("%s: found a first line of more than %d KiB, expected a passphrase", path, longestPassphrase>>10), "name the file that holds the passphrase"}
	}
	return string(bytes.TrimSuffix(line, []byte("\r"))), nil
}

func ask(f *os.File, w io.Writer, prompt string) (string, error) {
	fmt.Fprint(w, prompt)
	p, err := term.ReadPassword(int(f.Fd()))
	fmt.Fprintln(w)
	return string(p), err
}
