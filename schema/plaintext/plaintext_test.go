package plaintext

import (
	"strings"
	"testing"
	"unicode/utf8"
)

func TestVisible(t *testing.T) {
	for typed, want := range map[string]string{
		"plain":                 "plain",
		"a\tb\r\nc":             "a b c",
		"\u202eevil":            "‹U+202E›evil",
		"a\u200bb":              "a‹U+200B›b",
		"\x1b[31m":              "‹U+001B›[31m",
		"variation\ufe0f":       "variation‹U+FE0F›",
		"no\u00a0break":         "no break",
		"Łuczak Ødegård Θ Юрій": "Łuczak Ødegård Θ Юрій",
	} {
		if got := Visible(typed); got != want {
			t.Errorf("Visible(%q) = %q, want %q", typed, got, want)
		}
	}
}

func TestCut(t *testing.T) {
	for _, tc := range []struct {
		text string
		most int
		want string
	}{
		{"", 0, ""},
		{"room", 4, "room"},
		{"rooms", 4, "room…"},
		{"Łuża", 4, "Łuża"},
		{"Łużas", 4, "Łuża…"},
		{"room", 0, "…"},
		{"\xff\xff\xff", 2, "\xff\xff…"},
	} {
		if got := Cut(tc.text, tc.most); got != tc.want {
			t.Errorf("Cut(%q, %d) = %q, want %q", tc.text, tc.most, got, tc.want)
		}
	}
}

func TestFit(t *testing.T) {
	for _, tc := range []struct {
		text string
		room int
		want string
	}{
		{"room", 4, "room"},
		{"rooms", 4, "roo…"},
		{"Łużas", 4, "Łuż…"},
		{"rooms", 1, "…"},
		{"rooms", 0, "…"},
	} {
		got := Fit(tc.text, func(s string) bool { return utf8.RuneCountInString(s) <= tc.room })
		if got != tc.want {
			t.Errorf("Fit(%q, %d) = %q, want %q", tc.text, tc.room, got, tc.want)
		}
	}
}

func TestCount(t *testing.T) {
	got := strings.Join([]string{
		Count(0, "room"), Count(1, "room"), Count(2, "room"),
		Counted(1, "more has", "more have"), Counted(3, "more has", "more have"),
	}, ", ")
	if want := "0 rooms, 1 room, 2 rooms, 1 more has, 3 more have"; got != want {
		t.Errorf("found %q, expected %q", got, want)
	}
}

func TestWhose(t *testing.T) {
	for name, want := range map[string]string{
		"Ada": "Ada's", "Dole Installers": "Dole Installers'", "RIGGERS": "RIGGERS'", "Halden & Co.": "Halden & Co.'s", "": "'s",
	} {
		if got := Whose(name); got != want {
			t.Errorf("%q: %q, want %q", name, got, want)
		}
	}
}
