package say_test

import (
	"strings"
	"testing"

	"setline.example/checks/say"
	"setline.example/schema"
	"setline.example/schema/length"
)

func TestWrite(t *testing.T) {
	a, b, c := say.Name("A1").Text(), say.Name("A2").Text(), say.That("its %[1]s", say.Words("filler"))
	size := length.Inch / 16
	for _, tc := range []struct {
		name string
		text say.Text
		want string
	}{
		{"nothing", say.Text{}, ""},
		{"no words", say.Words("").Text(), ""},
		{"arguments", say.That("%[1]s stands %[2]s high of %[3]s", a, size, b), "A1 stands 1/16 in high of A2"},
		{"in another order", say.That("%[2]s under %[1]s on %[3]s", a, b, schema.Date("2026-10-02")), "A2 under A1 on 2026-10-02"},
		{"a percent sign", say.That("%[1]s of 100 %%", 30), "30 of 100 %"},
		{"inches whatever the reader has", say.That("%[1]s", say.Inches(size)), "1/16 in"},
		{"one", say.Count(1, "%[1]s corner at %[2]s", "%[1]s corners at %[2]s", a), "1 corner at A1"},
		{"many", say.Count(2, "%[1]s corner at %[2]s", "%[1]s corners at %[2]s", a), "2 corners at A1"},
		{"none", say.Count(0, "it does", "they do"), "they do"},
		{"and", say.And(a, b, c), "A1, A2 and its filler"},
		{"and of one", say.And(a), "A1"},
		{"and of none", say.And(), ""},
		{"or", say.Or(a, b), "A1 or A2"},
		{"few", say.Few(a, a, a, a, a, a, b, b), "A1, A1, A1, A1, A1, A1 and 2 more"},
		{"what says nothing is left out", say.Semicolons(say.Text{}, a, say.Text{}, b), "A1; A2"},
		{"a sentence begins with a capital", say.Sentence(say.And(c, a)), "Its filler and A1"},
		{"but not with a name's", say.Sentence(say.That("%[1]s moved", say.Name("a1"))), "a1 moved"},
		{"nor within", say.Sentence(say.That("so %[1]s", c)), "So its filler"},
		{"sentences", say.Sentences(c, c), "Its filler. Its filler"},
		{"a name is never a format", say.That("%[1]s!", say.Name("%[9]s %")), "%[9]s %!"},
	} {
		if got := tc.text.String(); got != tc.want {
			t.Errorf("%s: %q, want %q", tc.name, got, tc.want)
		}
	}
	if got := (say.Writer{Lengths: length.Metric}).Text(say.That("%[1]s", 2*length.Millimetre)); got != "2 mm" {
		t.Errorf("in millimetres: %q", got)
	}
}

// TestAnotherLanguage: it has arguments where it wants them, and forms of its own.
func TestAnotherLanguage(t *testing.T) {
	other := map[string]string{
		"%[1]s under %[2]s": "%[2]s over %[1]s", "%[1]s and %[2]s": "%[1]s & %[2]s", "%[1]s corners": "corner x %[1]s", "filler": "FILLER",
	}
	w := say.Writer{Language: func(one, many string, n int) string {
		if many != "" && n != 1 {
			one = many
		}
		return other[one]
	}}
	text := say.And(say.That("%[1]s under %[2]s", say.Words("filler"), say.Name("filler")), say.Count(3, "%[1]s corner", "%[1]s corners"))
	if got, want := w.Text(text), "filler over FILLER & corner x 3"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

func TestEqual(t *testing.T) {
	text := func(n int) say.Text {
		return say.That("%[1]s of %[2]s", n, say.And(say.Name("a").Text(), say.That("b")))
	}
	if !text(1).Equal(text(1)) || !(say.Text{}).Equal(say.Text{}) {
		t.Error("the same texts are not equal")
	}
	for _, other := range []say.Text{
		{}, text(2), say.Sentence(text(1)), say.That("%[1]s of %[2]s", 1, say.Name("a and b")),
		say.Words(text(1).String()).Text(), say.That("%[1]s of %[2]s", length.Length(1), say.That("a and b")),
	} {
		if text(1).Equal(other) || other.Equal(text(1)) {
			t.Errorf("%q and %q are equal", text(1), other)
		}
	}
}

func TestWrongFormatPanics(t *testing.T) {
	for _, format := range []string{"%s", "%[2]s", "%[1]d", "%", "100 % sure"} {
		func() {
			defer func() {
				if r, _ := recover().(string); !strings.Contains(r, "no format") {
					t.Errorf("%q was written", format)
				}
			}()
			_ = say.That(format, 1).String()
		}()
	}
}
