package pdf

import "testing"

// long skips a test that takes more than a moment where a fast loop is asked for.
func long(t testing.TB) {
	t.Helper()
	if testing.Short() {
		t.Skip("it takes long, so this was not checked (-short)")
	}
}
