package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf16"

	"golang.org/x/text/encoding/charmap"
)

// setlineIn runs the program in this process and wants exit code 0.
func setlineIn(t *testing.T, args ...string) string {
	t.Helper()
	var stdout, stderr bytes.Buffer
	if code := run(args, strings.NewReader(""), &stdout, &stderr); code != exitReady {
		t.Fatalf("setline %s: exit code %d\n%s", strings.Join(args, " "), code, stderr.String())
	}
	return stdout.String()
}

func in1252(t *testing.T, s string) string {
	t.Helper()
	out, err := charmap.Windows1252.NewEncoder().String(s)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func inUTF16(s string, bigFirst bool) string {
	var b bytes.Buffer
	for _, u := range utf16.Encode([]rune("\ufeff" + s)) {
		if bigFirst {
			b.Write([]byte{byte(u >> 8), byte(u)})
		} else {
			b.Write([]byte{byte(u), byte(u >> 8)})
		}
	}
	return b.String()
}

// TestEncodings: a packing list gives the same record whatever encoding, line
// ends and delimiter the spreadsheet saved it with.
func TestEncodings(t *testing.T) {
	const folder = "../../examples/annex/csv/"
	data, err := os.ReadFile(folder + "packing-list.csv")
	if err != nil {
		t.Fatal(err)
	}
	plain := string(data)
	if !strings.Contains(plain, "Ibáñez") {
		t.Fatal("the packing list has no letter beyond ASCII to look for")
	}
	var want []byte
	for _, tc := range []struct{ name, text string }{
		{"as it is", plain},
		{"UTF-8 with a mark", "\ufeff" + plain},
		{"UTF-16, little end first", inUTF16(plain, false)},
		{"UTF-16, big end first", inUTF16(plain, true)},
		{"Windows-1252", in1252(t, plain)},
		{"carriage returns and line feeds", strings.ReplaceAll(plain, "\n", "\r\n")},
		{"carriage returns", strings.ReplaceAll(plain, "\n", "\r")},
		{"UTF-16 with carriage returns", inUTF16(strings.ReplaceAll(plain, "\n", "\r\n"), false)},
		{"semicolons said", "sep=;\r\n" + strings.ReplaceAll(strings.ReplaceAll(plain, `"Carton wet at one corner, cabinet dry"`, "Carton wet at one corner@ cabinet dry"), ",", ";")},
	} {
		t.Run(tc.name, func(t *testing.T) {
			dir := t.TempDir()
			table, job := filepath.Join(dir, "list.csv"), filepath.Join(dir, "job.json")
			if err := os.WriteFile(table, []byte(strings.Replace(tc.text, "@", ",", 1)), 0o644); err != nil {
				t.Fatal(err)
			}
			setlineIn(t, "start", "-o", job, "--name", "Annex", "--height", "34 in", "--depth", "22 in", "--leveler-least", "1/2 in", "--leveler-greatest", "2 in",
				"--units", folder+"units.csv", "--packing-list", table)
			got, err := os.ReadFile(job)
			if err != nil {
				t.Fatal(err)
			}
			if want == nil {
				want = got
			}
			if !bytes.Equal(got, want) || !bytes.Contains(got, []byte("Ibáñez")) {
				t.Errorf("got\n%s", got)
			}
		})
	}
}
