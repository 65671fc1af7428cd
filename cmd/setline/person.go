package main

import (
	"fmt"
	"slices"
	"strings"

	"setline.example/schema"
)

// roles are the parts that people play.
var roles = []string{"installer", "inspector", "contractor", "other"}

// person reads how a call names somebody: "NAME", "NAME, FIRM" or "NAME, ROLE,
// FIRM".
func person(flag, text string) (schema.Party, error) {
	name, rest, _ := strings.Cut(text, ",")
	p := schema.Party{Name: strings.TrimSpace(name), Firm: strings.TrimSpace(rest)}
	role, firm, _ := strings.Cut(rest, ",")
	if word := strings.ToLower(strings.TrimSpace(role)); slices.Contains(roles, word) {
		p.Role, p.Firm = word, strings.TrimSpace(firm)
	}
	if p.Name == "" {
		return p, hinted{fmt.Errorf(`found %s %q, expected "NAME", "NAME, FIRM" or "NAME, ROLE, FIRM"`, flag, text),
			"a role is one of " + strings.Join(roles, ", ")}
	}
	return p, nil
}

// personWords names somebody as a call does.
func personWords(p schema.Party) string {
	words := slices.DeleteFunc([]string{p.Name, p.Role, p.Firm}, func(s string) bool { return s == "" })
	return strings.Join(words, ", ")
}
