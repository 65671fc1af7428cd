package checks

import (
	"regexp"
	"slices"
	"testing"
)

// keptIDs are the ids that were ever given to rules. Machines know rules by
// them, so that none may go or change; a new rule adds its own.
var keptIDs = []string{
	"run-closes",
	"drawers-home",
	"extension-agrees",
	"fasteners-hidden",
	"filler-before-first-cabinet",
	"filler-flush",
	"fillers-removable",
	"fastener-fits",
	"tops-in-one-plane",
	"cabinet-twist",
	"survey-coverage",
	"floor-within-contract",
	"floor-within-travel",
	"work-height",
	"fronts-flush",
	"instrument-checked",
	"readings-plausible",
	"tops-flush",
	"joint-gap",
	"joint-fastened",
	"label-complete",
	"level-and-plumb",
	"levelers-bearing",
	"movement-between-visits",
	"parts-received",
	"set-height-held",
	"site-settled",
	"fronts-aligned",
	"doors-and-drawers-work",
	"reserve-left",
	"accessible-height",
	"instructions-on-site",
	"services-clear",
	"anchored-as-drawn",
	"tops-released",
	"top-bears",
	"no-damage",
	"loose-parts-there",
	"clean",
	"protected",
	"handed-over",
}

func TestRuleIDsAreKept(t *testing.T) {
	form := regexp.MustCompile(`^[a-z]+(-[a-z]+)*$`)
	seen := map[string]string{}
	for _, r := range All() {
		if !form.MatchString(r.ID) {
			t.Errorf("rule %q has the id %q: lower case words with hyphens are wanted", r.Name, r.ID)
		}
		if other, twice := seen[r.ID]; twice {
			t.Errorf("rules %q and %q share the id %q", other, r.Name, r.ID)
		}
		seen[r.ID] = r.Name
		if !slices.Contains(keptIDs, r.ID) {
			t.Errorf("id %q of rule %q is not in keptIDs: add it, for ever", r.ID, r.Name)
		}
	}
	for _, id := range keptIDs {
		if seen[id] == "" {
			t.Errorf("no rule has the id %q any more", id)
		}
	}
}
