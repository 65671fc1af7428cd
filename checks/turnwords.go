package checks

import (
	"setline.example/checks/say"
	"setline.example/checks/turns"
	"setline.example/schema/length"
)

// Text says what to do, as the remedy of what does not pass.
func (l *TurnList) Text(sys length.System) say.Text {
	switch {
	case len(l.NotBearing) > 0:
		return l.runDown()
	case l.Untied:
		return say.That("Read all tops of %[1]s again on one visit, with the set-height mark; what to turn is told then", l.Of.ItemWords())
	case !l.Why.Empty():
		return say.Sentences(append([]say.Text{l.Why}, l.serving(sys)...)...)
	}
	return say.Sentences(append([]say.Text{l.First(), say.That("%[1]s: %[2]s", l.HowMany(), say.Commas(l.lines()...))}, l.Notes()...)...)
}

// First says what comes before anything is turned; nothing where nothing does.
func (l *TurnList) First() say.Text {
	if len(l.Loosen) == 0 {
		return say.Text{}
	}
	return say.Count(len(l.Loosen), "Loosen the joint %[2]s first", "Loosen the joints %[2]s first", say.And(names(l.Loosen)...))
}

// runDown says what to do about feet that do not bear.
func (l *TurnList) runDown() say.Text {
	feet := cornerList(l.NotBearing)
	return say.Count(len(l.NotBearing),
		"%[2]s does not bear, so that nothing is computed: run it down until it carries load, and read the tops again; what to turn is told then",
		"%[2]s do not bear, so that nothing is computed: run them down until they carry load, and read the tops again; what to turn is told then",
		say.Few(feet...))
}

// HowMany says how many bolts of how many are turned.
func (l *TurnList) HowMany() say.Text {
	if l.Fewest {
		return say.That("Turn %[1]s of %[2]s bolts, the fewest that serve", len(l.Turns), l.Bolts)
	}
	return say.That("Turn %[1]s of %[2]s bolts; fewer than %[3]s cannot serve", len(l.Turns), l.Bolts, l.AtLeast)
}

func (l *TurnList) lines() []say.Text {
	all := make([]say.Text, len(l.Turns))
	for i, t := range l.Turns {
		all[i] = t.Text()
	}
	return all
}

// Text says one turn: "A1 back-right up 1 1/4".
func (t Turn) Text() say.Text {
	if t.Rise < 0 {
		return say.That("%[1]s down %[2]s", t.Words(), t.HowFar())
	}
	return say.That("%[1]s up %[2]s", t.Words(), t.HowFar())
}

// HowFar says how many turns, whichever way: "1 1/4". Where no threads are
// planned it says the length.
func (t Turn) HowFar() say.Text {
	if t.Eighths == 0 {
		return say.That("by %[1]s", t.Rise.Abs())
	}
	return HandTurns{max(t.Eighths, -t.Eighths), 8}.Text()
}

// Notes say, sentence by sentence, what else there is to a list: what stays
// though it is off the mark, and what to do then.
func (l *TurnList) Notes() (all []say.Text) {
	add := func(is bool, t say.Text) {
		if is {
			all = append(all, t)
		}
	}
	add(!l.Marked, say.That("No set-height mark was read: this brings it level, at the height that most of it has"))
	add(len(l.Stays) > 0, l.stays())
	add(l.Spends, say.That("A bolt is left with less than its reserve"))
	add(len(l.Untold) > 0, say.That("How far the bolts still go is not known at %[1]s: look before they are turned", say.Few(cornerList(l.Untold)...)))
	for _, s := range l.Stiff {
		all = append(all, s.words())
	}
	add(true, l.Then())
	add(len(l.Unread) > 0, say.That("Tops not read: %[1]s", say.Few(cornerList(l.Unread)...)))
	return all
}

// stays says how many corners stay as they are though off the mark.
func (l *TurnList) stays() say.Text {
	if len(l.Stays) == 0 {
		return say.Text{}
	}
	most := l.Stays[0]
	for _, s := range l.Stays {
		if s.Off.Abs() > most.Off.Abs() {
			most = s
		}
	}
	return say.Count(len(l.Stays),
		"%[1]s corner stays as it is though off the mark, by %[2]s (%[3]s)",
		"%[1]s corners stay as they are though off the mark, by %[2]s at most (%[3]s)",
		most.Off.Abs(), most.Words())
}

// Then says what to do once the bolts are turned.
func (l *TurnList) Then() say.Text {
	touched := say.And(names(l.Touched())...)
	return say.That("Then see that all four levelers of %[1]s bear, and read the tops there again", touched)
}

func (s Stiff) words() say.Text {
	turned, moved, way := s.Turned, s.Moved, say.Words("came up")
	if turned < 0 {
		turned, moved, way = -turned, -moved, "came down"
	}
	if s.Listed != "" {
		return say.That("%[1]s %[2]s by %[3]s of the %[4]s that the list of %[5]s asks for: if it was turned, the box is stiffer than one thinks; turn in pairs along a side",
			s.Words(), way, moved, turned, s.Listed)
	}
	return say.That("%[1]s %[2]s by %[3]s when its leveler was turned by %[4]s: the box is stiffer than one thinks; turn in pairs along a side",
		s.Words(), way, moved, turned)
}

// serving says what would serve where bolts do not reach.
func (l *TurnList) serving(sys length.System) (all []say.Text) {
	var short []say.Text
	for _, s := range l.Short {
		if s.By > 0 {
			short = append(short, say.That("%[1]s would have to come up by %[2]s more than its bolt can", s.Words(), s.By))
		} else {
			short = append(short, say.That("%[1]s would have to come down by %[2]s more than its bolt can", s.Words(), s.By.Abs()))
		}
	}
	var packed []say.Text
	for _, p := range l.Packing {
		packed = append(packed, say.That("%[1]s by %[2]s", p.Words(), PackingWords(p.More, p.There, sys)))
	}
	all = append(all, say.Semicolons(short...))
	switch by, ok := l.Move(); {
	case ok && by > 0:
		all = append(all, say.That("A set height %[1]s higher serves", by))
	case ok:
		all = append(all, say.That("A set height %[1]s lower serves, or pack under %[2]s", by.Abs(), say.Few(packed...)))
	case l.Raise > 0:
		all = append(all, say.That("Set all %[1]s higher, and pack under %[2]s", l.Raise, say.Few(packed...)))
	case len(packed) > 0:
		all = append(all, say.That("Pack under %[1]s", say.Few(packed...)))
	}
	return all
}

// whyWords say why turning does not serve.
func whyWords(why turns.Why) say.Text {
	switch why {
	case turns.Beyond:
		return say.That("No turns serve: bolts do not reach")
	case turns.TooCoarse:
		return say.That("No turns serve: whole eighths of a turn are too coarse for the limits. Read the tops with a finer instrument, and turn by less")
	case turns.CannotTell:
		return say.That("No turns can be shown to serve: the instrument tells less than the decision rule asks. Read the tops with a finer one")
	case turns.TooLong:
		return say.That("The run is too long for what to turn to be computed: bring every corner to the set-height mark")
	case turns.TooMuch:
		return say.That("What to turn was not searched for to the end: the record has too many long runs that are far out of true. Bring every corner to the set-height mark")
	}
	return say.That("The tops are too far apart to be turned to one height: read them again")
}

func cornerList(all []CornerName) []say.Text {
	texts := make([]say.Text, len(all))
	for i, c := range all {
		texts[i] = c.Words()
	}
	return texts
}
