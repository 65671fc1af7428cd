package checks

import "setline.example/schema/plaintext"

var levelersBearing = &Rule{
	ID:           "levelers-bearing",
	Name:         "levelers bearing",
	Family:       Setting,
	Asks:         "Every leveler of every cabinet bears on the floor.",
	Why:          "A floating leveler leaves its corner to hang on the joints. The load of the top and of what is put on it then racks the cabinet and opens the joint.",
	Limit:        CountOf(0),
	LimitWords:   "no leveler off the floor",
	Source:       "common practice, no source",
	Needs:        "Look at all four levelers; one that bears carries load and cannot be turned by hand",
	Remedy:       "Run the leveler down until it carries load, without lifting the corner out of level, then check level and joints again",
	NoConcession: "a corner that hangs on its joints can drop when the top or a person loads it",
	observe:      asks(theBearing.Thing),
	judge:        judgeLevelersBearing,
}

func judgeLevelersBearing(b *bench) {
	b.units(func(_ *room, u *unit) {
		if u.cabinet == nil {
			return
		}
		var floating, unseen []string
		var faults []fault
		decides := observed[bool]{when: -1, visit: -1}
		for _, c := range corners {
			o := theBearing.latest(u.asCab, c.key)
			switch {
			case !o.ok:
				unseen = append(unseen, c.word)
				continue
			case !o.value:
				floating = append(floating, c.word)
				faults = append(faults, not("bears", c.key))
			}
			decides = deciding(decides, o)
		}
		r := Result{Subject: u.subject, Visit: decides.visit, Pointer: decides.at.pointer(), Value: CountOf(len(floating)), faults: faults, unseen: len(unseen) > 0}
		switch {
		case len(floating) > 0:
			r.Outcome = Fail
			r.Finding = capital(listed(floating)) + " " + verb(floating, "does", "do") + " not bear on the floor"
			if len(unseen) > 0 {
				r.Finding += "; " + listed(unseen) + " not observed"
			}
		case len(unseen) == len(corners):
			b.notObserved(u.subject, u.at, "Levelers")
			return
		case len(unseen) > 0:
			r.Outcome, r.Value = NotObserved, Quantity{}
			r.Finding = capital(listed(unseen)) + " " + verb(unseen, "leveler", "levelers") + " not observed; the others bear"
			r.Remedy = b.rule.Needs
		default:
			r.Outcome = Pass
			r.Finding = "All four levelers bear"
		}
		b.add(r)
	})
}

// listed joins words as a sentence does: "a", "a and b", "a, b and c".
func listed(words []string) string {
	return plaintext.List(words)
}

// capital begins a sentence with s, which is one of our own words.
func capital(s string) string {
	if c := s[0]; 'a' <= c && c <= 'z' {
		return string(c-'a'+'A') + s[1:]
	}
	return s
}

// verb picks the form that fits the number of subjects.
func verb(subjects []string, one, many string) string {
	if len(subjects) == 1 {
		return one
	}
	return many
}
