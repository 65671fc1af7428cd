package verify

import (
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"setline.example/report/sign"
)

// BenchmarkReport verifies a signed report of 60 rooms, each with two elevations
// of five cabinets, seen whole on two visits:
//
//	go test -run '^$' -bench Report ./report/verify
func BenchmarkReport(b *testing.B) {
	dir := b.TempDir()
	c := exec.CommandContext(b.Context(), "go", "run", "../../checks/internal/rooms/generate", "-n", "1",
		"-rooms", "60", "-elevations", "2", "-cabinets", "5", "-visits", "2", "-o", dir)
	if out, err := c.CombinedOutput(); err != nil {
		b.Fatalf("%s: %v\n%s", strings.Join(c.Args, " "), err, out)
	}
	file := reportOf(b, filepath.Join(dir, "000", "room-00000.json"))
	file = signed(b, file, ada(b), sign.Inspector, noon)
	b.SetBytes(int64(len(file)))
	b.ReportAllocs()
	for b.Loop() {
		if v := verified(b, file, Options{}); v.Verdict == Indeterminate {
			b.Fatal(v.Verdict)
		}
	}
}
