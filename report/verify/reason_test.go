package verify

import (
	"testing"

	"setline.example/report/sign"
)

// TestReasons: what a signature is for follows from the report's answer, and is
// not the signer's to say.
func TestReasons(t *testing.T) {
	long(t)
	who := identity(t, "Ada Fitter", "Linden Inspection")
	for _, c := range []struct {
		name, record, reason string
		good                 bool
	}{
		{"ready, accepted", metric, "accepted: READY", true},
		{"not ready, as found", "../../examples/annex/job.json", "inspection report: NOT READY", true},
		{"not ready, accepted", "../../examples/annex/job.json", "accepted: READY", false},
		{"not ready, in words of one's own", "../../examples/annex/job.json", "accepted: READY, all faults closed", false},
		{"ready, with more", metric, "accepted: READY, all faults closed", false},
		{"ready, as an inspection", metric, "inspection report: NOT READY", false},
		{"ready, for nothing", metric, "", false},
		{"ready, with a blank", metric, "accepted: READY ", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			file, err := sign.Sign(reportOf(t, c.record), sign.Request{Identity: who, As: sign.Inspector, Reason: c.reason, Time: noon})
			if err != nil {
				t.Fatal(err)
			}
			v := verified(t, file, Options{})
			if v.Holds != c.good {
				t.Errorf("holds: %v, by %q", v.Holds, having(v, Bad))
			}
			if bad := having(v, Bad); !c.good && bad != string(ReasonOfIt) {
				t.Errorf("does not hold by %q", bad)
			}
		})
	}
}
