package checks

import "testing"

// long skips a test that takes more than a moment where a fast loop is asked for.
func long(t *testing.T) {
	t.Helper()
	if testing.Short() {
		t.Skip("it takes long, so this was not checked (-short)")
	}
}

// fewer is how often a test draws at random: n times, or so few where a fast loop
// is asked for.
func fewer(n, few int) int {
	if testing.Short() {
		return few
	}
	return n
}
