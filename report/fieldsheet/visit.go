package fieldsheet

import (
	"strconv"

	"setline.example/checks"
	"setline.example/checks/say"
)

// mostPeople is how many people can be named on one sheet.
const mostPeople = 2

// Roles of people, as the record writes them.
var roles = []string{"installer", "inspector", "contractor", "other"}

// HeadAsks are what every sheet asks of the visit, beside what rules need: who,
// when and what for.
func HeadAsks() []checks.Ask {
	all := []checks.Ask{
		{Thing: ofVisit("date"), Place: []string{"date"}, Words: say.That("Date of the visit"), Limit: say.That("YYYY-MM-DD"), Open: true, Blanks: []checks.Blank{{Kind: checks.DateKind, Required: true}}},
		{Thing: ofVisit("purpose"), Place: []string{"purpose"}, Words: say.That("Purpose"), Limit: say.That("setting, inspection, re-inspection"), Open: true, Blanks: []checks.Blank{{Kind: checks.Words, Required: true}}},
	}
	for i := range mostPeople {
		all = append(all, checks.Ask{
			Thing: ofVisit("people"), Place: []string{"people", strconv.Itoa(i)}, Words: say.That("Who, %[1]s", i+1), Open: true,
			Blanks: []checks.Blank{
				{Steps: []string{"name"}, Kind: checks.Words, Words: say.That("name"), Required: true},
				{Steps: []string{"firm"}, Kind: checks.Words, Words: say.That("firm")},
				{Steps: []string{"role"}, Kind: checks.Choice, Words: say.That("role"), Choices: roles},
			},
		})
	}
	return all
}

func ofVisit(field string) *checks.Thing { return &checks.Thing{Of: checks.OfVisit, Field: field} }
