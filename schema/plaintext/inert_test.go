package plaintext

import "testing"

// TestInert: no cell begins with what makes a spreadsheet run it (OWASP, CSV
// Injection), also where it parts cells at semicolons; numbers stay numbers.
func TestInert(t *testing.T) {
	for cell, want := range map[string]string{
		`=1+1`: `'=1+1`, `+1+1`: `'+1+1`, `-1+1`: `'-1+1`, `@SUM(A1)`: `'@SUM(A1)`, `=cmd|' /C calc'!A0`: `'=cmd|' /C calc'!A0`,
		`＝1+1`: `'＝1+1`, `＋1`: `'＋1`, `－1`: `'－1`, `＠x`: `'＠x`, `a;=1+1`: `a;'=1+1`, `;@x;-y`: `;'@x;'-y`,
		`-`: `'-`, `--1`: `'--1`, `-A1`: `'-A1`, `-1|x`: `'-1|x`, `-1/2 in & x`: `'-1/2 in & x`, `-1 mm!A0`: `'-1 mm!A0`,
		`-1`: `-1`, `+3`: `+3`, `-0.5`: `-0.5`, `-1/32 in`: `-1/32 in`, `-1 1/32 in`: `-1 1/32 in`, `-0.4 mm`: `-0.4 mm`, `-0.4 mm ± 0.1 mm`: `-0.4 mm ± 0.1 mm`, `-0.4 mm ± 0.1 mm+1`: `'-0.4 mm ± 0.1 mm+1`,
		``: ``, `A+B`: `A+B`, `1-2`: `1-2`, `a; -b`: `a; -b`,
	} {
		if got := Inert(cell); got != want {
			t.Errorf("%q becomes %q, want %q", cell, got, want)
		}
		if got := Typed(want); got != cell {
			t.Errorf("%q comes back as %q, want %q", want, got, cell)
		}
	}
	for _, cell := range []string{`'tis`, `'`, `''=1`, `'-1`, `'34 1/2"`, `a'=1`} {
		if got := Typed(cell); got != cell {
			t.Errorf("%q comes back as %q", cell, got)
		}
	}
}
