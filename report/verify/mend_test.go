package verify

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"setline.example/report/sign"
)

// TestMend: a report that does not hold says what to do about it, and one that
// does has nothing to say.
func TestMend(t *testing.T) {
	long(t)
	id := ada(t)
	bare := reportOf(t, metric)
	file := signed(t, bare, id, sign.Inspector, noon)
	twice := signed(t, file, yuri(t), sign.Installer, noon.Add(time.Hour))
	broken := bytes.Clone(twice)
	broken[len(broken)-200] ^= 1
	for _, c := range []struct {
		name string
		file []byte
		o    Options
		want string
	}{
		{"holds", file, Options{}, ""},
		{"cut short", file[:len(file)/2], Options{}, "ask for the file as it was signed: a program that opens"},
		{"changed", bytes.Replace(file, []byte("/Count"), []byte("/Coumt"), 1), Options{}, "ask for the file as it was signed: a program that opens"},
		{"more behind it", append(bytes.Clone(file), '\n'), Options{}, "take the report up to revision 2, which holds, from what --extract-report gives"},
		{"second signature changed", broken, Options{Ways: Ways{Part: "the button"}}, "take the report up to revision 2, which holds, from what the button gives"},
		{"unsigned", bare, Options{}, "have it signed"},
		{"a stranger", file, Options{Trust: &sign.Trust{}}, "ask who is said to have signed for the fingerprint"},
		{"a role missing", file, Options{Expect: []sign.Role{sign.Contractor}}, "have it signed in that role"},
		{"a room missing", file, Options{Rooms: []string{"9.99"}}, "ask for a report of these rooms"},
		{"a remark", file, Options{Strict: true}, "judge what is remarked on"},
	} {
		v := verified(t, c.file, c.o)
		var text strings.Builder
		if err := v.Text(&text, "x.pdf"); err != nil {
			t.Fatal(err)
		}
		if (v.Mend == "") != v.Holds || !strings.HasPrefix(v.Mend, c.want) || v.Holds == strings.Contains(text.String(), "\n  to do ") {
			t.Errorf("%s: %s, %q\n%s", c.name, v.Verdict, v.Mend, &text)
		}
	}
}
