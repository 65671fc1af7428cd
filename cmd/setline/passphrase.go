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
		return passphraseIn(file)
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

// passphraseIn reads the first line of a file. It may be a pipe too, from which
// a program that keeps passphrases writes; one that nobody writes to is empty.
func passphraseIn(path string) (string, error) {
	f, err := os.OpenFile(path, os.O_RDONLY|nonBlocking, 0)
	if err != nil {
		return "", unreadable(path, err, "a file with the passphrase")
	}
	defer f.Close()
	wrong := func(found string) error {
		return noFile(path, found, "a passphrase in the first line", "name the file that holds the passphrase", nil)
	}
	if info, err := f.Stat(); err == nil && info.IsDir() {
		return "", wrong("a folder")
	}
	data, err := io.ReadAll(io.LimitReader(f, longestPassphrase+1))
	if err != nil {
		return "", unreadable(path, err, "a file with the passphrase")
	}
	line, _, _ := bytes.Cut(data, []byte("\n"))
	switch line = bytes.TrimSuffix(line, []byte("\r")); {
	case len(line) > longestPassphrase:
		return "", wrong(fmt.Sprintf("more than %d bytes without a line end", longestPassphrase))
	case len(line) == 0:
		return "", wrong("nothing in the first line")
	}
	return string(line), nil
}

// longestPassphrase limits what is read of a file, in bytes.
const longestPassphrase = 64 << 10

func ask(f *os.File, w io.Writer, prompt string) (string, error) {
	fmt.Fprint(w, prompt)
	p, err := term.ReadPassword(int(f.Fd()))
	fmt.Fprintln(w)
	return string(p), err
}
